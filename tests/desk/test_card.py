"""The note card: every field goes both ways, each edit is one step, and the marks stay free."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

import msgspec
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtCore import QEvent, QPoint, QPointF, QRect, QSize, Qt
from PyQt6.QtGui import QAction, QHelpEvent, QInputMethodEvent, QWheelEvent
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QComboBox, QLabel, QLineEdit, QWidget
from support import accessible
from support.fake_clip import FakeClip, put_on_desk
from support.pointer import PLAIN
from support.reviews import every_mark, note

from cliptag.desk.card import NoteCard
from cliptag.desk.card.completion import sentence_begun
from cliptag.desk.card.placing import place_beside
from cliptag.desk.card.typing_text import PAUSE_MS
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.state import DeskState
from cliptag.desk.strip import time_words
from cliptag.desk.strip.reading import Reading
from cliptag.export import CaptionRules, ExportOptions, Hold, build_timeline, reading_times
from cliptag.measure import readings_of
from cliptag.paint import Sizes, ensure_painter_ready, line_fits
from cliptag.review import Note, Number, Part, Point, Review, Tilt, Voice, edit
from cliptag.words import words_of

TIMES_US = np.concatenate([[0], np.cumsum([33_333, 40_000, 16_000, 90_000] * 60)])
DURATION_US = int(TIMES_US[-1]) + 40_000
CTRL = Qt.KeyboardModifier.ControlModifier


@dataclass
class Desk:
    """A card on a window of its own, with a phrase book."""

    state: DeskState
    card: NoteCard
    book: PhraseBook
    said: list[str] = field(default_factory=list)

    @property
    def review(self) -> Review:
        assert self.state.document is not None
        return self.state.document.review

    @property
    def note(self) -> Note:
        assert self.state.chosen_note is not None
        return self.state.chosen_note

    @property
    def text(self):
        return self.card.page.text

    def put(self, *notes: Note, **fields) -> None:
        assert self.state.document is not None
        review = msgspec.structs.replace(self.review, notes=notes, **fields)
        self.state.document.do(review, "put")
        self.state.document.end_run()
        QApplication.processEvents()

    def open(self, **fields) -> None:
        """One note, chosen."""
        self.put(note(1, **{"text": "Heels back.", **fields}))
        self.state.choose("n1")
        QApplication.processEvents()

    def undo(self) -> None:
        assert self.state.document is not None
        self.state.document.undo()

    @property
    def undo_words(self) -> str | None:
        assert self.state.document is not None
        return self.state.document.undo_words


@pytest.fixture
def desk(qapp, tmp_path: Path):
    ensure_painter_ready()
    state = DeskState()
    put_on_desk(state, FakeClip(TIMES_US, DURATION_US))
    host = QWidget()
    host.resize(1280, 800)
    book = PhraseBook(tmp_path / "phrases.json")
    card = NoteCard(state, book, host)
    card.place_in(host.rect(), QRect())
    host.show()
    QApplication.setActiveWindow(host)
    QTest.qWaitForWindowActive(host)
    desk = Desk(state, card, book)
    state.said.connect(desk.said.append)
    state.warned.connect(desk.said.append)
    yield desk
    host.close()
    state.close()


def pick(box: QComboBox, value: object) -> None:
    """What a person does: choose an entry of a list."""
    place = box.findData(value)
    assert place >= 0
    box.setCurrentIndex(place)
    box.activated.emit(place)


# -- opening and closing -------------------------------------------------------------------------


def test_the_card_shows_the_chosen_note_and_is_hidden_without_one(desk):
    assert not desk.card.isVisible()
    desk.put(note(1, text="One."), note(2, text="Two.", region="feet", kind="care"))
    desk.state.choose("n1")
    assert desk.card.isVisible()
    assert desk.text.text() == "One."
    desk.state.choose("n2")
    assert desk.text.text() == "Two."
    assert desk.card.head.region.currentText() == "Feet"
    assert desk.card.head.kinds.buttons["care"].isChecked()
    desk.state.choose(None)
    assert not desk.card.isVisible()


def test_a_note_that_is_taken_away_by_undo_takes_its_card_with_it(desk):
    desk.open()
    desk.undo()
    assert not desk.card.isVisible()
    desk.state.document.redo()
    assert desk.card.isVisible()


def test_a_new_note_takes_the_keyboard_and_an_old_one_does_not(desk):
    desk.open()
    assert not desk.text.hasFocus()
    desk.open(text="")
    desk.state.choose(None)
    desk.state.choose("n1")
    assert desk.text.hasFocus()
    desk.card.write()
    assert desk.text.hasFocus()


def test_done_puts_the_card_away_and_keeps_the_note(desk):
    desk.open()
    finished = []
    desk.card.finished.connect(lambda: finished.append(True))
    desk.card.foot.done_button.click()
    assert not desk.card.isVisible()
    assert len(desk.review.notes) == 1
    assert finished


def test_an_empty_note_goes_with_its_card_and_undo_brings_it_back(desk):
    desk.open(text=" ")
    desk.card.done()
    assert desk.review.notes == ()
    assert desk.undo_words == "drop empty note"
    desk.undo()
    assert len(desk.review.notes) == 1


def test_escape_leaves_the_text_first_and_the_card_then(desk):
    desk.open()
    desk.card.write()
    QTest.keyClick(desk.text, Qt.Key.Key_Escape)
    assert not desk.text.hasFocus()
    assert desk.state.chosen_note is not None
    QTest.keyClick(desk.card, Qt.Key.Key_Escape)
    assert desk.state.chosen_note is None


def test_ctrl_enter_is_done_and_enter_is_a_new_line(desk):
    desk.open(text="One")
    desk.card.write()
    desk.text.moveCursor(desk.text.textCursor().MoveOperation.End)
    QTest.keyClick(desk.text, Qt.Key.Key_Return)
    QTest.keyClicks(desk.text, "Two")
    assert desk.note.text == "One\nTwo"
    QTest.keyClick(desk.text, Qt.Key.Key_Return, CTRL)
    assert desk.state.chosen_note is None
    assert desk.review.notes[0].text == "One\nTwo"


# -- text ----------------------------------------------------------------------------------------


def test_typing_is_one_step_until_a_pause(desk):
    desk.open(text="")
    desk.card.write()
    QTest.keyClicks(desk.text, "Sit tall.")
    QTest.qWait(PAUSE_MS + 200)
    QTest.keyClicks(desk.text, " Look ahead.")
    assert desk.note.text == "Sit tall. Look ahead."
    desk.undo()
    assert desk.note.text == desk.text.text() == "Sit tall."
    desk.undo()
    assert desk.note.text == desk.text.text() == ""


def test_leaving_the_field_ends_the_step_too(desk):
    desk.open(text="")
    desk.card.write()
    QTest.keyClicks(desk.text, "Sit tall.")
    desk.card.head.region.setFocus()
    desk.card.write()
    QTest.keyClicks(desk.text, "!")
    desk.undo()
    assert desk.note.text == "Sit tall."


def test_ctrl_z_in_the_field_is_the_desks_undo(desk):
    desk.open(text="Before.")
    desk.card.head.kinds.buttons["good"].click()
    desk.card.write()
    desk.text.moveCursor(desk.text.textCursor().MoveOperation.End)
    QTest.keyClicks(desk.text, " After.")
    desk.text.undo()
    assert desk.text.text() == "Before. After."
    QTest.keyClick(desk.text, Qt.Key.Key_Z, CTRL)
    assert desk.text.text() == "Before."
    QTest.keyClick(desk.text, Qt.Key.Key_Z, CTRL)
    assert desk.note.kind == "seen"


def test_undo_leaves_the_cursor_where_the_text_changed(desk):
    desk.open(text="One two three")
    desk.card.write()
    cursor = desk.text.textCursor()
    cursor.setPosition(3)
    desk.text.setTextCursor(cursor)
    QTest.keyClicks(desk.text, " and")
    desk.undo()
    assert desk.text.text() == "One two three"
    assert desk.text.textCursor().position() == 3


@pytest.mark.parametrize("text", ["Attention\u202f: 5\u00a0kg", "🎻\n膝", "שלום\n\nعليكم", "a\tb"])
def test_any_text_goes_in_and_comes_out_unchanged(desk, text):
    desk.open(text="")
    desk.card.write()
    event = QInputMethodEvent()
    event.setCommitString(text)
    QApplication.sendEvent(desk.text, event)
    assert desk.note.text == text
    desk.state.choose(None)
    desk.state.choose("n1")
    assert desk.text.text() == text


def test_the_field_grows_with_its_text(desk):
    desk.open(text="Short.")
    low = desk.text.sizeHint().height()
    before = desk.card.height()
    desk.put(note(1, text="A long sentence that goes on and on. " * 8))
    QTest.qWait(30)
    assert desk.text.height() > low
    assert desk.card.height() > before
    assert desk.card.geometry().bottom() <= 800


# -- region and kind -----------------------------------------------------------------------------


def test_region_and_kind_go_both_ways(desk):
    desk.open()
    pick(desk.card.head.region, "neck")
    assert desk.note.region == "neck"
    assert desk.undo_words == "move note to neck"
    QTest.mouseClick(desk.card.head.kinds.buttons["try"], Qt.MouseButton.LeftButton)
    assert desk.note.kind == "try"
    desk.undo()
    assert desk.card.head.kinds.buttons["seen"].isChecked()
    desk.undo()
    assert desk.card.head.region.currentData() == "knees"


def test_the_arrow_keys_choose_a_kind(desk):
    desk.open()
    buttons = desk.card.head.kinds.buttons
    buttons["seen"].setFocus()
    QTest.keyClick(buttons["seen"], Qt.Key.Key_Right)
    assert (desk.note.kind, buttons["good"].hasFocus()) == ("good", True)


def test_a_turn_of_the_wheel_changes_no_field(desk):
    desk.open()
    before = desk.review
    for box in desk.card.findChildren(QComboBox):
        at = QPointF(5, 5)
        QApplication.sendEvent(
            box,
            QWheelEvent(
                at,
                box.mapToGlobal(at),
                QPoint(),
                QPoint(0, -120),
                Qt.MouseButton.NoButton,
                PLAIN,
                Qt.ScrollPhase.NoScrollPhase,
                False,
            ),
        )
    assert desk.review == before


# -- interval ------------------------------------------------------------------------------------


def type_time(field: QLineEdit, text: str) -> None:
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)


def test_times_are_typed_to_the_millisecond_and_land_on_frames(desk):
    desk.open(start_us=0, end_us=2_000_000)
    row = desk.card.page.interval
    type_time(row.start, time_words(int(TIMES_US[17])))
    assert desk.note.start_us == TIMES_US[17]
    assert desk.undo_words == "start of note"
    type_time(row.end, f"{TIMES_US[40] / 1e6 + 0.004:.3f}")
    assert desk.note.end_us == TIMES_US[40]
    assert row.end.text() == time_words(int(TIMES_US[40]))
    assert not row.trouble.isVisible()
    desk.undo()
    assert row.end.text() == "0:02.000"


@given(st.integers(0, len(TIMES_US) - 1))
def test_the_shown_time_of_any_frame_typed_again_is_that_frame(index):
    from cliptag.desk.strip import FrameTimes, parse_time

    frames = FrameTimes(TIMES_US, DURATION_US)
    assert frames.start_near(parse_time(time_words(int(TIMES_US[index])))) == TIMES_US[index]


@pytest.mark.parametrize(
    ("which", "text", "sentence"),
    [
        ("start", "soon", "Type a time"),
        ("start", "9:99", "Type a time"),
        ("end", "", "Type a time"),
        ("end", "0.2", "can't end before"),
        ("start", "4", "can't end before"),
        ("end", "99:00", "The clip ends at"),
    ],
)
def test_a_time_that_can_not_be_is_told_in_place_and_changes_nothing(desk, which, text, sentence):
    desk.open(start_us=1_000_000, end_us=2_000_000)
    before, row = desk.review, desk.card.page.interval
    field = getattr(row, which)
    field.setFocus()
    field.selectAll()
    QTest.keyClick(field, Qt.Key.Key_Delete)
    QTest.keyClicks(field, text)
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert sentence in row.trouble.text()
    assert row.trouble.isVisible()
    assert field.text() == text
    assert desk.review == before
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert field.text() == time_words(getattr(desk.note, f"{which}_us"))
    assert not row.trouble.isVisible()


def test_trouble_is_forgotten_with_another_note(desk):
    desk.put(note(1), note(2))
    desk.state.choose("n1")
    row = desk.card.page.interval
    type_time(row.start, "soon")
    desk.state.choose("n2")
    assert not row.trouble.isVisible()
    assert row.start.text() == "0:02.000"


def test_start_and_end_are_taken_from_the_playhead(desk):
    desk.open(start_us=0, end_us=2_000_000)
    row = desk.card.page.interval
    desk.state.playhead.go_to(30)
    row.start_here.click()
    assert (desk.note.start_us, desk.note.end_us) == (TIMES_US[30], 2_000_000)
    desk.state.playhead.go_to(35)
    row.end_here.click()
    # The note lasts until the shown frame is over.
    assert desk.note.end_us == TIMES_US[36]
    desk.state.playhead.go_to(len(TIMES_US) - 1)
    row.end_here.click()
    assert desk.note.end_us == DURATION_US


def test_a_note_taken_to_a_frame_behind_its_end_keeps_its_length(desk):
    desk.open(start_us=0, end_us=500_000)
    desk.state.playhead.go_to(100)
    desk.card.page.interval.start_here.click()
    assert (desk.note.start_us, desk.note.end_us) == (TIMES_US[100], TIMES_US[100] + 500_000)


# -- pace ----------------------------------------------------------------------------------------


def test_hold_and_slow_motion_go_both_ways(desk):
    desk.open()
    pace = desk.card.page.pace
    assert not pace.seconds.isVisible()
    pick(pace.hold, False)
    assert desk.note.hold_us == 2_000_000
    assert pace.seconds.isVisible()
    pace.seconds.setFocus()
    pace.seconds.selectAll()
    QTest.keyClicks(pace.seconds, "3.5")
    QTest.keyClick(pace.seconds, Qt.Key.Key_Return)
    assert desk.note.hold_us == 3_500_000
    assert desk.undo_words == "length of hold"
    pick(pace.slow, 4)
    assert desk.note.slow_by == 4
    assert desk.undo_words == "4 × slower"
    for expected in (3_500_000, 2_000_000, None):
        desk.undo()
        assert desk.note.hold_us == expected
    assert pace.hold.currentData() is True
    pick(pace.hold, False)
    pick(pace.hold, True)
    assert desk.note.hold_us is None


def test_repetitions_are_asked_for_with_exercises_only(desk):
    desk.open()
    field = desk.card.page.repetitions.field
    assert not field.isVisible()
    desk.card.head.kinds.buttons["exercise"].click()
    assert field.isVisible()
    field.setFocus()
    QTest.keyClicks(field, "2 x 8")
    assert desk.note.repetitions == "2 x 8"
    desk.undo()
    assert desk.note.repetitions == field.text() == ""


def test_a_photo_has_no_times_and_does_not_play(desk):
    put_on_desk(desk.state, FakeClip([0], 1_000_000, is_photo=True))
    desk.open(start_us=0, end_us=0)
    page = desk.card.page
    assert not page.interval.isVisible()
    assert not page.pace.slow.isVisible()
    assert page.pace.hold.isVisible()


# -- reading time --------------------------------------------------------------------------------


LEAN = Number(
    name="peak_trunk_lean", words="Trunk lean, at most", value=48.2, sd=0.8, unit="°", at_us=0
)


def plan_of(
    review: Review, cps: float = 17.0, scale: float = 1.0, language: str = "en"
) -> tuple[int, int]:
    """Reading need and hold of the note n1, from the export's own functions."""
    fits = partial(line_fits, sizes=Sizes(review.clip.width, review.clip.height, scale))
    needs = reading_times(review, fits, CaptionRules(max_cps=cps), words_of(language))
    timeline = build_timeline(review, TIMES_US, DURATION_US, needs)
    holds = [s for s in timeline.spans if isinstance(s, Hold) and s.note_id == "n1"]
    return needs.get("n1", 0), sum(hold.out_end_us - hold.out_start_us for hold in holds)


