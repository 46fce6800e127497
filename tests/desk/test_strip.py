"""The strip worked with real mouse events, on a clip whose frames are unevenly spaced."""

from __future__ import annotations

from dataclasses import dataclass, field

import msgspec
import numpy as np
import pytest
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QAction
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from support.fake_clip import FakeClip, put_on_desk
from support.pointer import CTRL, Pointer
from support.reviews import clip_ref, every_mark
from support.reviews import note as any_note

from cliptag.desk.state import DeskState
from cliptag.desk.strip import StripView, layout
from cliptag.desk.strip.bars import NoteLane
from cliptag.desk.strip.scrub import REST_MS
from cliptag.review import Moment, Part, Review, edit

DURATION_US = 10_000_000
TIMES_US = np.concatenate(
    [[0], np.sort(np.random.default_rng(7).choice(np.arange(1, 9900), 280, replace=False)) * 1000]
)


@dataclass
class Strip:
    """A strip on the desk, and what it asked of the rest."""

    state: DeskState
    view: StripView
    pointer: Pointer
    rough: list[int] = field(default_factory=list)
    moved: list[int] = field(default_factory=list)
    said: list[str] = field(default_factory=list)

    @property
    def review(self) -> Review:
        assert self.state.document is not None
        return self.state.document.review

    def put(self, *notes, **fields) -> None:
        """Have these notes in the review, as if it had just been opened so."""
        assert self.state.document is not None
        review = msgspec.structs.replace(self.review, notes=notes, **fields)
        self.state.document.do(review, "put")
        self.state.document.end_run()
        QApplication.processEvents()

    def note(self, note_id: str):
        return edit.note_of(self.review, note_id)

    def box(self, note_id: str) -> QRectF:
        box = self.view.note_box(note_id)
        assert box is not None
        return box

    def at(self, time_us: float, y: float = 4.0) -> QPointF:
        return QPointF(self.view.axis.x_of(time_us), y)

    def undone(self) -> Review:
        """The review before the last step, which is then done again."""
        assert self.state.document is not None
        self.state.document.undo()
        before = self.review
        self.state.document.redo()
        return before


def note(number: int, start_us: int = 1_000_000, end_us: int | None = None, **fields):
    """A plain note; 0.8 s long unless told otherwise."""
    end_us = start_us + 800_000 if end_us is None else end_us
    return any_note(number, start_us=start_us, end_us=end_us, **fields)


@pytest.fixture
def state(qapp):
    state = DeskState()
    yield state
    state.close()


def strip_on(state: DeskState, clip: FakeClip, width: int = 1200) -> Strip:
    movement = Review(clip=clip_ref(duration_us=clip.duration_us), movement="sit_to_stand")
    put_on_desk(state, clip, movement)
    view = StripView(state)
    view.resize(width, view.sizeHint().height())
    view.show()
    QApplication.processEvents()
    strip = Strip(state, view, Pointer(view))
    assert state.feed is not None
    ask = state.feed.rough
    state.feed.rough = lambda index: (strip.rough.append(index), ask(index))[1]
    state.playhead.moved.connect(strip.moved.append)
    state.said.connect(strip.said.append)
    return strip


@pytest.fixture
def strip(state):
    strip = strip_on(state, FakeClip(TIMES_US, DURATION_US))
    yield strip
    strip.view.close()


# -- the playhead --------------------------------------------------------------------------------


def test_the_frame_under_the_pointer_is_the_one_that_the_playhead_would_show(strip):
    strip.pointer.press(*_xy(strip.at(0)))
    for time_us in (*TIMES_US[::13], *(TIMES_US[5:200:17] - 1), 9_999_999):
        at = strip.at(float(time_us))
        strip.pointer.drag(at.x(), at.y())
        expected = strip.state.playhead.index_at(strip.view.axis.us_at(at.x()))
        assert strip.view.shown_index == expected
        # Floating point leaves a place on a frame's very edge on either side of it.
        assert abs(strip.view.axis.free_us_at(at.x()) - time_us) < 0.5
    strip.pointer.release()


