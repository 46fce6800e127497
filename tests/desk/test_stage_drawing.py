"""Drawing marks on the stage with the mouse and with the keys alone."""

from __future__ import annotations

import pytest
from PyQt6.QtCore import QEvent, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from support.reviews import note
from support.stage import SHIFT, StageHand, close_to, portrait_clip, stage_with

from cliptag.desk.stage import StageView
from cliptag.review import (
    Arrow,
    Joint,
    Line,
    Plumb,
    PlumbLine,
    Point,
    Ring,
    Shade,
    Span,
    Stroke,
    Tilt,
    points_of,
)

Key = Qt.Key
A, B, C, D = (430.0, 700.0), (560.0, 830.0), (480.0, 960.0), (620.0, 900.0)


@pytest.fixture(scope="module")
def clip(tmp_path_factory):
    return portrait_clip(tmp_path_factory.mktemp("clip"))


@pytest.fixture(scope="module")
def stage(qapp, clip):
    with stage_with(clip) as stage:
        yield stage


@pytest.fixture
def hand(stage):
    stage.clear()
    return stage


@pytest.fixture(params=[None, 1.0, 2.7, 6.0], ids=lambda zoom: f"zoom {zoom or 'whole'}")
def zoomed(request, hand: StageHand) -> StageHand:
    """The stage at several zooms; at the closest ones, what is drawn is partly out of sight."""
    if request.param is not None:
        hand.look_at(request.param, (520.0, 830.0))
    return hand


def check(mark, *places) -> None:
    points = points_of(mark)
    assert len(points) == len(places)
    for point, place in zip(points, places, strict=True):
        assert close_to(point, place), (points, places)


# -- each tool, at several zooms ----------------------------------------------------------------


@pytest.mark.parametrize(("tool", "kind"), [("arrow", Arrow), ("line", Line), ("span", Span)])
def test_two_points_are_given_by_dragging(zoomed, tool, kind):
    zoomed.take(tool)
    zoomed.pull(A, B)
    assert isinstance(zoomed.mark, kind)
    check(zoomed.mark, A, B)
    assert zoomed.state.tool is None and zoomed.state.chosen_mark == zoomed.mark


@pytest.mark.parametrize("tool", ["arrow", "line", "tilt", "span"])
def test_two_points_are_given_by_two_clicks(zoomed, tool):
    zoomed.take(tool)
    zoomed.click(A)
    assert not zoomed.notes
    zoomed.click(B)
    check(zoomed.mark, A, B)


def test_a_joint_is_given_by_three_clicks(zoomed):
    zoomed.take("joint")
    for place in (A, B, C):
        assert not zoomed.notes
        zoomed.click(place)
    assert isinstance(zoomed.mark, Joint)
    check(zoomed.mark, A, B, C)


def test_a_joint_is_given_by_dragging_along_both_segments(zoomed):
    zoomed.take("joint")
    zoomed.pull(A, B)
    zoomed.pull(B, C)
    check(zoomed.mark, A, B, C)


def test_a_ring_goes_round_what_was_dragged_across(zoomed):
    zoomed.take("ring")
    zoomed.pull(A, B)
    ring = zoomed.mark
    assert isinstance(ring, Ring)
    check(ring, ((A[0] + B[0]) / 2, (A[1] + B[1]) / 2))
    assert ring.radius_x == pytest.approx((B[0] - A[0]) / 2, abs=0.5)
    assert ring.radius_y == pytest.approx((B[1] - A[1]) / 2, abs=0.5)


def test_a_plumb_line_goes_through_the_point(zoomed):
    zoomed.take("plumb")
    zoomed.click(B)
    assert isinstance(zoomed.mark, Plumb)
    check(zoomed.mark, B)


def test_a_plumb_line_goes_where_the_hand_lets_go(zoomed):
    zoomed.take("plumb")
    zoomed.pull(A, B)
    check(zoomed.mark, B)


@pytest.mark.parametrize(("tool", "kind"), [("shade", Shade), ("stroke", Stroke)])
@pytest.mark.parametrize("end", [Key.Key_Return, Key.Key_Enter])
def test_corners_are_clicked_and_enter_ends(zoomed, tool, kind, end):
    zoomed.take(tool)
    for place in (A, B, C, D):
        zoomed.click(place)
    zoomed.hover((10, 10))
    assert not zoomed.notes
    zoomed.key(end)
    assert isinstance(zoomed.mark, kind)
    check(zoomed.mark, A, B, C, D)


@pytest.mark.parametrize("tool", ["shade", "stroke"])
def test_a_double_click_gives_the_last_point_and_ends(zoomed, tool):
    zoomed.take(tool)
    for place in (A, B, C):
        zoomed.click(place)
    zoomed.double_click(D)
    check(zoomed.mark, A, B, C, D)