@pytest.mark.parametrize(
    "fields",
    [
        {"text": "Slide both heels back until they are just behind your knees."},
        {"text": "Slide both heels back.", "slow_by": 4},
        {"text": "Heels back.", "hold_us": 3_000_000},
        {"text": "Heels back.", "marks": every_mark()},
        {"text": "", "marks": every_mark()},
        {"text": "A sentence of several words. " * 20, "end_us": 4_000_000},
        {"text": "Heels back.", "numbers": (LEAN,)},
        {"text": "", "numbers": (LEAN,)},
    ],
)
def test_the_reading_time_is_the_exports_own(desk, fields):
    desk.open(start_us=int(TIMES_US[20]), **{"end_us": int(TIMES_US[45]), **fields})
    QTest.qWait(400)
    need_us, hold_us = plan_of(desk.review)
    words = desk.card.page.reading.text()
    still = f"stand still for {hold_us / 1e6:.1f} s" if hold_us else "not stand still"
    assert still in words
    assert (f"Reading needs {need_us / 1e6:.1f} s" in words) == bool(need_us)


def test_the_next_note_takes_time_from_this_one(desk):
    text = "Slide both heels back until they are just behind your knees."
    start_us = int(TIMES_US[10])
    desk.open(start_us=start_us, end_us=start_us + 5_000_000, text=text)
    QTest.qWait(400)
    alone = desk.card.page.reading.text()
    desk.put(desk.note, note(2, start_us=start_us + 500_000, end_us=start_us + 900_000))
    QTest.qWait(400)
    _, hold_us = plan_of(desk.review)
    assert f"{hold_us / 1e6:.1f} s" in desk.card.page.reading.text() != alone