def test_the_playhead_moves_when_the_drag_rests_and_not_before(strip):
    start = strip.at(1_000_000)
    strip.pointer.press(start.x(), start.y())
    for x in range(20):
        strip.pointer.drag(start.x() + 10 * x, start.y())
    assert strip.moved == []
    QTest.qWait(REST_MS + 60)
    expected = strip.state.playhead.index_at(strip.view.axis.us_at(start.x() + 190))
    assert strip.moved == [expected]
    strip.pointer.drag(start.x() + 400, start.y())
    strip.pointer.release()
    assert strip.state.playhead.index == strip.state.playhead.index_at(
        strip.view.axis.us_at(start.x() + 400)
    )


def test_a_turn_of_the_event_loop_asks_for_one_picture_at_most(strip):
    start = strip.at(1_000_000)
    strip.pointer.press(start.x(), start.y())
    for x in range(200):
        strip.pointer.drag(start.x() + x, start.y())
    assert strip.rough == []
    QApplication.processEvents()
    assert strip.rough == [strip.view.shown_index]
    QApplication.processEvents()
    assert len(strip.rough) == 1
    strip.pointer.release()


def test_dragging_beyond_the_ends_stays_in_the_clip(strip):
    at = strip.at(5_000_000)
    strip.pointer.press(at.x(), at.y())
    strip.pointer.drag(-400, at.y())
    assert strip.view.shown_index == 0
    strip.pointer.drag(9000, at.y())
    strip.pointer.release()
    assert strip.state.playhead.index == len(TIMES_US) - 1


def test_taking_hold_of_the_axis_stops_a_clip_that_plays(strip):
    strip.state.playhead.play()
    strip.pointer.press(*_xy(strip.at(5_000_000)))
    assert not strip.state.playhead.is_playing
    strip.pointer.release()


def test_moving_the_playhead_is_no_step_to_undo(strip):
    words = strip.state.document.undo_words
    strip.pointer.pull(strip.at(1_000_000), strip.at(3_000_000))
    assert strip.state.document.undo_words == words


def test_the_strip_reads_out_where_the_playhead_is(strip):
    strip.put(note(1), note(2), moments=(Moment(name="seat_off", at_us=0),))
    strip.state.playhead.go_to(100)
    words = strip.view.accessibleDescription()
    milliseconds = f"{TIMES_US[100] // 1000:04}"
    assert f"0:0{milliseconds[0]}.{milliseconds[1:]} · frame 100" in words
    assert "2 notes, 1 moment" in words


# -- notes ---------------------------------------------------------------------------------------


def test_a_note_dragged_by_its_middle_moves_by_whole_frames_and_keeps_its_length(strip):
    strip.put(note(1, start_us=int(TIMES_US[40]), end_us=int(TIMES_US[40]) + 2_000_000))
    before = strip.review
    middle = strip.box("n1").center()
    aim_us = TIMES_US[40] + 1_500_000
    strip.pointer.pull(middle, middle + strip.at(1_500_000) - strip.at(0))
    moved = strip.note("n1")
    nearest = TIMES_US[np.argmin(np.abs(TIMES_US - aim_us))]
    assert moved.start_us == nearest
    assert moved.end_us - moved.start_us == 2_000_000
    assert strip.state.document.undo_words == "move note"
    assert strip.undone() == before


def test_a_note_stops_at_both_ends_of_the_clip(strip):
    strip.put(note(1, start_us=0, end_us=4_000_000))
    middle = strip.box("n1").center()
    strip.pointer.pull(middle, middle + QPointF(5000, 0))
    moved = strip.note("n1")
    assert moved.end_us <= DURATION_US
    assert moved.start_us == TIMES_US[TIMES_US <= 6_000_000][-1]
    middle = strip.box("n1").center()
    strip.pointer.pull(middle, middle - QPointF(5000, 0))
    assert strip.note("n1").start_us == 0


