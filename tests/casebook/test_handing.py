"""All of a client's data, handed over so that it reads without the program."""

from __future__ import annotations

import json
import zipfile
from pathlib import Path

import pytest
from support.casebooks import MONDAY, everything_in, noon, say_something

from cliptag.casebook import Casebook
from cliptag.errors import CasebookError


@pytest.fixture
def full(book: Casebook, new_clip) -> Casebook:
    clip = book.add("Ines", [new_clip()], received_at=noon(MONDAY))[0].clip
    say_something(book, clip.id)
    book.record_consent("Ines", ["public"], given_on=MONDAY, how="form", message="Yes.")
    book.add_client("Otto")
    book.add("Otto", [new_clip("otto.mp4")])
    return book


@pytest.mark.parametrize("name", ["ines", "ines.zip"])
def test_it_holds_everything_of_the_client_and_nothing_of_another(
    full: Casebook, tmp_path: Path, name: str
):
    target = full.export_data("Ines", tmp_path / "out" / name)
    if name.endswith(".zip"):
        with zipfile.ZipFile(target) as bundle:
            assert bundle.testzip() is None
            bundle.extractall(tmp_path / "unpacked")
        target = tmp_path / "unpacked" / "Ines"
    handed, kept = everything_in(target), everything_in(full.folder / "clients" / "Ines")
    assert set(handed) == set(kept) | {"about.txt"}
    assert all(handed[path] == content for path, content in kept.items())
    assert json.loads(handed["client.json"])["client"]["name"] == "Ines"
    about = handed["about.txt"].decode()
    for words in (
        "ines@example.org",
        "repairs violins",
        "week 4: standing",
        "week-01/IMG_0412.mp4: received 2026-03-02",
        "2026-03-02 given for being shown openly; all clips; form (see consent/",
    ):
        assert words in about
    assert b"Otto" not in b"".join(handed.values())
    assert [path for path in (tmp_path / "out").iterdir() if path.name.startswith(".")] == []


def test_what_is_there_already_is_not_replaced(full: Casebook, tmp_path: Path):
    (tmp_path / "ines").mkdir()
    with pytest.raises(CasebookError, match="exists already"):
        full.export_data("Ines", tmp_path / "ines")
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CasebookError, match="choose another folder"):
        full.export_data("Ines", tmp_path / "file" / "ines")