def test_a_slower_reader_needs_longer(desk):
    desk.open(text="Slide both heels back until they are just behind your knees.")
    desk.card.plan_for(ExportOptions(rules=CaptionRules(max_cps=8.0)))
    QTest.qWait(400)
    need_us, _ = plan_of(desk.review, 8.0)
    assert f"Reading needs {need_us / 1e6:.1f} s" in desk.card.page.reading.text()


def test_it_is_planned_in_the_clients_language_and_size_of_captions(desk):
    desk.open(text="Heels back.", numbers=(LEAN,))
    desk.card.plan_for(ExportOptions(caption_scale=1.4, usual_language="es"))
    QTest.qWait(400)
    usual_us, _ = plan_of(desk.review)
    need_us, _ = plan_of(desk.review, scale=1.4, language="es")
    assert need_us > usual_us + 100_000
    assert f"Reading needs {need_us / 1e6:.1f} s" in desk.card.page.reading.text()
    german = msgspec.structs.replace(desk.review, language="de")
    desk.put(desk.note, language="de")
    QTest.qWait(400)
    need_us, _ = plan_of(german, scale=1.4, language="de")
    assert f"Reading needs {need_us / 1e6:.1f} s" in desk.card.page.reading.text()


def test_a_voice_is_told_where_it_makes_the_hold_longer(desk):
    voice = Voice(path="x.voice/n1.flac", digest="0" * 64, start_us=0, end_us=6_200_000)
    desk.open(text="Heels back.", voice=voice)
    QTest.qWait(400)
    _, hold_us = plan_of(desk.review)
    words = desk.card.page.reading.text()
    assert hold_us == 6_500_000
    assert "your voice 6.2 s; the picture will stand still for 6.5 s." in words
    desk.put(msgspec.structs.replace(desk.note, text=""))
    QTest.qWait(400)
    assert desk.card.page.reading.text().startswith("Your voice needs 6.2 s; ")


