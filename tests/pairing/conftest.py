"""Comparisons of the demo reviews, each measured once."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from support.pairs import demo_pairing

from cliptag.pairing import Comparison, compare_reviews


@pytest.fixture(scope="session", params=["sit_to_stand", "bend", "lift"])
def demo(request: pytest.FixtureRequest) -> Iterator[tuple[str, Comparison]]:
    """Weeks 1 and 10 of each movement."""
    with compare_reviews(demo_pairing(request.param)) as comparison:
        yield request.param, comparison


@pytest.fixture(scope="session")
def lift() -> Iterator[Comparison]:
    """Weeks 1 and 10 of the lift, the camera held askew in week 1."""
    with compare_reviews(demo_pairing("lift")) as comparison:
        yield comparison