@pytest.mark.parametrize(("tool", "kind"), [("shade", Shade), ("stroke", Stroke)])
def test_a_way_drawn_in_one_go_is_kept_as_it_went(zoomed, tool, kind):
    way = [(430.0 + 3 * i, 700.0 + 0.02 * (i - 30) ** 2) for i in range(60)]
    zoomed.take(tool)
    zoomed.press(way[0])
    for place in way[1:]:
        zoomed.drag(place)
    zoomed.release(way[-1])
    mark = zoomed.mark
    assert isinstance(mark, kind)
    points = points_of(mark)
    assert close_to(points[0], way[0]) and close_to(points[-1], way[-1])
    for point in points:
        assert any(close_to(point, place) for place in way), point
    gap = 3.0 / zoomed.viewport.zoom + 3.2
    for place in way:
        assert any(close_to(point, place, gap) for point in points), place


# -- what is asked and remembered ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("tool", "value", "hint"),
    [
        ("joint", "knee", "Click the hip, then the knee, then the ankle."),
        ("joint", "hip", "Click the shoulder, then the hip, then the knee."),
        ("joint", "other", "Click the first end, then the joint, then the other end."),
        ("tilt", "trunk", "Click the hip, then the shoulder."),
        ("tilt", "gaze", "Click the eye, then the place looked at."),
    ],
)
def test_the_hint_names_the_points_in_their_order(hand, tool, value, hint):
    hand.take(tool)
    hand.view.asking.choices.chip(value).click()
    assert hand.view.foot.hint.text() == hint
    assert hand.view.foot.hint.isVisible()


def test_the_hint_goes_on_with_the_points(hand):
    hand.take("joint")
    hand.click(A)
    assert hand.view.foot.hint.text() == "Now the knee, then the ankle."
    hand.click(B)
    assert hand.view.foot.hint.text() == "Now the ankle."


@pytest.mark.parametrize(
    ("tool", "field", "value"),
    [("joint", "joint", "elbow"), ("tilt", "segment", "shank"), ("span", "axis", "upright")],
)
def test_what_is_measured_is_asked_and_remembered(hand, tool, field, value):
    for index in (0, 5):
        hand.go_to(index)
        hand.take(tool)
        if index == 0:
            hand.view.asking.choices.chip(value).click()
        assert hand.view.asking.choices.chip(value).isChecked()
        for place in (A, B, C)[: 3 if tool == "joint" else 2]:
            hand.click(place)
        assert getattr(hand.notes[-1].marks[0], field) == value


def test_the_answer_can_be_changed_while_points_are_given(hand):
    hand.take("joint")
    hand.click(A)
    hand.view.asking.choices.chip("hip").click()
    hand.click(B)
    hand.click(C)
    assert hand.mark.joint == "hip"


# -- where it goes ------------------------------------------------------------------------------


def test_drawing_without_a_chosen_note_starts_one_on_the_frame(hand):
    hand.state.stand_on("hips")
    hand.go_to(4)
    hand.take("arrow")
    hand.pull(A, B)
    (one,) = hand.notes
    assert one.start_us == hand.state.clip.times_us[4]
    assert (one.region, one.kind) == ("hips", "seen")
    assert hand.state.chosen_note == one
    hand.state.document.undo()
    assert hand.notes == ()


def test_drawing_goes_onto_the_chosen_note_of_the_frame(hand):
    hand.put(note(1, start_us=0, end_us=200_000))
    hand.state.choose("n1")
    hand.take("ring")
    hand.pull(A, B)
    assert len(hand.mark.id) and hand.notes[0].id == "n1"


def test_drawing_on_a_later_frame_of_the_chosen_note_starts_a_note_of_its_own(hand):
    """Marks belong to the frame where their note starts: there the video stands still."""
    hand.put(note(1, start_us=0, end_us=300_000))
    hand.state.choose("n1")
    hand.go_to(3)
    hand.take("ring")
    hand.pull(A, B)
    assert [len(n.marks) for n in hand.notes] == [0, 1]
    assert hand.notes[1].start_us == hand.state.clip.times_us[3]


def test_a_new_note_holds_as_long_as_the_person_prefers(qapp, clip):
    with stage_with(clip) as hand:
        hand.view.close()
        hand.view = StageView(hand.state, new_hold_us=lambda: 4_000_000)
        hand.view.resize(900, 1000)
        hand.view.show()
        hand.ready()
        hand.take("ring")
        hand.pull(A, B)
        assert [n.hold_us for n in hand.notes] == [4_000_000]


def test_places_beside_the_picture_are_put_on_its_edge(hand):
    hand.take("line")
    hand.pull((500, 500), (-60, 2100))
    check(hand.mark, (500, 500), (0, 1920))


def test_nothing_is_placed_on_a_picture_that_is_not_the_frame(hand):
    hand.go_to(2)
    hand.take("line")
    hand.state.playhead.go_to(8)
    assert not hand.view.model.is_ready
    hand.click(A)
    assert hand.view.model.drawing.given == ()
    hand.ready()
    hand.pull(A, B)
    assert hand.notes[0].start_us == hand.state.clip.times_us[8]