def test_a_note_that_is_not_sent_says_so(desk):
    desk.open(start_us=0, end_us=400_000)
    desk.put(desk.note, part=Part(start_us=1_000_000, end_us=DURATION_US))
    QTest.qWait(400)
    assert "Outside the part" in desk.card.page.reading.text()
    desk.put(desk.note, part=Part(start_us=DURATION_US, end_us=DURATION_US + 1))
    QTest.qWait(400)
    assert desk.card.page.reading.text()


# -- marks ---------------------------------------------------------------------------------------


def test_every_mark_has_a_row_with_its_number(desk):
    desk.open(marks=every_mark())
    rows = desk.card.page.marks.rows
    assert list(rows) == [mark.id for mark in every_mark()]
    assert rows["joint"].name.text().strip() == "Knee angle"
    numbers = {reading.mark_id: reading.text for reading in readings_of(desk.review)}
    assert set(numbers) == {"joint", "tilt", "span", "between"}
    for mark_id, number in numbers.items():
        assert number in rows[mark_id].name.accessibleName()
        assert rows[mark_id]._number.text() == number


def test_a_row_chooses_its_mark_and_only_that_one_shows_its_controls(desk):
    desk.open(marks=every_mark())
    rows = desk.card.page.marks.rows
    assert not any(row.label.isVisible() for row in rows.values())
    rows["ring"].name.click()
    assert desk.state.chosen_mark.id == "ring"
    assert [mark_id for mark_id, row in rows.items() if row.label.isVisible()] == ["ring"]
    rows["ring"].name.click()
    assert desk.state.chosen_mark is None
    assert desk.state.chosen_note is not None


