"""Choosing marks on the stage and changing them."""

from __future__ import annotations

import pytest
from PyQt6.QtCore import QEvent, QPoint, QPointF, Qt
from PyQt6.QtGui import QKeyEvent, QNativeGestureEvent, QPointingDevice, QWheelEvent
from PyQt6.QtWidgets import QApplication
from support.reviews import every_mark, note
from support.stage import MIDDLE, SHIFT, StageHand, close_to, portrait_clip, stage_with

from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.mark_layer import LabelPlaces
from cliptag.review import Arrow, Joint, Line, Mark, PlumbLine, Point, Ring, Shade, Stroke, Tilt

Key = Qt.Key
HIP, KNEE, ANKLE = (430.0, 700.0), (640.0, 760.0), (600.0, 1000.0)
JOINT = Joint(
    id="joint", joint="knee", proximal=Point(*HIP), vertex=Point(*KNEE), distal=Point(*ANKLE)
)


@pytest.fixture(scope="module")
def stage(qapp, tmp_path_factory):
    with stage_with(portrait_clip(tmp_path_factory.mktemp("clip"))) as stage:
        yield stage


@pytest.fixture
def hand(stage):
    stage.clear()
    return stage


def with_marks(hand: StageHand, *marks: Mark, chosen: str | None = None) -> StageHand:
    hand.put(note(1, start_us=0, end_us=200_000, marks=marks))
    hand.state.choose("n1", chosen)
    return hand


def steps_back(hand: StageHand) -> str | None:
    assert hand.state.document is not None
    return hand.state.document.undo_words


# -- choosing -----------------------------------------------------------------------------------


def test_a_click_chooses_a_mark_and_its_note(hand):
    hand.put(
        note(1, start_us=0, marks=(JOINT,)),
        note(2, start_us=0, marks=(Line(id="l", a=Point(100, 200), b=Point(900, 200)),)),
    )
    hand.click((300, 202))
    assert hand.state.chosen_note.id == "n2" and hand.state.chosen_mark.id == "l"
    hand.click((535, 730))
    assert hand.state.chosen_note.id == "n1" and hand.state.chosen_mark == JOINT


