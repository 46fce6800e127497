"""Each demo clip's truth in turn."""

from __future__ import annotations

import pytest
from support.truth import NAMES, VIDEOS, Truth, read_truth


@pytest.fixture(params=NAMES)
def truth(request: pytest.FixtureRequest) -> Truth:
    """Each truth file in turn."""
    return read_truth(request.param)


@pytest.fixture(params=VIDEOS)
def video(request: pytest.FixtureRequest) -> Truth:
    """Each truth file of a moving clip in turn."""
    return read_truth(request.param)