def test_marks_of_the_same_id_on_two_notes_are_kept_apart(desk):
    desk.put(note(1, marks=every_mark()), note(2, marks=every_mark()[:2]))
    desk.state.choose("n1")
    desk.state.choose("n2")
    rows = desk.card.page.marks.rows
    assert list(rows) == ["arrow", "ring"]
    rows["ring"].name.click()
    assert (desk.note.id, desk.state.chosen_mark.id) == ("n2", "ring")
    pick(rows["ring"].colour, "green")
    assert edit.mark_of(desk.review, "n2", "ring").colour == "green"
    assert edit.mark_of(desk.review, "n1", "ring").colour == "kind"


def test_label_colour_and_weight_go_both_ways(desk):
    desk.open(marks=every_mark())
    desk.state.choose("n1", "ring")
    row = desk.card.page.marks.rows["ring"]
    row.label.setFocus()
    QTest.keyClicks(row.label, "here")
    pick(row.colour, "yellow")
    pick(row.weight, "bold")
    mark = edit.mark_of(desk.review, "n1", "ring")
    assert (mark.label, mark.colour, mark.weight) == ("here", "yellow", "bold")
    assert desk.undo_words == "weight of ring"
    assert row.label.hasFocus()
    for _ in range(3):
        desk.undo()
    assert edit.mark_of(desk.review, "n1", "ring") == every_mark()[1]
    assert (row.label.text(), row.colour.currentData(), row.weight.currentData()) == (
        "",
        "kind",
        "normal",
    )


