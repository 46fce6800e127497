"""Media are made once for each run; kept frame indexes never reach the user's own cache."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture(scope="session")
def media(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("media")


@pytest.fixture(autouse=True)
def index_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where indexes are kept in this test; empty at first."""
    cache = tmp_path / "user-cache"
    monkeypatch.setattr(
        "cliptag.clip.index_store.platformdirs.user_cache_path", lambda *_, **__: cache
    )
    return cache / "frame-indexes"