def test_points_are_forgotten_when_another_frame_comes(hand):
    hand.take("joint")
    hand.click(A)
    hand.go_to(3)
    assert hand.view.model.drawing.given == ()


# -- snapping -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("to", "expected"),
    [((700, 707), (700, 700)), ((436, 1100), (430, 1100)), ((630, 890), (625, 895))],
)
def test_shift_snaps_a_line(hand, to, expected):
    hand.take("line")
    hand.pull(A, to, SHIFT)
    check(hand.mark, A, expected)


def test_without_shift_nothing_snaps(hand):
    hand.take("line")
    hand.pull(A, (700, 703))
    check(hand.mark, A, (700, 703))


def test_shift_makes_a_ring_round(hand):
    hand.take("ring")
    hand.pull(A, (630, 800), SHIFT)
    assert hand.mark.radius_x == pytest.approx(hand.mark.radius_y)


def test_shift_snaps_to_the_true_vertical(hand):
    hand.put(plumb=PlumbLine(top=Point(210, 0), bottom=Point(200, 200)))
    hand.take("line")
    hand.pull((430, 900), (435, 700), SHIFT)
    check(hand.mark, (430, 900), (440, 700.25))


# -- giving up ----------------------------------------------------------------------------------


def test_escape_takes_the_points_away_and_then_the_tool(hand):
    hand.take("joint")
    hand.click(A)
    hand.key(Key.Key_Escape)
    assert hand.state.tool == "joint" and hand.view.model.drawing.given == ()
    hand.key(Key.Key_Escape)
    assert hand.state.tool is None and not hand.notes


def test_escape_in_the_middle_of_a_drag_gives_it_up(hand):
    hand.take("arrow")
    hand.press(A)
    hand.drag(B)
    hand.key(Key.Key_Escape)
    hand.release(B)
    assert not hand.notes and hand.state.tool == "arrow"


def test_backspace_takes_the_last_point_back(hand):
    hand.take("joint")
    for place in (A, D):
        hand.click(place)
    hand.key(Key.Key_Backspace)
    for place in (B, C):
        hand.click(place)
    check(hand.mark, A, B, C)


def test_two_clicks_on_one_place_are_one_point(hand):
    hand.take("joint")
    for place in (A, (A[0] + 1, A[1]), B, C):
        hand.click(place)
    check(hand.mark, A, B, C)


def test_a_shade_needs_three_corners(hand):
    hand.take("shade")
    hand.click(A)
    hand.click(B)
    hand.key(Key.Key_Return)
    assert not hand.notes
    hand.click(C)
    hand.key(Key.Key_Return)
    check(hand.mark, A, B, C)


# -- the keys alone -----------------------------------------------------------------------------


def test_a_mark_is_drawn_with_the_keys_alone(hand):
    """Enter sets the aim up in the middle, arrow keys move it, Enter places."""
    hand.take("tilt")
    view = hand.viewport
    x, y = view.to_picture(view.area[0] / 2, view.area[1] / 2)
    hand.key(Key.Key_Return)
    for _ in range(3):
        hand.key(Key.Key_Left, SHIFT)
    hand.key(Key.Key_Return)
    for _ in range(5):
        hand.key(Key.Key_Up, SHIFT)
    hand.key(Key.Key_Right)
    hand.key(Key.Key_Return)
    assert isinstance(hand.mark, Tilt)
    check(hand.mark, (x - 30, y), (x - 29, y - 50))


def test_an_open_mark_is_ended_by_enter_on_the_same_place(hand):
    hand.take("shade")
    hand.key(Key.Key_Return)
    for key in (Key.Key_Left, Key.Key_Up, Key.Key_Right):
        hand.key(Key.Key_Return)
        for _ in range(4):
            hand.key(key, SHIFT)
    hand.key(Key.Key_Return)
    assert not hand.notes
    hand.key(Key.Key_Return)
    assert len(points_of(hand.mark)) == 4


def test_a_key_that_is_held_down_moves_the_aim_faster(hand):
    hand.take("line")
    hand.key(Key.Key_Return)
    start = hand.view.keys.aim
    QTest.keyPress(hand.view, Key.Key_Right)
    for _ in range(20):
        event = QKeyEvent(
            QEvent.Type.KeyPress, Key.Key_Right, Qt.KeyboardModifier.NoModifier, "", True
        )
        QApplication.sendEvent(hand.view, event)
    assert hand.view.keys.aim.x - start.x > 60


def test_escape_puts_the_aim_away(hand):
    hand.take("line")
    hand.key(Key.Key_Return)
    hand.key(Key.Key_Escape)
    assert hand.view.keys.aim is None and hand.state.tool == "line"