@pytest.mark.parametrize(
    ("side", "by_us", "words"),
    [
        ("end", 1_500_000, "end note later"),
        ("end", -1_000_000, "end note earlier"),
        ("start", 700_000, "start note later"),
        ("start", -1_200_000, "start note earlier"),
    ],
)
def test_an_end_dragged_changes_the_interval_in_one_step(strip, side, by_us, words):
    start_us, end_us = int(TIMES_US[80]), int(TIMES_US[160])
    strip.put(note(1, start_us=start_us, end_us=end_us))
    before, box = strip.review, strip.box("n1")
    grip = QPointF(box.right() - 2 if side == "end" else box.left() + 2, box.center().y())
    strip.pointer.pull(grip, grip + strip.at(by_us) - strip.at(0), steps=12)
    after = strip.note("n1")
    aim_us = (end_us if side == "end" else start_us) + by_us
    nearest = int(TIMES_US[np.argmin(np.abs(TIMES_US - aim_us))])
    assert (after.start_us, after.end_us) == (
        (start_us, nearest) if side == "end" else (nearest, end_us)
    )
    assert strip.state.document.undo_words == words
    assert strip.undone() == before


def test_a_note_keeps_one_frame_however_far_an_end_is_dragged(strip):
    start_us, end_us = int(TIMES_US[80]), int(TIMES_US[160])
    strip.put(note(1, start_us=start_us, end_us=end_us))
    box = strip.box("n1")
    strip.pointer.pull(QPointF(box.right() - 2, box.center().y()), QPointF(0, box.center().y()))
    assert strip.note("n1").end_us == TIMES_US[81]
    strip.state.document.undo()
    box = strip.box("n1")
    strip.pointer.pull(QPointF(box.left() + 2, box.center().y()), QPointF(5000, box.center().y()))
    assert strip.note("n1").start_us == TIMES_US[159]


def test_an_end_can_be_dragged_to_the_very_end_of_the_clip(strip):
    strip.put(note(1, start_us=int(TIMES_US[80]), end_us=int(TIMES_US[160])))
    box = strip.box("n1")
    strip.pointer.pull(QPointF(box.right() - 2, box.center().y()), QPointF(5000, box.center().y()))
    assert strip.note("n1").end_us == DURATION_US


def test_two_drags_are_two_steps(strip):
    strip.put(note(1, start_us=1_000_000, end_us=3_000_000))
    for _ in range(2):
        middle = strip.box("n1").center()
        strip.pointer.pull(middle, middle + QPointF(120, 0))
    twice = strip.note("n1").start_us
    strip.state.document.undo()
    assert 1_000_000 < strip.note("n1").start_us < twice
    strip.state.document.undo()
    assert strip.note("n1").start_us == 1_000_000


def test_while_a_note_is_dragged_the_picture_shows_where_it_starts(strip):
    strip.put(note(1, start_us=1_000_000, end_us=3_000_000))
    middle = strip.box("n1").center()
    strip.pointer.press(middle.x(), middle.y())
    strip.pointer.drag(middle.x() + 200, middle.y())
    start_us = strip.note("n1").start_us
    assert strip.view.shown_index == strip.state.playhead.index_at(start_us)
    strip.pointer.release()
    assert strip.state.playhead.time_us == start_us


def test_bars_stay_on_their_lanes_while_one_is_dragged(strip):
    strip.put(
        note(1, start_us=1_000_000, end_us=2_000_000),
        note(2, start_us=3_000_000, end_us=5_000_000),
    )
    line = strip.box("n2").top()
    middle = strip.box("n1").center()
    strip.pointer.press(middle.x(), middle.y())
    strip.pointer.drag(middle.x() + (strip.at(2_500_000) - strip.at(0)).x(), middle.y())
    assert strip.box("n1").top() == strip.box("n2").top() == line
    strip.pointer.release()
    assert strip.box("n1").top() != strip.box("n2").top()


def test_escape_takes_a_drag_back_before_it_does_anything_else(strip):
    other = QAction(strip.view)
    other.setShortcut("Escape")
    done = []
    other.triggered.connect(lambda: done.append(True))
    strip.view.addAction(other)
    strip.put(note(1, start_us=1_000_000, end_us=3_000_000))
    before, words = strip.review, strip.state.document.undo_words
    middle = strip.box("n1").center()
    strip.pointer.press(middle.x(), middle.y())
    strip.pointer.drag(middle.x() + 200, middle.y())
    assert strip.review != before
    QTest.keyClick(strip.view, Qt.Key.Key_Escape)
    assert (strip.review, done) == (before, [])
    QTest.keyClick(strip.view, Qt.Key.Key_Escape)
    assert done == [True]
    strip.pointer.drag(middle.x() + 300, middle.y())
    strip.pointer.release()
    assert strip.review == before
    assert strip.state.document.undo_words == words


