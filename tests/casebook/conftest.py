"""A casebook with one client, and a user's folders of its own for every test."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import platformdirs
import pytest
from support.casebooks import clip_file, with_ines

from cliptag.casebook import Casebook

ClipMaker = Callable[..., Path]


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The user's folders, apart from the person's own; processes that are started have them too."""
    folder = tmp_path / "home"
    for kind in ("data", "state", "cache", "config"):
        monkeypatch.setenv(f"XDG_{kind.upper()}_HOME", str(folder / kind))
    monkeypatch.setenv("HOME", str(folder))
    monkeypatch.delenv("CLIPTAG_CASEBOOK", raising=False)
    # A fixture of all tests puts another function here.
    monkeypatch.setattr(
        platformdirs, "user_cache_path", lambda *_, **__: folder / "cache" / "cliptag"
    )
    return folder


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Casebook]:
    with with_ines(tmp_path / "book") as opened:
        yield opened


@pytest.fixture(scope="session")
def tiny(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("tiny")


@pytest.fixture
def new_clip(tmp_path: Path, tiny: Path) -> ClipMaker:
    """Makes clips that differ; the first argument is the name."""

    def make(name: str = "IMG_0412.mp4", mark: str = "") -> Path:
        return clip_file(tmp_path / "phone", name, mark, tiny)

    return make
