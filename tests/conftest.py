"""What every test may rely on."""

from __future__ import annotations

import os
from collections.abc import Iterator

import pytest
from hypothesis import settings

# Machines differ and are shared: no test may fail for being slow.
settings.register_profile("cliptag", deadline=None)
settings.load_profile("cliptag")

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


@pytest.fixture(scope="session", autouse=True)
def application(qapp: object) -> None:
    """One application with widgets from the start: a painter alone would make one without."""


@pytest.fixture(scope="session", autouse=True)
def kept_indexes(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Frame indexes that a test run keeps never reach the person's own cache."""
    cache = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(
            "cliptag.clip.index_store.platformdirs.user_cache_path", lambda *_, **__: cache
        )
        yield
