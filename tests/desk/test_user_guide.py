"""The guide says what the desk does: its keys are the table's, its pictures are there and light."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from support.desk import opened_desk

from cliptag.desk.commands import Command
from cliptag.desk.window import DeskWindow

DOCS = Path(__file__).parents[2] / "docs"
GUIDE = (DOCS / "user-guide.md").read_text("utf-8")
MOST_BYTES = 250_000

_ROW = re.compile(r"^\| (.+?) \| ((?:`[^|]+`)?) \|$", re.MULTILINE)


def all_groups(window: DeskWindow) -> dict[str, list[Command]]:
    """The commands of the desk and of two reviews on it, under their headings."""
    both = window.pairing.make_view().commands
    return window.commands.by_group() | both.by_group()


def test_the_guides_keys_are_those_of_the_desk(qtbot):
    listed = GUIDE.split("<!-- keys -->")[1].split("<!-- end of keys -->")[0]
    told = {
        (words, tuple(re.findall("`([^`]+)`", keys)))
        for words, keys in _ROW.findall(listed)
        if keys
    }
    with opened_desk() as window:
        groups = all_groups(window)
        known = {(c.words, c.keys) for members in groups.values() for c in members}
    assert told == known, "run docs/write_keys.py"
    assert [line for line in listed.splitlines() if line.endswith(" | |")] == [
        f"| {group} | |" for group in groups
    ]


def test_every_key_that_the_guide_speaks_of_is_a_key_of_the_desk(qtbot):
    prose = GUIDE.split("<!-- keys -->")[0]
    spoken = set(re.findall(r"`((?:(?:Ctrl|Shift|Alt)\+)+[^`]+|[A-Z0-9?])`", prose))
    with opened_desk() as window:
        known = {k for m in all_groups(window).values() for c in m for k in c.keys}
    assert "Ctrl+E" in spoken
    # The card's own key, for its 'Done'.
    assert spoken - known - {"Ctrl+Enter"} == set()


@pytest.mark.parametrize("name", sorted(set(re.findall(r"\((pictures/[^)]+)\)", GUIDE))))
def test_the_guides_pictures_are_there_and_light(name: str):
    assert 0 < (DOCS / name).stat().st_size < MOST_BYTES


def test_the_guides_places_to_go_to_are_there():
    headings = re.findall(r"^#+ (.+)$", GUIDE, re.MULTILINE)
    places = {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in headings}
    assert set(re.findall(r"\(#([^)]+)\)", GUIDE)) <= places
