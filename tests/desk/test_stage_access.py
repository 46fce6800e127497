"""The stage without eyes and without a mouse."""

from __future__ import annotations

import pytest
from PyQt6.QtCore import QRect, QRectF, QSize, Qt
from PyQt6.QtGui import QAction, QKeySequence
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QAbstractButton, QLineEdit, QMainWindow, QWidget
from support.reviews import note
from support.stage import StageHand, portrait_clip, stage_with

from cliptag.desk.look import look
from cliptag.desk.stage import StageView
from cliptag.desk.stage.description import describe
from cliptag.desk.stage.seating import seat
from cliptag.desk.state import TOOLS, DeskState
from cliptag.review import Arrow, Joint, Point

Key = Qt.Key
KNEE = Joint(
    id="knee",
    joint="knee",
    proximal=Point(430, 700),
    vertex=Point(640.25, 760),
    distal=Point(600, 1000),
)


@pytest.fixture(scope="module")
def stage(qapp, tmp_path_factory):
    with stage_with(portrait_clip(tmp_path_factory.mktemp("clip"))) as stage:
        yield stage


@pytest.fixture
def hand(stage):
    stage.clear()
    return stage


def accessible_text(hand: StageHand) -> str:
    QTest.qWait(300)
    assert hand.view.accessibleName() == "Stage"
    return hand.view.accessibleDescription()


def test_a_screen_reader_is_told_frame_time_and_marks(hand):
    arrow = Arrow(id="a", tail=Point(1, 2), head=Point(300, 400), label="let it drop")
    hand.put(note(1, start_us=0, end_us=200_000, marks=(KNEE, arrow)))
    number = hand.view.model.number(KNEE)
    text = accessible_text(hand)
    assert text == (
        f"Frame 1 of 12, at 0.000 s. Knees, What I see: knee angle, {number}; arrow “let it drop”."
    )
    hand.go_to(3)
    text = accessible_text(hand)
    assert text.startswith("Frame 4 of 12, at 0.100 s.") and "knee angle" not in text


def test_the_chosen_point_tells_its_exact_place(hand):
    hand.put(note(1, start_us=0, end_us=200_000, marks=(KNEE,)))
    hand.state.choose("n1", "knee")
    hand.view.setFocus()
    hand.key(Key.Key_Tab)
    hand.key(Key.Key_Tab)
    hand.look_at(5.0, (640, 760))
    hand.key(Key.Key_Left)
    number = hand.view.model.number(hand.mark)
    text = describe(hand.view.model)
    assert f"Chosen: knee point of the knee angle at x 640.1, y 760.0 pixels; {number}." in text
    assert text.endswith("Esc: let go."), "Tab stays on the mark: how to leave is told"
    assert accessible_text(hand) == describe(hand.view.model)


def test_without_a_clip_it_says_so(qapp):
    assert describe(StageView(DeskState()).model) == "No clip is open."


@pytest.mark.parametrize("tool", TOOLS)
def test_every_control_has_a_name_and_a_tooltip(hand, tool):
    hand.take(tool)
    if tool == "scale":
        hand.pull((200, 300), (200, 900))
    view, foot = hand.view, hand.view.foot
    controls = [
        w for kind in (QAbstractButton, QLineEdit) for w in view.findChildren(kind) if w.isVisible()
    ]
    assert foot.zoom in controls and (len(controls) > 1 or not view.asking.isVisible())
    for control in controls:
        assert control.accessibleName(), control
        assert control.toolTip(), control
        assert control.focusPolicy() & Qt.FocusPolicy.TabFocus, control
    assert foot.hint.text() or tool == "scale"


def test_chips_are_reached_and_chosen_with_the_keys(hand):
    hand.take("joint")
    hand.view.activateWindow()
    QTest.qWait(20)
    chips = hand.view.asking.choices
    chips.chip("knee").setFocus()
    QTest.keyClick(chips.chip("knee"), Key.Key_Right)
    assert chips.chip("hip").hasFocus()
    QTest.keyClick(chips.chip("hip"), Key.Key_Space)
    assert hand.view.model.drawing.tool.choice == "hip"


