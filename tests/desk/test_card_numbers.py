"""The numbers of a note as chips in its card."""

from __future__ import annotations

import msgspec
import pytest
from PyQt6.QtCore import QEvent, QPoint, Qt
from PyQt6.QtGui import QHelpEvent, QKeyEvent
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from support.followed import followed_lift, put_lift_on_desk
from support.reviews import note

from cliptag.desk.card import NoteCard
from cliptag.desk.movement import MovementSteps
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import DeskState
from cliptag.measure import number_at, number_of_descriptor, shown

REPORT = followed_lift().report
LEAN = number_of_descriptor(next(d for d in REPORT.descriptors if d.name == "peak_trunk_lean"))
TRUNK = number_at(REPORT.angles["trunk_tilt"], int(REPORT.smoothed.times_us[100]))


def aged(number, by: float):
    """The number as it was, so many of its standard uncertainties ago."""
    return msgspec.structs.replace(number, value=number.value + by * number.sd)


class Desk:
    def __init__(self, *numbers) -> None:
        self.state = DeskState()
        self.following = put_lift_on_desk(
            self.state, followed_lift(), notes=(note(1, numbers=numbers, text="Look."),)
        )
        self.card = NoteCard(self.state, PhraseBook())
        self.state.choose("n1")
        self.card.show()
        QApplication.processEvents()

    @property
    def chips(self):
        return self.card.page.numbers.chips

    @property
    def numbers(self):
        return self.state.chosen_note.numbers

    def end(self) -> None:
        self.card.close()
        self.state.following = None
        self.state.close()


@pytest.fixture
def desk(qapp):
    desk = Desk(LEAN, TRUNK)
    yield desk
    desk.end()


def test_each_number_is_a_chip_with_its_uncertainty(desk):
    names = [chip.name.accessibleName() for chip in desk.chips]
    assert names == [f"{number.words} {shown(number)}" for number in (LEAN, TRUNK)]
    assert "±" in desk.chips[0].name.text()
    assert all(chip.isVisible() for chip in desk.chips)


def test_a_note_without_numbers_has_no_row_for_them(qapp):
    desk = Desk()
    assert not desk.card.page.numbers.isVisible()
    desk.end()


def test_a_chip_leads_to_the_frame_it_was_read_from(desk):
    desk.chips[1].name.click()
    assert desk.state.playhead.index == 100


def test_its_tooltip_tells_where_it_is_from_and_the_smallest_detectable_change(desk):
    """1.96 sqrt(2) sd (de Vet et al., J Clin Epidemiol 2006;59:1033-1039)."""
    chip = desk.chips[0]
    at = QPoint(4, 4)
    QApplication.sendEvent(chip.name, QHelpEvent(QEvent.Type.ToolTip, at, chip.mapToGlobal(at)))
    tip = chip.name.toolTip()
    assert "Of repetition 1" in tip
    assert "Read at 0:02.9" in tip
    assert f"more than {1.96 * 2**0.5 * LEAN.sd:.1f}°" in tip


def test_a_chip_is_taken_away_by_its_cross_and_comes_back_by_undo(desk):
    desk.chips[0].removed.click()
    assert desk.numbers == (TRUNK,)
    desk.state.document.undo()
    assert desk.numbers == (LEAN, TRUNK)


@pytest.mark.parametrize("key", [Qt.Key.Key_Delete, Qt.Key.Key_Backspace])
def test_delete_on_a_chip_takes_the_number_away_and_never_the_note(desk, key):
    chip = desk.chips[1]
    asked = QKeyEvent(QEvent.Type.ShortcutOverride, key, Qt.KeyboardModifier.NoModifier)
    asked.ignore()
    QApplication.sendEvent(chip.name, asked)
    assert asked.isAccepted()
    chip.name.setFocus()
    QTest.keyClick(chip.name, key)
    assert desk.numbers == (LEAN,)


def test_after_one_is_taken_away_the_keyboard_is_on_the_next(desk):
    desk.card.activateWindow()
    desk.chips[0].name.setFocus()
    QTest.keyClick(desk.chips[0].name, Qt.Key.Key_Delete)
    assert desk.card.focusWidget() is desk.chips[0].name


@pytest.mark.parametrize(("by", "is_stale"), [(0.9, False), (-0.9, False), (1.1, True), (-9, True)])
def test_a_number_is_out_of_date_beyond_half_its_shown_uncertainty(qapp, by, is_stale):
    desk = Desk(aged(LEAN, by), TRUNK)
    chip = desk.chips[0]
    assert chip.renewed.isVisible() == is_stale
    assert chip.name.accessibleName().endswith("out of date") == is_stale
    assert not desk.chips[1].renewed.isVisible()
    desk.end()


def test_one_click_renews_a_number_and_leaves_the_others(qapp):
    old = aged(TRUNK, 3)
    desk = Desk(aged(LEAN, 4), old)
    desk.chips[0].renewed.click()
    assert desk.numbers == (LEAN, old)
    assert not desk.chips[0].renewed.isVisible()
    desk.end()


def test_one_command_renews_all_numbers_of_all_notes(qapp):
    desk = Desk(aged(LEAN, 4), aged(TRUNK, 3))
    steps = MovementSteps(desk.state, Reviewing(desk.state, PreferenceStore()))
    steps.renew()
    assert desk.numbers == (LEAN, TRUNK)
    desk.state.document.undo()
    assert desk.numbers == (aged(LEAN, 4), aged(TRUNK, 3))
    desk.end()


def test_a_report_that_comes_later_ages_the_numbers_at_once(qapp):
    desk = Desk(LEAN, TRUNK)
    desk.following.followed = followed_lift((), 1.0)  # smoothed so that peaks are flattened
    desk.following.changed.emit()
    assert any(chip.newer is not None for chip in desk.chips)
    desk.end()


def test_a_note_that_holds_only_a_number_is_not_thrown_away(qapp):
    desk = Desk(LEAN)
    blank = edited(desk)
    desk.card.done()
    assert [kept.id for kept in desk.state.document.review.notes] == [blank]
    desk.end()


def edited(desk: Desk) -> str:
    """The note without its words."""
    review = desk.state.document.review
    (only,) = review.notes
    bare = msgspec.structs.replace(only, text="")
    desk.state.document.do(msgspec.structs.replace(review, notes=(bare,)), "bare")
    return only.id
