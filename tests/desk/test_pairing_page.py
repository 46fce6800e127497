"""The page beside both pictures: verdicts, goals, notes, warnings."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeySequence
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QLabel, QMainWindow
from support.pair_desk import laid_pair, wait_for_arrangement

from cliptag.desk.bar import Bar
from cliptag.desk.commands import Command, Commands
from cliptag.desk.look import look
from cliptag.desk.pairing.view import PairingView
from cliptag.desk.preferences import PreferenceStore
from cliptag.pairing import row_of

DESK_NAMES = ("open", "recent", "demo", "quit", "keys", "message", "caution", "full_screen")


@pytest.fixture
def view(qtbot, tmp_path: Path):
    look()
    window = QMainWindow()
    qtbot.addWidget(window)
    table = [Command(name, name, "Desk", lambda: None) for name in (*DESK_NAMES, "preferences")]
    made = PairingView(Bar(), PreferenceStore(), Commands(window, table), window)
    window.setCentralWidget(made)
    window.resize(1280, 800)
    window.show()
    QTest.qWaitForWindowExposed(window)
    window.activateWindow()
    made.state.open(laid_pair(), tmp_path / "both.pairing.json")
    made.to_stage()
    yield made
    made.close_threads()


def press(view: PairingView, *keys: str) -> None:
    for word in keys:
        stroke = QKeySequence(word)[0]
        target = QApplication.focusWidget() or view
        QTest.keyClick(target, stroke.key(), stroke.keyboardModifiers())
        QApplication.processEvents()


def test_each_line_says_what_the_library_says(view: PairingView):
    model = view.page.list.model()
    found = view.state.comparison.differences
    assert model.rowCount() == len(found) > 10
    for place, difference in enumerate(found):
        row = row_of(difference)
        words = model.index(place, 0).data(Qt.ItemDataRole.AccessibleTextRole)
        for part in (row.words, row.first, row.second, row.change, row.detectable):
            assert part in words
        assert row.verdict.capitalize() in words
        assert "better" not in words and "worse" not in words


def test_a_goal_is_set_by_keys_alone(qtbot, view: PairingView):
    press(view, "T")
    assert view.page.list.hasFocus()
    press(view, "Down", "Down")
    chosen = view.state.difference
    assert chosen is not None
    way = "Alt+Up" if chosen.change > 0 else "Alt+Down"
    wait_for_arrangement(qtbot, view.state, lambda: press(view, way))
    words = view.page.list.currentIndex().data()
    assert "Goal:" in words
    if chosen.verdict == "changed":
        assert "towards the goal" in words.lower()
    wait_for_arrangement(qtbot, view.state, lambda: press(view, "Alt+0"))
    assert "Goal:" not in view.page.list.currentIndex().data()


def test_goals_are_off_until_a_line_is_chosen(view: PairingView):
    assert not view.commands.action("goal_less").isEnabled()
    view.state.choose_quantity(view.state.comparison.differences[0].name)
    assert view.commands.action("goal_less").isEnabled()


def test_a_note_is_written_by_keys_alone_and_escape_leads_back(view: PairingView):
    view.state.playhead.go_to_time(view.state.axis.out_at(30.0))
    press(view, "N")
    text = view.page.notes.text
    assert text.hasFocus() and view.page.leaf == "notes"
    QTest.keyClicks(text, "Hips first. l m r 1")
    assert [note.text for note in view.state.pairing.notes] == ["Hips first. l m r 1"]
    assert view.state.pairing.layout == "side", "letters that are typed are no commands"
    view.step_back()
    assert view.stage.hasFocus()
    press(view, "2")
    assert view.state.pairing.notes[0].kind == "good"
    press(view, "Delete")
    assert view.state.pairing.notes == ()


def test_emptying_a_note_takes_it_away_and_undo_brings_it_back(view: PairingView):
    press(view, "N")
    QTest.keyClicks(view.page.notes.text, "Words.")
    view.step_back()
    press(view, "Return")
    assert view.page.notes.text.hasFocus()
    view.page.notes.text.selectAll()
    press(view, "Delete")
    assert view.state.pairing.notes == ()
    view.state.document.undo()
    assert [note.text for note in view.state.pairing.notes] == ["Words."]


def test_what_undo_brings_back_is_what_the_field_shows(view: PairingView):
    press(view, "N")
    QTest.keyClicks(view.page.notes.text, "One")
    view.step_back()
    view.state.choose_note(0)
    press(view, "Return")
    QTest.keyClicks(view.page.notes.text, " two")
    view.state.document.undo()
    assert view.page.notes.text.toPlainText() == "One"


def test_the_views_leaf_tells_every_warning_and_where_moments_come_from(view: PairingView):
    press(view, "V")
    told = "\n".join(label.text() for label in view.page.views.findChildren(QLabel))
    comparison = view.state.comparison
    assert comparison.alignment.basis_words in told
    for warning in comparison.warnings:
        assert warning.sentence in told
    assert "clinician" in told


def test_the_page_can_be_put_away_for_larger_pictures(view: PairingView):
    before = view.stage.width()
    press(view, "P")
    QApplication.processEvents()
    assert view.stage.width() > before
    press(view, "T")
    assert view.page.isVisible() and view.page.list.hasFocus()


@pytest.mark.parametrize("size", [(800, 600), (1280, 800), (1920, 1080)])
def test_it_fits_windows_from_800_to_1920_pixels(view: PairingView, size: tuple[int, int]):
    window = view.window()
    window.resize(*size)
    QApplication.processEvents()
    assert (window.width(), window.height()) == size
    for part in (view.stage, view.strip, view.page, view.playing, view.arrange):
        assert view.rect().contains(part.geometry())
    assert view.stage.width() > 0.5 * size[0] and view.stage.height() > 0.25 * size[1]


def test_no_two_commands_share_a_key_and_each_has_one(view: PairingView):
    for members in view.commands.by_group().values():
        for command in members:
            assert command.keys, command.name