def test_a_click_chooses_a_note_and_shows_its_frame(strip):
    strip.put(note(1, start_us=int(TIMES_US[50]), end_us=5_000_000), note(2, start_us=6_000_000))
    before = strip.review
    strip.pointer.click(*_xy(strip.box("n1").center()))
    assert strip.state.chosen_note.id == "n1"
    assert strip.state.playhead.index == 50
    assert strip.review == before


def test_the_chosen_note_is_on_top_of_those_that_cover_it(strip):
    spans = [note(n, start_us=4_000_000, end_us=4_001_000) for n in range(40)]
    strip.put(*spans)
    for chosen in ("n5", "n31"):
        strip.state.choose(chosen)
        at = strip.box(chosen).center()
        strip.pointer.press(at.x(), at.y())
        assert strip.state.chosen_note.id == chosen
        strip.pointer.release()


def test_a_note_with_marks_on_another_frame_now_is_told_of(strip):
    strip.put(
        note(1, start_us=int(TIMES_US[30]), end_us=2_000_000, marks=every_mark()),
        note(2, start_us=5_000_000, end_us=7_000_000),
    )
    end = strip.box("n1")
    strip.pointer.pull(QPointF(end.right() - 2, end.center().y()), QPointF(700, end.center().y()))
    assert strip.said == []
    for note_id in ("n2", "n1"):
        middle = strip.box(note_id).center()
        strip.pointer.pull(middle, middle + QPointF(150, 0))
    assert len(strip.said) == 1
    assert "marks" in strip.said[0]


def test_dragging_up_or_down_changes_the_order_of_notes_that_start_together(strip):
    together = {"start_us": 2_000_000, "end_us": 4_000_000}
    strip.put(note(1, **together), note(9, start_us=0), note(2, **together), note(3, **together))
    before = strip.review
    first, second = strip.box("n1"), strip.box("n2")
    pitch = second.top() - first.top()
    strip.pointer.pull(first.center(), first.center() + QPointF(3, 2 * pitch))
    ids = [n.id for n in strip.review.notes]
    assert ids == ["n2", "n9", "n3", "n1"]
    assert strip.note("n1").start_us == 2_000_000
    assert strip.state.document.undo_words == "change order of notes"
    assert strip.undone() == before


def test_the_order_can_be_changed_by_a_command_too(strip):
    together = {"start_us": 2_000_000, "end_us": 4_000_000}
    strip.put(note(1, **together), note(2, **together), note(3, start_us=5_000_000))
    strip.state.choose("n1")
    assert strip.view.can_move_chosen_in_order()
    strip.view.move_chosen_in_order(1)
    assert [n.id for n in strip.review.notes] == ["n2", "n1", "n3"]
    strip.view.move_chosen_in_order(5)
    assert [n.id for n in strip.review.notes] == ["n2", "n1", "n3"]
    strip.state.choose("n3")
    assert not strip.view.can_move_chosen_in_order()


# -- moments -------------------------------------------------------------------------------------


def test_a_moments_flag_can_be_dragged_and_clicked(strip):
    strip.put(moments=(Moment(name="seat_off", at_us=int(TIMES_US[60])),))
    before = strip.review
    y = 2.2 * strip.view.fontMetrics().height()
    flag = strip.at(int(TIMES_US[60]), y) + QPointF(12, 0)
    strip.pointer.click(flag.x(), flag.y())
    assert strip.state.playhead.index == 60
    strip.pointer.pull(flag, flag + strip.at(2_000_000) - strip.at(0))
    moved = strip.review.moments[0].at_us
    assert moved == TIMES_US[np.argmin(np.abs(TIMES_US - TIMES_US[60] - 2_000_000))]
    assert strip.state.document.undo_words == "move moment 'Seat off'"
    assert strip.undone() == before


# -- zooming -------------------------------------------------------------------------------------


