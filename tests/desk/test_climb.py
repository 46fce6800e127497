"""The climb: each rung tells its state, the arrow keys climb, a note starts where one stands."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

import msgspec
import numpy as np
import pytest
from hypothesis import given
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QWidget
from support import accessible
from support.fake_clip import FakeClip, put_on_desk
from support.pointer import Pointer
from support.reviews import note, reviews

from cliptag.desk.climb import ClimbView
from cliptag.desk.climb_rungs import progress_words, rungs_of
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import DeskState
from cliptag.review import BODY_REGIONS, CLIMB, SURROUNDING_REGIONS, Region, Review

TIMES_US = np.arange(0, 10_000_000, 40_000)


@dataclass
class Climb:
    """A climb on the desk, in a window that has the keyboard."""

    state: DeskState
    view: ClimbView
    written: list[None] = field(default_factory=list)

    @property
    def review(self) -> Review:
        assert self.state.document is not None
        return self.state.document.review

    def put(self, *notes, **fields) -> None:
        assert self.state.document is not None
        review = msgspec.structs.replace(self.review, notes=notes, **fields)
        self.state.document.do(review, "put")
        QApplication.processEvents()

    def rung(self, region: Region):
        return self.view.board.rungs[region]

    def press(self, key: Qt.Key) -> None:
        """To whatever has the keyboard."""
        focus = QApplication.focusWidget()
        assert focus is not None, "nothing has the keyboard"
        QTest.keyClick(focus, key)

    def click(self, region: Region) -> None:
        rung = self.rung(region)
        at = rung.rect().center()
        Pointer(rung).click(at.x(), at.y())

    @property
    def focused(self) -> Region | None:
        focus = QApplication.focusWidget()
        return next((r for r, rung in self.view.board.rungs.items() if rung is focus), None)


@pytest.fixture
def climb(qapp, tmp_path: Path):
    state = DeskState()
    put_on_desk(state, FakeClip(TIMES_US, 10_000_000))
    view = ClimbView(state, Reviewing(state, PreferenceStore(tmp_path / "preferences.json")))
    view.resize(view.sizeHint().width(), 820)
    view.show()
    QApplication.setActiveWindow(view)
    QTest.qWaitForWindowActive(view)
    climb = Climb(state, view)
    view.writing.connect(lambda: climb.written.append(None))
    yield climb
    view.close()
    state.close()


# -- what a rung tells ---------------------------------------------------------------------------


def test_a_rung_says_its_notes_and_their_kinds():
    review = Review(clip=_clip(), notes=(note(1, kind="try"), note(2, kind="good"), note(3)))
    rungs = rungs_of(review)
    assert rungs["knees"].words == "Knees, 3 notes, seen, good and try"
    assert rungs["feet"].words == "Feet, still open"


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"notes": (note(1, kind="care"),)}, "Knees, 1 note, care"),
        (
            {"notes": (note(1, kind="try"), note(2, kind="good")), "looked_at": ("knees",)},
            "Knees, 2 notes, good and try, looked at and fine",
        ),
        ({"looked_at": ("knees",)}, "Knees, looked at and fine"),
        ({}, "Knees, still open"),
    ],
)
def test_a_rung_says_whether_it_is_fine_or_open(fields, words):
    assert rungs_of(Review(clip=_clip(), **fields))["knees"].words == words


def test_an_impression_counts_as_a_look_at_the_whole():
    assert rungs_of(Review(clip=_clip()))["whole"].words == "Overall, still open"
    words = rungs_of(Review(clip=_clip(), impression="Calm."))["whole"].words
    assert words == "Overall, impression written"


@given(reviews())
def test_every_note_is_on_exactly_one_rung_and_open_means_nothing_is_there(review):
    rungs = rungs_of(review)
    assert tuple(rungs) == CLIMB
    assert sorted(n.id for rung in rungs.values() for n in rung.notes) == sorted(
        n.id for n in review.notes
    )
    for region, rung in rungs.items():
        assert rung.is_fine == (region in review.looked_at)
        if rung.is_open:
            assert not rung.notes
            assert not rung.is_fine
        starts = [n.start_us for n in rung.notes]
        assert starts == sorted(starts)


@given(reviews())
def test_progress_counts_the_body_first(review):
    rungs = rungs_of(review)
    done = sum(
        region in review.looked_at or any(n.region == region for n in review.notes)
        for region in BODY_REGIONS
    )
    words = progress_words(rungs)
    if done < len(BODY_REGIONS):
        assert words == f"{done} of 13 looked at"
    else:
        assert "13 of 13" in words or "around" in words or words == "All looked at"


def test_progress_goes_on_round_the_client():
    fine = Review(clip=_clip(), looked_at=BODY_REGIONS)
    assert progress_words(rungs_of(fine)) == "13 of 13 looked at"
    more = Review(clip=_clip(), looked_at=(*BODY_REGIONS, "seat", "floor"))
    assert progress_words(rungs_of(more)) == "Body done, 2 of 8 around"
    assert progress_words(rungs_of(Review(clip=_clip(), looked_at=CLIMB))) == "All looked at"


def test_stepping_goes_round_a_rungs_notes():
    review = Review(clip=_clip(), notes=(note(2), note(1), note(3, region="feet")))
    rung = rungs_of(review)["knees"]
    assert [rung.note_after(at).id for at in (None, "n1", "n2", "n3")] == ["n1", "n2", "n1", "n1"]
    assert rungs_of(review)["gaze"].note_after(None) is None


# -- how it is laid out --------------------------------------------------------------------------


def test_one_climbs_upward_and_the_surroundings_are_beneath_the_ground(climb):
    def middle(region: Region) -> int:
        return climb.rung(region).geometry().center().y()

    ladder = [middle(region) for region in BODY_REGIONS]
    assert ladder == sorted(ladder, reverse=True)
    assert middle("whole") < ladder[-1]
    assert all(middle(region) > ladder[0] for region in SURROUNDING_REGIONS)


@pytest.mark.parametrize("height", [300, 600, 820, 1400])
def test_no_rung_covers_another_or_cuts_its_words(climb, height):
    climb.view.resize(climb.view.width(), height)
    QApplication.processEvents()
    boxes = [rung.geometry() for rung in climb.view.board.rungs.values()]
    for place, box in enumerate(boxes):
        assert climb.view.board.rect().contains(box)
        assert all(not box.intersects(other) for other in boxes[place + 1 :])
    for rung in climb.view.board.rungs.values():
        # Tick, words and a shape.
        assert rung.width() >= rung.fontMetrics().horizontalAdvance("Back support") + 30


# -- climbing ------------------------------------------------------------------------------------


def test_the_arrow_keys_climb(climb):
    climb.view.board.rungs["feet"].setFocus()
    assert climb.state.rung == "feet"
    for region in BODY_REGIONS[1:]:
        climb.press(Qt.Key.Key_Up)
        assert (climb.focused, climb.state.rung) == (region, region)
    climb.press(Qt.Key.Key_Up)
    climb.press(Qt.Key.Key_Up)
    assert climb.state.rung == "whole"
    for _ in range(30):
        climb.press(Qt.Key.Key_Down)
    assert climb.state.rung == SURROUNDING_REGIONS[-1]


def test_the_tab_key_stops_at_one_rung(climb):
    climb.state.stand_on("hips")
    stops = [
        region
        for region, rung in climb.view.board.rungs.items()
        if rung.focusPolicy() & Qt.FocusPolicy.TabFocus
    ]
    assert stops == ["hips"]


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Enter])
def test_enter_starts_a_note_at_the_shown_frame(climb, key):
    climb.state.playhead.go_to(50)
    climb.rung("hips").setFocus()
    climb.press(key)
    (made,) = climb.review.notes
    assert (made.region, made.start_us, made.text) == ("hips", TIMES_US[50], "")
    assert climb.state.chosen_note == made
    assert len(climb.written) == 1
    climb.state.document.undo()
    assert climb.review.notes == ()


def test_enter_opens_the_note_that_is_on_at_the_shown_frame(climb):
    climb.put(note(1, region="hips"), note(2, region="hips"), note(3, region="feet"))
    climb.state.playhead.go_to_time(2_300_000)
    climb.rung("hips").setFocus()
    climb.press(Qt.Key.Key_Return)
    assert climb.state.chosen_note.id == "n2"
    assert len(climb.review.notes) == 3
    assert len(climb.written) == 1
    climb.state.playhead.go_to_time(5_000_000)
    climb.press(Qt.Key.Key_Return)
    assert len(climb.review.notes) == 4


def test_a_screen_readers_press_is_like_enter(climb):
    climb.put(note(1, region="hips"))
    climb.state.playhead.go_to_time(5_000_000)
    climb.rung("hips").click()
    assert len(climb.review.notes) == 2


def test_a_click_on_a_rung_without_notes_starts_one(climb):
    climb.state.playhead.go_to(20)
    climb.click("seat")
    assert climb.state.chosen_note.region == "seat"
    assert climb.state.chosen_note.start_us == TIMES_US[20]
    assert climb.written


def test_clicks_on_a_rung_step_through_its_notes(climb):
    climb.put(note(2), note(1), note(3, region="feet"))
    before = climb.review
    seen = []
    for _ in range(3):
        climb.click("knees")
        seen.append((climb.state.chosen_note.id, climb.state.playhead.time_us))
    assert seen == [("n1", 1_000_000), ("n2", 2_000_000), ("n1", 1_000_000)]
    assert climb.review == before
    assert climb.written == []


def test_the_plus_starts_a_further_note(climb):
    climb.put(note(1))
    rung = climb.rung("knees")
    assert not rung.more.isVisible()
    rung.setFocus()
    assert rung.more.isVisible()
    Pointer(rung.more).click(3, 3)
    assert [n.region for n in climb.review.notes] == ["knees", "knees"]


def test_a_click_on_the_tick_tells_that_a_region_is_fine(climb):
    tick = climb.rung("pelvis").tick
    Pointer(tick).click(tick.width() / 2, tick.height() / 2)
    assert climb.review.looked_at == ("pelvis",)
    assert tick.isChecked()
    assert climb.view.progress.text() == "1 of 13 looked at"
    Pointer(tick).click(tick.width() / 2, tick.height() / 2)
    assert climb.review.looked_at == ()
    assert not tick.isChecked()
    climb.state.document.undo()
    assert tick.isChecked()


def test_the_next_open_rung_is_the_next_one_up(climb):
    climb.put(note(1, region="ankles"), looked_at=("knees", "gaze"), impression="Calm.")
    climb.state.stand_on("feet")
    climb.view.next_button.click()
    assert (climb.state.rung, climb.focused) == ("hips", "hips")
    climb.state.stand_on("head")
    climb.view.next_open()
    assert climb.state.rung == "seat"


def test_choosing_a_note_stands_on_its_rung_and_leaving_the_rung_lets_go_of_the_note(climb):
    climb.put(note(1, region="neck"))
    climb.state.choose("n1")
    assert climb.state.rung == "neck"
    climb.rung("neck").setFocus()
    assert climb.state.chosen_note is not None
    climb.press(Qt.Key.Key_Down)
    assert climb.state.chosen_note is None


def test_a_rung_out_of_sight_is_scrolled_to(climb):
    climb.view.resize(climb.view.width(), 380)
    QApplication.processEvents()
    for region in ("footwear", "whole", "ankles"):
        climb.state.stand_on(region)
        rung = climb.rung(region)
        area = climb.view.board.parentWidget()
        top = rung.mapTo(area, QPoint(0, 0)).y()
        assert top >= 0
        assert top + rung.height() <= area.height()


def test_with_nothing_open_the_climb_can_not_be_used(climb):
    climb.state.close()
    QApplication.processEvents()
    assert not climb.view.next_button.isEnabled()
    assert not climb.view.board.isEnabled()
    assert not climb.view.impression.isEnabled()
    assert climb.view.progress.text() == ""


# -- what a screen reader is told ----------------------------------------------------------------


def test_qt_tells_a_screen_reader_every_rungs_state(climb):
    if not accessible.works():
        pytest.skip("Qt's accessibility interface can't be asked on this machine")
    climb.put(
        note(1, kind="try"),
        note(2, kind="good"),
        looked_at=("pelvis",),
    )
    for region, rung in climb.view.board.rungs.items():
        told = accessible.told(rung)
        assert (told.role, told.is_focusable, told.is_disabled) == ("button", True, False)
        assert told.name == rungs_of(climb.review)[region].words
        assert told.description
    assert accessible.told(climb.rung("knees")).name == "Knees, 2 notes, good and try"
    tick = accessible.told(climb.rung("pelvis").tick)
    assert (tick.role, tick.name, tick.is_checked) == (
        "check box",
        "Pelvis looked at and fine",
        True,
    )
    assert not accessible.told(climb.rung("knees").tick).is_checked


def test_every_control_has_a_name_and_a_tooltip(climb):
    climb.rung("feet").setFocus()
    for widget in climb.view.findChildren(QWidget):
        if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible():
            name = widget.accessibleName() or getattr(widget, "text", str)()
            assert name, widget
            assert widget.toolTip(), widget


# -- impression ----------------------------------------------------------------------------------


def test_the_impression_is_written_in_one_step_for_each_spell_of_typing(climb):
    field = climb.view.impression.text
    climb.view.impression.write()
    QTest.keyClicks(field, "You stand well.")
    assert climb.review.impression == "You stand well."
    assert climb.view.progress.text() == "0 of 13 looked at"
    field.rested.emit()
    QTest.keyClicks(field, " Keep it.")
    climb.state.document.undo()
    assert climb.review.impression == field.text() == "You stand well."
    climb.state.document.undo()
    assert climb.review.impression == field.text() == ""
    climb.state.document.redo()
    assert field.text() == "You stand well."


def _clip():
    from support.reviews import clip_ref

    return clip_ref()
