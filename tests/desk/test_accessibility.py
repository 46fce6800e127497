"""What a screen reader is told of the whole window, by Qt's own accessibility interface."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QCheckBox, QLineEdit, QMainWindow, QPushButton, QSlider
from support.accessible import CONTROLS, Told, told_of
from support.desk import note, opened_desk, saved_review, small_clip

from cliptag.desk.window import DeskWindow
from cliptag.review import Joint, Point

pytestmark = pytest.mark.skipif(sys.platform != "linux", reason="asks Qt's library by its ELF name")

PAGES = ("clip", "preferences", "keys", "movement", "methods")


@pytest.fixture
def desk(qtbot, tmp_path: Path):
    clip = small_clip(tmp_path)
    knee = Joint(
        id="m", joint="knee", proximal=Point(20, 20), vertex=Point(60, 40), distal=Point(30, 80)
    )
    saved_review(clip, note(1, 200_000, 600_000, marks=(knee,)))
    with opened_desk(clip) as window:
        yield window


def seen(desk: DeskWindow) -> list[Told]:
    return [told for told in told_of(desk) if told.is_seen]


def test_the_interface_is_asked_rightly(qtbot):
    """Plain widgets with known roles and names, so that a wrong place in the table is noticed."""
    window = QMainWindow()
    qtbot.addWidget(window)
    window.setWindowTitle("Häuser \U0001f3bb")
    button, hidden, off = QPushButton("Press", window), QLineEdit(window), QSlider(window)
    box = QCheckBox("Tick", window)
    hidden.setAccessibleName("Hidden")
    off.setAccessibleName("Off")
    off.setAccessibleDescription("can't be used")
    off.setEnabled(False)
    window.show()
    hidden.hide()
    told = {t.name: t for t in told_of(window)}
    assert told["Häuser \U0001f3bb"].role == "window"
    assert told["Press"].role == "button" and told["Press"].is_focusable
    assert told["Tick"].role == "check box" and box.isVisible() and button.isVisible()
    assert told["Hidden"].role == "editable text" and not told["Hidden"].is_seen
    assert (told["Off"].role, told["Off"].description) == ("slider", "can't be used")
    assert told["Off"].is_disabled and not told["Press"].is_disabled


def test_every_control_that_can_be_seen_has_a_name(qtbot, desk: DeskWindow):
    desk.state.choose("n1", "m")
    nameless = [t for t in seen(desk) if t.role in CONTROLS and not t.name.strip()]
    assert nameless == []


@pytest.mark.parametrize("page", PAGES)
def test_every_control_of_every_page_has_a_name(qtbot, desk: DeskWindow, page: str):
    desk.pages.toggle(page)
    nameless = [t for t in seen(desk) if t.role in CONTROLS and not t.name.strip()]
    assert nameless == []


def test_the_empty_desk_and_the_bar_have_names(qtbot):
    with opened_desk() as empty:
        empty.bar.offer("Your review was kept.", "Go on", lambda: None)
        told = seen(empty)
        assert [t for t in told if t.role in CONTROLS and not t.name.strip()] == []
        names = {t.name for t in told}
        assert {"Open\u2026", "Try it with the demo", "Go on", "Your review was kept."} <= names


def test_the_parts_of_the_desk_can_be_told_apart(qtbot, desk: DeskWindow):
    desk.state.choose("n1")
    names = {t.name for t in seen(desk)}
    assert {"Stage", "Climb", "Time strip", "Tools", "Playing", "Note"} <= names


def test_every_command_is_in_the_menus_by_its_words(qtbot, desk: DeskWindow):
    items = {t.name for t in told_of(desk) if t.role in ("menu item", "check box")}
    for members in desk.commands.by_group().values():
        for command in members:
            assert command.words in items or command.name in ("undo", "redo"), command.name


def test_a_control_says_what_it_would_do_just_now(qtbot, desk: DeskWindow):
    desk.reviewing.set_facing("left")
    desk.state.playhead.play()
    names = {t.name for t in seen(desk) if t.role == "button"}
    assert {"Undo: facing left", "Stand still"} <= names