def test_ctrl_wheel_zooms_about_the_pointer_and_the_wheel_scrolls(strip):
    x = strip.at(7_000_000).x()
    strip.pointer.turn_wheel(x, 10, 3, CTRL)
    axis = strip.view.axis
    assert axis.length_us < DURATION_US / 2
    assert axis.free_us_at(x) == pytest.approx(7_000_000, abs=5)
    strip.pointer.turn_wheel(x, 10, -1)
    assert strip.view.axis.start_us > axis.start_us
    assert strip.view.axis.length_us == axis.length_us
    strip.pointer.turn_wheel(x, 10, -100, CTRL)
    assert strip.view.axis.shows_all


def test_commands_zoom_about_the_playhead(strip):
    strip.state.playhead.go_to(200)
    x = strip.at(int(TIMES_US[200])).x()
    strip.view.zoom_in()
    assert strip.view.axis.x_of(int(TIMES_US[200])) == pytest.approx(x, abs=0.01)
    strip.view.zoom_out()
    assert strip.view.axis.shows_all
    strip.view.zoom_in()
    strip.view.show_all()
    assert strip.view.axis.shows_all


def test_a_zoomed_strip_follows_the_playhead_and_the_chosen_note(strip):
    strip.put(note(1, start_us=9_000_000))
    for _ in range(6):
        strip.view.zoom_in()
    strip.state.playhead.go_to(150)
    axis = strip.view.axis
    assert axis.start_us <= TIMES_US[150] <= axis.end_us
    strip.state.choose("n1")
    axis = strip.view.axis
    assert axis.start_us <= 9_000_000 <= axis.end_us


def test_the_scroll_bar_moves_the_axis(strip):
    bar = strip.view.findChild(type(strip.view._bar))
    assert not bar.isVisible()
    strip.view.zoom_in()
    assert bar.isVisible()
    bar.setValue(bar.maximum())
    assert strip.view.axis.end_us == pytest.approx(DURATION_US, abs=1000)


# -- other clips ---------------------------------------------------------------------------------


def test_the_notes_of_a_photo_stand_in_order_and_are_dragged_into_another(state):
    strip = strip_on(state, FakeClip([0], 1_000_000, is_photo=True))
    strip.put(*(note(n, start_us=0, end_us=0) for n in (1, 2, 3)))
    y = 0.9 * strip.view.fontMetrics().height()
    strip.pointer.click(40, y)
    assert strip.state.chosen_note.id == "n1"
    strip.pointer.pull(QPointF(40, y), QPointF(1100, y))
    assert [n.id for n in strip.review.notes] == ["n2", "n3", "n1"]
    assert strip.state.document.undo_words == "change order of notes"
    strip.view.close()


def test_another_clip_on_the_desk_brings_its_own_axis(strip):
    strip.state.playhead.go_to(len(TIMES_US) - 1)
    strip.view.zoom_in()
    put_on_desk(strip.state, FakeClip([0, 40_000], 80_000))
    assert strip.view.axis.duration_us == 80_000
    assert strip.view.shown_index == 0
    strip.state.close()
    QApplication.processEvents()
    assert strip.view.accessibleDescription() == "Nothing is open"


def test_clips_of_one_frame_and_of_no_length_can_be_shown(state):
    for clip in (FakeClip([0], 1), FakeClip([0, 0, 0], 0), FakeClip([0], 40_000)):
        strip = strip_on(state, clip)
        strip.view.zoom_in()
        strip.pointer.pull(QPointF(3, 5), QPointF(900, 5))
        assert not strip.view.grab().isNull()
        strip.view.close()


def test_a_small_strip_leaves_the_notes_their_room(strip):
    strip.put(note(1))
    for size in (strip.view.minimumSizeHint(), strip.view.sizeHint()):
        strip.view.resize(400, size.height())
        QApplication.processEvents()
        box = strip.box("n1")
        assert box.height() > strip.view.fontMetrics().height()
        assert box.bottom() <= strip.view.height()


# -- many notes ----------------------------------------------------------------------------------


@pytest.fixture
def crowd(strip):
    """Two thousand notes all over the clip."""
    rng = np.random.default_rng(3)
    starts = np.sort(rng.integers(0, 9_500_000, 2000))
    strip.put(
        *(
            note(number, start_us=int(start), end_us=int(start + rng.integers(0, 400_000)))
            for number, start in enumerate(starts)
        )
    )
    strip.view.grab()
    return strip


