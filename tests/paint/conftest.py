from __future__ import annotations

import pytest

from cliptag.paint import ensure_painter_ready


@pytest.fixture(autouse=True, scope="session")
def _painter() -> None:
    ensure_painter_ready()