def test_a_mark_is_deleted_and_comes_back_with_undo(desk):
    desk.open(marks=every_mark())
    desk.card.page.marks.rows["arrow"].delete.click()
    assert "arrow" not in {mark.id for mark in desk.note.marks}
    assert "arrow" not in desk.card.page.marks.rows
    assert desk.undo_words == "delete arrow"
    desk.undo()
    assert "arrow" in desk.card.page.marks.rows


# -- the note as a whole -------------------------------------------------------------------------


def test_a_copy_has_ids_of_its_own_and_comes_next(desk):
    desk.put(note(1, marks=every_mark()), note(2))
    desk.state.choose("n1")
    desk.card.foot.duplicate.click()
    first, copy, last = desk.review.notes
    assert (first.id, last.id) == ("n1", "n2")
    assert desk.note == copy
    assert copy.id not in ("n1", "n2")
    assert not {mark.id for mark in copy.marks} & {mark.id for mark in first.marks}
    same = msgspec.structs.replace(copy, id="n1", marks=first.marks)
    assert same == first
    assert len(copy.marks) == len(first.marks)
    desk.undo()
    assert len(desk.review.notes) == 2


def test_delete_takes_the_note_and_undo_brings_it_back(desk):
    desk.open(marks=every_mark())
    before = desk.review
    desk.card.foot.delete.click()
    assert desk.review.notes == ()
    assert not desk.card.isVisible()
    assert desk.undo_words == "delete note"
    desk.undo()
    assert desk.review == before


# -- phrase book ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("before", "begun"),
    [
        ("he ba", "he ba"),
        ("Sit tall. he ba", "he ba"),
        ("Sit tall.\nhe", "he"),
        ("3.5 kg", "3.5 kg"),
        ("Really?! ", ""),
        ('"Up!" he', "he"),
        ("坐直。膝", "膝"),
        ("قف؟ رك", "رك"),
        ("", ""),
    ],
)
def test_what_was_typed_of_a_sentence_begins_behind_the_last_one(before, begun):
    assert sentence_begun(before) == begun


def offered(desk: Desk) -> list[str]:
    model = desk.text.completer.completionModel()
    return [model.index(row, 0).data() for row in range(model.rowCount())]


@pytest.mark.parametrize("key", [Qt.Key.Key_Tab, Qt.Key.Key_Return, Qt.Key.Key_Enter])
def test_a_few_letters_and_a_key_insert_a_sentence(desk, key):
    desk.book.remember("Keep your back long.")
    desk.book.remember("Slide your heels back.")
    desk.open(text="")
    desk.card.write()
    QTest.keyClicks(desk.text, "Sit tall. he ba")
    assert desk.text.is_offering
    assert offered(desk) == ["Slide your heels back."]
    QTest.keyClick(desk.text.completer.popup(), key)
    assert desk.note.text == "Sit tall. Slide your heels back."
    assert not desk.text.is_offering
    assert desk.text.hasFocus()
    assert desk.book.phrases[0] == "Slide your heels back."


def test_typing_goes_on_while_sentences_are_offered_and_escape_refuses(desk):
    desk.book.remember("Slide your heels back.")
    desk.open(text="")
    desk.card.write()
    popup = desk.text.completer.popup()
    QTest.keyClicks(desk.text, "he")
    assert desk.text.is_offering
    QTest.keyClicks(popup, "e")
    assert desk.text.text() == "hee"
    assert desk.text.is_offering
    QTest.keyClick(popup, Qt.Key.Key_Escape)
    assert not desk.text.is_offering
    assert (desk.text.text(), desk.note.text) == ("hee", "hee")
    assert desk.card.isVisible()
    QTest.keyClicks(desk.text, "x")
    assert not desk.text.is_offering