def test_a_playhead_that_moves_paints_no_note_anew(crowd, monkeypatch):
    painted = []
    paint = NoteLane.paint
    monkeypatch.setattr(NoteLane, "paint", lambda *args: (painted.append(1), paint(*args))[1])
    for index in range(0, 200, 5):
        crowd.state.playhead.go_to(index)
        crowd.view.repaint()
    assert painted == []
    crowd.state.choose("n7")
    crowd.view.repaint()
    assert painted == [1]


def test_writing_does_not_lay_thousands_of_bars_out_anew(crowd, monkeypatch):
    laid = []
    monkeypatch.setattr(layout, "_lanes", lambda *args: laid.append(args))
    review = edit.with_note_fields(crowd.review, "n1000", text="Other words.")
    crowd.state.document.do(review, "write")
    crowd.view.repaint()
    assert laid == []


# -- what is painted -----------------------------------------------------------------------------


def _difference(strip: Strip, change) -> QRectF:
    """The part of the strip's picture that a change has changed."""
    before = strip.view.grab().toImage()
    change()
    after = strip.view.grab().toImage()
    a, b = (_pixels(image) for image in (before, after))
    rows, columns = np.nonzero((a != b).any(axis=2))
    assert len(rows), "nothing has changed"
    return QRectF(
        float(columns.min()),
        float(rows.min()),
        float(np.ptp(columns) + 1),
        float(np.ptp(rows) + 1),
    )


def _pixels(image) -> np.ndarray:
    image = image.convertToFormat(image.Format.Format_RGB32)
    data = np.frombuffer(image.constBits().asstring(image.sizeInBytes()), np.uint8)
    return data.reshape(image.height(), image.width(), 4)[:, :, :3].copy()


def test_a_notes_bar_is_painted_where_it_can_be_taken_hold_of(strip):
    changed = _difference(strip, lambda: strip.put(note(1, start_us=4_000_000, end_us=6_000_000)))
    box = strip.box("n1")
    assert changed.left() == pytest.approx(strip.at(4_000_000).x(), abs=1.5)
    assert changed.right() == pytest.approx(strip.at(6_000_000).x(), abs=1.5)
    assert box.adjusted(-2, -2, 2, 2).contains(changed)


def test_a_hold_is_marked_once_it_is_planned(strip):
    strip.put(note(1, start_us=4_000_000, end_us=4_100_000, text="A long sentence. " * 5))
    with_hold = _difference(strip, lambda: QTest.qWait(400))
    box = strip.box("n1")
    assert box.adjusted(-2, -2, 2, 2).contains(with_hold)
    assert with_hold.right() < box.left() + 0.5 * box.height()


def test_what_is_not_sent_is_dimmed(strip):
    strip.put(note(1, start_us=1_000_000, end_us=3_000_000))
    changed = _difference(
        strip,
        lambda: strip.put(*strip.review.notes, part=Part(start_us=2_000_000, end_us=10_000_000)),
    )
    assert changed.right() == pytest.approx(strip.at(2_000_000).x(), abs=1.5)


def test_the_loop_is_shown_from_its_start_to_its_end(strip):
    changed = _difference(strip, lambda: strip.state.playhead.set_loop(3_000_000, 5_000_000))
    assert changed.left() == pytest.approx(strip.at(3_000_000).x(), abs=2.5)
    assert changed.right() == pytest.approx(strip.at(5_000_000).x(), abs=2.5)


def test_pointing_at_something_tells_what_it_is(strip):
    strip.put(note(1, start_us=4_000_000, end_us=6_000_000), note(2, start_us=0, end_us=900_000))
    box = strip.box("n1")
    strip.pointer.hover(*_xy(box.center()))
    assert strip.view.cursor().shape() == Qt.CursorShape.PointingHandCursor
    strip.pointer.hover(box.right() - 2, box.center().y())
    assert strip.view.cursor().shape() == Qt.CursorShape.SizeHorCursor
    strip.pointer.hover(strip.at(9_000_000).x(), box.center().y())
    assert strip.view.cursor().shape() == Qt.CursorShape.ArrowCursor


def _xy(at: QPointF) -> tuple[float, float]:
    return at.x(), at.y()