def test_the_desks_keys_step_aside_only_while_the_stage_needs_them(hand):
    """A command on the left arrow key steps through the clip, except while a point is nudged."""
    window = QMainWindow()
    stepped = []
    action = QAction("Step back", window)
    action.setShortcut(QKeySequence("Left"))
    action.triggered.connect(lambda: stepped.append(True))
    window.addAction(action)
    window.setCentralWidget(hand.view)
    window.resize(900, 1000)
    window.show()
    window.activateWindow()
    hand.view.setFocus()
    QTest.qWait(20)
    try:
        hand.put(note(1, start_us=0, end_us=200_000, marks=(KNEE,)))
        hand.state.choose("n1", "knee")
        QTest.keyClick(window.windowHandle(), Key.Key_Left)
        assert stepped == [True] and hand.mark == KNEE
        hand.key(Key.Key_Tab)
        QTest.keyClick(window.windowHandle(), Key.Key_Left)
        assert stepped == [True] and hand.mark.proximal.x == 429
        hand.key(Key.Key_Escape)
        QTest.keyClick(window.windowHandle(), Key.Key_Left)
        assert stepped == [True, True]
    finally:
        hand.view.setParent(None)
        hand.view.show()
        window.deleteLater()


def is_inside(widget: QWidget, stage: QWidget) -> bool:
    corners = (widget.rect().topLeft(), widget.rect().bottomRight())
    return all(stage.rect().contains(widget.mapTo(stage, corner)) for corner in corners)


def test_hints_and_questions_stay_on_the_stage_however_large_the_text(qapp, tmp_path):
    look().set("light", "normal", 2.0)
    try:
        with stage_with(portrait_clip(tmp_path), (700, 700)) as hand:
            for tool in ("tilt", "scale"):
                hand.take(tool)
                if tool == "scale":
                    hand.pull((200, 300), (200, 900))
                QTest.qWait(20)
                foot, asking = hand.view.foot, hand.view.asking
                controls = [foot.hint, foot.zoom, *asking.findChildren(QAbstractButton)]
                for control in [*controls, *asking.findChildren(QLineEdit)]:
                    assert not control.isVisible() or is_inside(control, hand.view), control
                assert hand.viewport.area[1] + foot.height() == hand.view.height()
    finally:
        look().set("system", "normal", 1.0)


@pytest.mark.parametrize("size", [(620, 560), (900, 700), (1200, 800)])
@pytest.mark.parametrize("tool", TOOLS)
def test_taking_a_tool_does_not_move_the_picture(hand, tool, size):
    hand.view.resize(*size)
    try:
        before = hand.viewport
        hand.take(tool)
        assert hand.viewport == before
        asking, picture = hand.view.asking, hand.view.framing.picture_box
        if asking.isVisible():
            assert is_inside(asking, hand.view)
            assert not QRectF(asking.geometry()).intersects(picture)
    finally:
        hand.view.resize(900, 1000)


@pytest.mark.parametrize(
    ("picture", "is_beside"),
    [(QRect(200, 0, 300, 500), True), (QRect(0, 100, 700, 300), False)],
    ids=["portrait", "landscape"],
)
def test_a_question_that_has_no_room_in_the_foot_stands_off_the_picture(picture, is_beside):
    area, line = QRect(0, 0, 700, 500), QRect(300, 500, 200, 30)
    place, is_floating = seat(
        QSize(600, 30), 100, lambda width: 30 * -(-600 // width), line, area, picture, 6
    )
    assert is_floating and area.contains(place) and not place.intersects(picture)
    assert (place.right() < picture.left()) == is_beside


@pytest.mark.parametrize("tool", ["joint", "tilt", "scale"])
def test_on_a_narrow_stage_a_question_does_not_cover_the_feet(hand, tool):
    hand.view.resize(340, 480)
    try:
        hand.take(tool)
        if tool == "scale":
            hand.pull((200, 300), (200, 900))
        asking = hand.view.asking
        assert asking.isVisible() and is_inside(asking, hand.view)
        assert hand.viewport.is_whole
        assert not QRectF(asking.geometry()).intersects(hand.view.framing.picture_box)
        foot = hand.view.foot
        assert foot.hint.y() + foot.y() >= asking.geometry().bottom() or tool == "scale"
        hand.take(None)
        assert hand.viewport.area[1] + foot.height() == 480 and foot.height() < 60
    finally:
        hand.view.resize(900, 1000)


def test_a_question_that_fits_stands_in_the_foot():
    line = QRect(300, 500, 200, 40)
    place, is_floating = seat(
        QSize(200, 30), 50, lambda width: 30, line, QRect(0, 0, 700, 500), QRect(0, 0, 10, 10), 6
    )
    assert place == QRect(300, 505, 200, 30) and not is_floating


def test_the_picture_stays_where_it_is_under_a_pressed_button(hand):
    hand.view.resize(300, 700)
    try:
        hand.put(note(1, start_us=0, end_us=200_000, marks=(KNEE,)))
        before = hand.viewport
        hand.press((430, 700))
        assert hand.state.chosen_mark == KNEE and hand.viewport == before
        hand.release((430, 700))
        assert hand.viewport.area[1] < before.area[1], "now the hint takes two lines"
    finally:
        hand.view.resize(900, 1000)