def test_the_arrow_keys_choose_among_sentences(desk):
    desk.book.remember("Heels down.")
    desk.book.remember("Heels back.")
    desk.open(text="")
    desk.card.write()
    QTest.keyClicks(desk.text, "heels")
    assert offered(desk) == ["Heels back.", "Heels down."]
    popup = desk.text.completer.popup()
    QTest.keyClick(popup, Qt.Key.Key_Down)
    QTest.keyClick(popup, Qt.Key.Key_Return)
    assert desk.note.text == "Heels down."


def test_one_letter_or_a_finished_sentence_offers_nothing(desk):
    desk.book.remember("Heels back.")
    desk.open(text="")
    desk.card.write()
    for typed in ("h", "zz"):
        QTest.keyClicks(desk.text, typed)
        assert not desk.text.is_offering
    desk.text.selectAll()
    QTest.keyClicks(desk.text, "Heels back.")
    assert not desk.text.is_offering


def test_a_sentence_is_remembered_and_forgotten_by_its_button(desk):
    desk.open(text="Slide your heels back.")
    button = desk.card.page.remember
    assert button.text() == "Remember"
    button.click()
    assert desk.book.phrases == ("Slide your heels back.",)
    assert desk.said
    assert button.text() == "Forget"
    button.click()
    assert desk.book.phrases == ()
    cursor = desk.text.textCursor()
    cursor.setPosition(6)
    cursor.setPosition(16, cursor.MoveMode.KeepAnchor)
    desk.text.setTextCursor(cursor)
    button.click()
    assert desk.book.phrases == ("your heels",)


def test_a_phrase_book_that_can_not_be_written_is_told_of(desk, tmp_path):
    (tmp_path / "phrases.json").mkdir()
    desk.open(text="Slide your heels back.")
    desk.card.page.remember.click()
    assert "phrase book" in desk.said[-1]


# -- where it opens ------------------------------------------------------------------------------

ROOM = QRect(100, 50, 1000, 600)


@pytest.mark.parametrize(
    ("avoid", "side"),
    [
        (QRect(), "right"),
        (QRect(200, 300, 100, 100), "right"),
        (QRect(900, 300, 100, 100), "left"),
        (QRect(400, 300, 300, 100), "right"),
        (QRect(200, 100, 800, 100), "right"),
        (QRect(300, 100, 790, 100), "left"),
    ],
)
def test_the_card_opens_at_the_right_unless_the_marks_are_there(avoid, side):
    box = place_beside(ROOM, avoid, QSize(400, 300), 10)
    assert box.size() == QSize(400, 300)
    assert (box.right() == ROOM.right() - 10) == (side == "right")
    assert (box.left() == ROOM.left() + 10) == (side == "left")


rects = st.builds(
    QRect, st.integers(0, 900), st.integers(0, 500), st.integers(1, 900), st.integers(1, 500)
)


@given(rects, st.integers(50, 2000), st.integers(50, 2000))
def test_the_card_is_inside_the_room_and_beside_what_it_speaks_of(avoid, width, height):
    box = place_beside(ROOM, avoid, QSize(width, height), 10)
    assert ROOM.contains(box)
    if ROOM.adjusted(10, 10, -10, -10).contains(avoid.center()):
        assert box.top() <= avoid.center().y() <= box.bottom()
    if width <= 480 and (avoid.right() < 590 or avoid.left() > 610):
        assert not box.intersects(avoid)


def test_a_small_room_makes_the_card_scroll_and_keeps_its_edges(desk):
    desk.open(marks=every_mark())
    desk.card.place_in(QRect(0, 0, 700, 380), QRect())
    QTest.qWait(30)
    assert desk.card.geometry().height() <= 380
    head, foot = desk.card.head.geometry(), desk.card.foot.geometry()
    assert desk.card.rect().contains(head)
    assert desk.card.rect().contains(foot)
    assert desk.card.page.verticalScrollBar().maximum() > 0


# -- what a screen reader is told ----------------------------------------------------------------