def test_a_click_beside_all_marks_lets_go_of_the_mark_but_not_of_the_note(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.click((100, 1800))
    assert hand.state.chosen_mark is None and hand.state.chosen_note.id == "n1"


def test_clicking_again_goes_through_the_marks_that_lie_there(hand):
    lines = [Line(id=f"l{i}", a=Point(100, 300 + i), b=Point(900, 300 + i)) for i in range(3)]
    with_marks(hand, *lines)
    chosen = []
    for _ in range(4):
        hand.click((500, 301))
        chosen.append(hand.state.chosen_mark.id)
    assert chosen == ["l2", "l1", "l0", "l2"]


@pytest.mark.parametrize("zoom", [0.5, 1.0, 3.0])
def test_a_mark_is_chosen_and_moved_by_its_label(hand, zoom):
    arrow = Arrow(id="a", tail=Point(500, 500), head=Point(400, 400), label="let the arm hang")
    with_marks(hand, arrow)
    hand.look_at(zoom, (520, 500))
    view, model = hand.viewport, hand.view.model
    (box,) = LabelPlaces().of(model.labelled(), view, 0.0)
    middle = (box.center().x(), box.center().y())
    assert not model.under(Point(*middle), 5 / zoom, ()), "the label lies off the arrow"
    plate = hand.picture().pixelColor(
        hand.on_stage((box.left() + 0.9 * box.width(), box.top() + 2 / zoom)).toPoint()
    )
    assert plate.lightness() < 110, "it is the dark plate that is seen there"
    hand.click(middle)
    assert hand.state.chosen_mark == arrow
    hand.pull(middle, (middle[0] + 30 / zoom, middle[1] + 60 / zoom))
    assert close_to(hand.mark.head, (400 + 30 / zoom, 400 + 60 / zoom))


def test_touching_is_as_wide_on_the_screen_at_any_zoom(hand):
    with_marks(hand, JOINT)
    for zoom in (0.5, 2.0, 8.0):
        hand.state.choose("n1")
        hand.look_at(zoom, (535, 730))
        # 5 pixels of the screen beside the line from hip to knee
        hand.click((535 - 5 * 0.27 / zoom, 730 + 5 * 0.96 / zoom))
        assert hand.state.chosen_mark == JOINT, zoom
        hand.state.choose("n1")
        hand.click((535 - 40 * 0.27 / zoom, 730 + 40 * 0.96 / zoom))
        assert hand.state.chosen_mark is None, zoom


# -- dragging -----------------------------------------------------------------------------------


@pytest.mark.parametrize("zoom", [None, 1.0, 5.0])
def test_a_point_is_dragged_in_one_step_that_can_be_undone(hand, zoom):
    with_marks(hand, JOINT, chosen="joint")
    if zoom:
        hand.look_at(zoom, KNEE)
    before = hand.review
    end = (KNEE[0] + 37.0, KNEE[1] - 21.0)
    hand.pull(KNEE, end)
    assert close_to(hand.mark.vertex, end)
    assert (hand.mark.proximal, hand.mark.distal) == (JOINT.proximal, JOINT.distal)
    assert steps_back(hand) == "move knee point"
    hand.state.document.undo()
    assert hand.review is before


def test_two_drags_are_two_steps(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.pull(KNEE, (700, 760))
    hand.pull((700, 760), (720, 800))
    hand.state.document.undo()
    assert close_to(hand.mark.vertex, (700, 760))
    hand.state.document.undo()
    assert hand.mark == JOINT


def test_a_point_does_not_jump_to_the_pointer_that_took_it_beside(hand):
    with_marks(hand, JOINT, chosen="joint")
    beside = (KNEE[0] + 9, KNEE[1] - 7)
    hand.pull(beside, (beside[0] + 100, beside[1] + 50))
    assert close_to(hand.mark.vertex, (KNEE[0] + 100, KNEE[1] + 50))


def test_a_whole_mark_is_dragged(hand):
    with_marks(hand, JOINT)
    hand.pull((535, 730), (585, 830))
    for handle, place in zip(handles_of(hand.mark), (HIP, KNEE, ANKLE), strict=True):
        assert close_to(handle, (place[0] + 50, place[1] + 100))
    assert steps_back(hand) == "move knee angle"
    hand.state.document.undo()
    assert hand.mark == JOINT


def test_a_click_that_trembles_moves_nothing(hand):
    with_marks(hand, JOINT, chosen="joint")
    before = hand.review
    hand.press(KNEE)
    hand.drag((KNEE[0] + 2, KNEE[1] + 2))
    hand.release((KNEE[0] + 2, KNEE[1] + 2))
    assert hand.review is before and hand.view.model.point == 1


def test_escape_in_a_drag_puts_the_point_back(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.press(KNEE)
    hand.drag((700, 800))
    hand.drag((720, 820))
    assert hand.mark != JOINT
    hand.key(Key.Key_Escape)
    hand.release((720, 820))
    assert hand.mark == JOINT


def test_shift_snaps_a_dragged_point_to_the_one_before(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.pull(KNEE, (700, 704), SHIFT)
    assert close_to(hand.mark.vertex, (700, 700))


def test_shift_keeps_a_dragged_mark_level(hand):
    with_marks(hand, JOINT)
    hand.pull((535, 730), (635, 734), SHIFT)
    assert close_to(hand.mark.proximal, (HIP[0] + 100, HIP[1]))


def test_snapping_goes_by_the_true_vertical(hand):
    plumb = PlumbLine(top=Point(210, 0), bottom=Point(200, 200))
    hand.put(note(1, start_us=0, marks=(JOINT,)), plumb=plumb)
    hand.state.choose("n1", "joint")
    hand.pull(ANKLE, (KNEE[0] - 8, KNEE[1] + 200), SHIFT)
    lean = (hand.mark.distal.x - KNEE[0]) / (hand.mark.distal.y - KNEE[1])
    assert lean == pytest.approx(-10 / 200, abs=1e-3)


def test_the_rim_of_a_ring_is_dragged(hand):
    ring = Ring(id="r", centre=Point(500, 800), radius_x=100, radius_y=60)
    with_marks(hand, ring, chosen="r")
    hand.pull((600, 800), (650, 830))
    assert hand.mark.radius_x == pytest.approx(150, abs=0.5)
    assert (hand.mark.radius_y, hand.mark.centre) == (60, ring.centre)
    hand.pull((500, 800), (520, 900))
    assert close_to(hand.mark.centre, (520, 900))


@pytest.mark.parametrize("mark", every_mark(), ids=lambda mark: mark.id)
def test_every_type_of_mark_can_be_moved_by_each_of_its_points(hand, mark):
    for which, handle in enumerate(handles_of(mark)):
        with_marks(hand, mark, chosen=mark.id)
        hand.look_at(1.0, (handle.x, handle.y))
        hand.pull((handle.x, handle.y), (handle.x + 30, handle.y + 30))
        moved = handles_of(hand.mark)[which]
        is_rim = isinstance(mark, Ring) and which > 0
        assert close_to(moved, (handle.x + 30, handle.y + 30)) or is_rim
        assert hand.mark != mark


def test_a_stroke_drawn_in_one_go_is_moved_as_a_whole(hand):
    points = tuple(Point(300 + 5 * i, 900.0) for i in range(60))
    with_marks(hand, Stroke(id="s", points=points))
    hand.pull((400, 900), (440, 950))
    assert close_to(hand.mark.points[0], (340, 950)) and close_to(hand.mark.points[-1], (635, 950))


# -- panning ------------------------------------------------------------------------------------


def test_dragging_beside_the_marks_moves_the_picture(hand):
    with_marks(hand, JOINT)
    hand.look_at(2.0, KNEE)
    before = hand.viewport
    hand.press((500, 950))
    start = hand.on_stage((500, 950))
    for step in range(1, 6):
        view = hand.viewport
        there = view.to_picture(start.x() + 20 * step, start.y() - 12 * step)
        hand.drag(there)
    hand.release(hand.viewport.to_picture(start.x() + 100, start.y() - 60))
    assert (hand.viewport.left, hand.viewport.top) == (before.left + 100, before.top - 60)
    assert hand.mark == JOINT


@pytest.mark.parametrize("tool", [None, "joint"])
def test_the_middle_button_moves_the_picture_whatever_is_in_hand(hand, tool):
    with_marks(hand, JOINT)
    hand.take(tool)
    hand.look_at(2.0, KNEE)
    before = hand.viewport
    start = hand.on_stage(KNEE)
    hand.press(KNEE, button=MIDDLE)
    hand.drag(hand.viewport.to_picture(start.x() - 50, start.y() + 10), button=MIDDLE)
    hand.release(hand.viewport.to_picture(start.x() - 50, start.y() + 10), button=MIDDLE)
    assert (hand.viewport.left, hand.viewport.top) == (before.left - 50, before.top + 10)
    assert hand.mark == JOINT
    assert hand.view.model.drawing is None or hand.view.model.drawing.given == ()


# -- keys ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("zoom", "keys", "step"),
    [
        (None, Qt.KeyboardModifier.NoModifier, 1.0),
        (None, SHIFT, 10.0),
        (3.9, Qt.KeyboardModifier.NoModifier, 1.0),
        (4.01, Qt.KeyboardModifier.NoModifier, 0.1),
        (8.0, SHIFT, 1.0),
    ],
)
def test_arrow_keys_nudge_the_chosen_point(hand, zoom, keys, step):
    with_marks(hand, JOINT, chosen="joint")
    if zoom:
        hand.look_at(zoom, KNEE)
    hand.click(KNEE)
    for key, way in (
        (Key.Key_Right, (1, 0)),
        (Key.Key_Down, (0, 1)),
        (Key.Key_Left, (-1, 0)),
        (Key.Key_Up, (0, -1)),
    ):
        before = hand.mark.vertex
        hand.key(key, keys)
        after = hand.mark.vertex
        assert after.x - before.x == pytest.approx(way[0] * step)
        assert after.y - before.y == pytest.approx(way[1] * step)


def test_a_spell_of_nudging_is_one_step(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.click(KNEE)
    for _ in range(5):
        hand.key(Key.Key_Right)
    assert steps_back(hand) == "move knee point"
    hand.state.document.undo()
    assert hand.mark == JOINT


def test_tab_goes_from_point_to_point_and_round(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.view.setFocus()
    points = []
    for _ in range(4):
        hand.key(Key.Key_Tab)
        points.append(hand.view.model.point)
    assert points == [0, 1, 2, 0]
    hand.key(Key.Key_Backtab)
    assert hand.view.model.point == 2
    hand.key(Key.Key_Escape)
    assert hand.view.model.point is None and hand.state.chosen_mark == JOINT
    hand.key(Key.Key_Escape)
    assert hand.state.chosen_mark is None and hand.state.chosen_note.id == "n1"


@pytest.mark.parametrize("key", [Key.Key_Delete, Key.Key_Backspace])
def test_delete_takes_the_chosen_mark_away(hand, key):
    with_marks(hand, JOINT, chosen="joint")
    hand.key(key)
    assert hand.notes[0].marks == () and steps_back(hand) == "delete knee angle"
    hand.state.document.undo()
    assert hand.mark == JOINT


def test_keys_are_left_to_the_desk_where_the_stage_has_no_use_for_them(hand):
    def wants(key: Qt.Key, keys=Qt.KeyboardModifier.NoModifier) -> bool:
        return hand.view.keys.wants(QKeyEvent(QEvent.Type.ShortcutOverride, key, keys))

    with_marks(hand, JOINT)
    everything = (Key.Key_Left, Key.Key_Return, Key.Key_Delete, Key.Key_Escape, Key.Key_Space)
    assert not any(wants(key) for key in everything)
    hand.state.choose("n1", "joint")
    assert not wants(Key.Key_Left), "without a chosen point the arrow keys step through the clip"
    hand.click(KNEE)
    assert wants(Key.Key_Left) and not wants(Key.Key_Left, Qt.KeyboardModifier.ControlModifier)
    assert not wants(Key.Key_Space)


# -- styles, copies, answers --------------------------------------------------------------------


def test_a_chosen_mark_gets_another_look(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.view.restyle(colour="yellow", weight="bold")
    assert (hand.mark.colour, hand.mark.weight) == ("yellow", "bold")
    hand.view.restyle(label="here")
    hand.view.restyle(label="here it is")
    assert hand.mark.label == "here it is" and steps_back(hand) == "label knee angle"
    hand.state.document.undo()
    assert (hand.mark.label, hand.mark.weight) == ("", "bold")


def test_what_a_review_can_not_hold_is_refused_in_a_sentence(hand):
    with_marks(hand, JOINT, chosen="joint")
    said = []
    hand.state.warned.connect(said.append)
    hand.view.restyle(label="x" * 201)
    hand.state.warned.disconnect(said.append)
    assert hand.mark == JOINT and len(said) == 1 and said[0].endswith(".")


def test_what_a_chosen_mark_measures_can_be_said_anew(hand):
    tilt = Tilt(id="t", segment="trunk", lower=Point(500, 900), upper=Point(520, 500))
    with_marks(hand, tilt, chosen="t")
    box = hand.view.asking.answer
    assert box.isVisible() and box.currentText() == "Trunk"
    box.setCurrentIndex(box.findText("Neck"))
    box.activated.emit(box.currentIndex())
    assert hand.mark.segment == "neck" and steps_back(hand) == "change to neck tilt"


def test_a_mark_is_copied_onto_the_note_of_another_frame(hand):
    hand.put(
        note(1, start_us=0, end_us=0, marks=(JOINT,)),
        note(2, start_us=int(hand.state.clip.times_us[5]), end_us=400_000),
    )
    hand.state.choose("n1", "joint")
    hand.go_to(5)
    hand.view.copy_mark_to_shown_frame()
    first, second = hand.notes
    assert first.marks == (JOINT,)
    (copy,) = second.marks
    assert copy.id != "joint" and handles_of(copy) == handles_of(JOINT)
    assert hand.state.chosen_note.id == "n2" and hand.state.chosen_mark == copy


def test_a_copy_starts_a_note_where_there_is_none(hand):
    with_marks(hand, JOINT, chosen="joint")
    hand.go_to(7)
    hand.view.copy_mark_to_shown_frame()
    assert hand.notes[1].start_us == hand.state.clip.times_us[7]
    assert handles_of(hand.notes[1].marks[0]) == handles_of(JOINT)
    hand.state.document.undo()
    assert len(hand.notes) == 1


def test_a_copy_on_its_own_frame_lies_beside_the_first(hand):
    arrow = Arrow(id="a", tail=Point(200, 200), head=Point(400, 400))
    with_marks(hand, arrow, chosen="a")
    hand.view.copy_mark_to_shown_frame()
    first, copy = hand.notes[0].marks
    assert first == arrow and 10 < copy.tail.x - arrow.tail.x < 40


# -- looking ------------------------------------------------------------------------------------


def test_commands_zoom_round_the_pointer(hand):
    hand.hover((300, 400))
    at = hand.on_stage((300, 400))
    hand.view.zoom_in()
    assert hand.viewport.to_picture(at.x(), at.y()) == pytest.approx((300, 400), abs=2)
    zoom = hand.viewport.zoom
    hand.view.zoom_out()
    assert hand.viewport.zoom < zoom and hand.viewport.is_whole
    hand.view.actual_size()
    assert hand.viewport.zoom == 1.0
    assert hand.view.foot.zoom.text() == "100 %"
    hand.view.fit()
    assert hand.viewport.is_whole


def test_the_zoom_at_the_foot_goes_to_and_fro(hand):
    hand.view.foot.zoom.click()
    assert hand.viewport.zoom == 1.0
    hand.view.foot.zoom.click()
    assert hand.viewport.is_whole


@pytest.mark.parametrize("way", ["wheel", "pinch"])
def test_wheel_and_pinch_zoom_to_the_pointer(hand, way):
    at = hand.on_stage((300, 400))
    nothing = Qt.KeyboardModifier.NoModifier
    for _ in range(4):
        if way == "wheel":
            event = QWheelEvent(
                at,
                at,
                QPoint(0, 0),
                QPoint(0, 120),
                Qt.MouseButton.NoButton,
                nothing,
                Qt.ScrollPhase.NoScrollPhase,
                False,
            )
        else:
            event = QNativeGestureEvent(
                Qt.NativeGestureType.ZoomNativeGesture,
                QPointingDevice.primaryPointingDevice(),
                2,
                at,
                at,
                at,
                0.25,
                QPointF(0, 0),
            )
        QApplication.sendEvent(hand.view, event)
    assert hand.viewport.zoom == pytest.approx(
        hand.viewport.limits[0] * 1.25**4 if hand.viewport.limits[0] < 1 else 0, rel=1e-3
    )
    assert hand.viewport.to_picture(at.x(), at.y()) == pytest.approx((300, 400), abs=2)


def test_two_fingers_on_a_touchpad_pan(hand):
    hand.look_at(2.0, KNEE)
    before = hand.viewport
    at = hand.on_stage(KNEE)
    event = QWheelEvent(
        at,
        at,
        QPoint(-15, 8),
        QPoint(-30, 16),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.ScrollUpdate,
        False,
    )
    QApplication.sendEvent(hand.view, event)
    assert (hand.viewport.left, hand.viewport.top) == (before.left - 15, before.top + 8)


def test_a_shade_is_chosen_by_a_click_inside(hand):
    corners = tuple(Point(*place) for place in ((300, 300), (600, 300), (600, 600), (300, 600)))
    with_marks(hand, Shade(id="s", corners=corners))
    hand.click((450, 450))
    assert hand.state.chosen_mark.id == "s"
