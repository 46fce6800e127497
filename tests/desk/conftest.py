"""Every test of the desk runs without a screen, and away from the person's own settings."""

from __future__ import annotations

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings, caches and logs of a test land in a folder of its own."""
    home = tmp_path_factory.mktemp("home")
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_CACHE_HOME", "XDG_STATE_HOME"):
        monkeypatch.setenv(name, str(home / name.lower()))