def test_qt_tells_a_screen_reader_what_each_field_is(desk):
    if not accessible.works():
        pytest.skip("Qt's accessibility interface can't be asked on this machine")
    desk.open(kind="exercise", marks=every_mark(), hold_us=2_000_000)
    desk.state.choose("n1", "ring")
    page, head = desk.card.page, desk.card.head
    expected = {
        head.kinds.buttons["exercise"]: ("radio button", "Exercise"),
        page.text: ("editable text", "Text of the note"),
        page.interval.start: ("editable text", "Starts at"),
        page.interval.end: ("editable text", "Ends at"),
        page.interval.start_here: ("button", "Start it at the shown frame"),
        page.pace.seconds: ("spin box", "Seconds that the picture stands still"),
        page.repetitions.field: ("editable text", "Repetitions"),
        page.marks.rows["ring"].label: ("editable text", "Label of ring"),
        page.marks.rows["ring"].delete: ("button", "Delete ring"),
        desk.card.foot.done_button: ("button", "Done"),
    }
    for widget, (role, name) in expected.items():
        told = accessible.told(widget)
        assert (told.role, told.name, told.is_focusable) == (role, name, True)
    assert accessible.told(head.kinds.buttons["exercise"]).is_checked
    # On Linux Qt gives a list's current entry as its name; what it is for is told by its label.
    for box, words in (
        (head.region, "Note on"),
        (page.pace.hold, "Picture stands still"),
        (page.pace.slow, "Plays"),
    ):
        labels = [label for label in box.parent().findChildren(QLabel) if label.buddy() is box]
        assert [label.text() for label in labels] == [words]
        assert labels[0].parent() is box.parent()
    told = accessible.told(page.marks.rows["ring"].colour)
    assert (told.role, told.description) == ("drop-down list", "Colour of ring")


def test_every_control_has_a_name_and_a_tooltip_and_the_tab_key_reaches_it(desk):
    desk.open(kind="exercise", marks=every_mark(), hold_us=2_000_000)
    desk.state.choose("n1", "ring")
    reached = set()
    widget = desk.card.head.region
    widget.setFocus()
    for _ in range(80):
        focus = QApplication.focusWidget()
        reached.add(focus)
        assert focus.accessibleName() or focus.text()
        assert focus.toolTip(), focus
        QTest.keyClick(focus, Qt.Key.Key_Tab)
    for control in (
        desk.text,
        desk.card.page.interval.end,
        desk.card.page.marks.rows["ring"].weight,
        desk.card.foot.delete,
        desk.card.foot.done_button,
        desk.card.head.close_button,
    ):
        assert control in reached, control.accessibleName()


def test_tooltips_tell_the_key_that_the_desk_has_for_it(desk):
    window = desk.card.window()
    action = QAction("Kind: Try this", window)
    action.setObjectName("kind_try")
    action.setShortcut("3")
    window.addAction(action)
    desk.open()
    button = desk.card.head.kinds.buttons["try"]
    at = QPoint(3, 3)
    QApplication.sendEvent(button, QHelpEvent(QEvent.Type.ToolTip, at, button.mapToGlobal(at)))
    assert button.toolTip() == "Try this (3)"


LONG_NAMED = Tilt(
    id="head", segment="head_on_neck", lower=Point(320.0, 600.0), upper=Point(300.5, 250.25)
)


@pytest.mark.parametrize("mark", [*every_mark(), LONG_NAMED], ids=lambda mark: mark.id)
@pytest.mark.parametrize("is_chosen", [False, True])
def test_no_mark_makes_the_card_wider_than_it_is(desk, mark, is_chosen):
    desk.open(marks=(mark,))
    desk.card.place_in(QRect(0, 0, 900, 340), QRect())
    if is_chosen:
        desk.state.choose(desk.note.id, mark.id)
    QApplication.processEvents()
    page = desk.card.page
    inside, room = page.widget(), page.viewport()
    assert inside is not None and room is not None
    assert inside.minimumSizeHint().width() <= room.width()


# -- what a hand on the mouse expects ------------------------------------------------------------


def test_a_click_on_a_kind_leaves_the_keyboard_in_the_text(desk):
    desk.open(text="")
    text = desk.card.page.text
    text.setFocus()
    button = desk.card.head.kinds.buttons["try"]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert desk.note.kind == "try"
    assert text.hasFocus()


def test_repetitions_stand_right_below_the_text_and_above_the_times(desk):
    desk.open(kind="exercise")
    page = desk.card.page
    assert page.text.y() < page.repetitions.y() < page.interval.y()


def test_a_hold_that_would_be_told_as_no_time_is_no_standing_still():
    assert Reading(1_000_000, 1_000, True).words == (
        "Reading needs 1.0 s; the picture will not stand still."
    )
