"""Points to follow, placed and corrected on the stage, beside what is known of the demo clips."""

from __future__ import annotations

import shutil

import numpy as np
import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from support.stage import LEFT, PLAIN, StageHand, stage_with
from support.truth import Truth, read_truth

from cliptag.desk.stage.description import describe
from cliptag.desk.stage.points.names import ORDER, name_from, the, words_of
from cliptag.measure import BACK_POINTS, BODY_CHAIN
from cliptag.review import Point, PointKey, TrackedPoint, edit

Key = Qt.Key
FRAME = 20


@pytest.fixture(scope="module")
def truth() -> Truth:
    return read_truth("lift_week10")


@pytest.fixture(scope="module")
def stage(tmp_path_factory, qapp, truth):
    folder = tmp_path_factory.mktemp("points")
    shutil.copy(truth.path, folder)
    with stage_with(folder / truth.path.name, (1000, 760)) as hand:
        yield hand


@pytest.fixture
def hand(stage: StageHand) -> StageHand:
    stage.clear()
    stage.view.show_points(False)
    assert stage.state.document is not None
    stage.state.document.do(edit.with_fields(stage.review, tracked=()), "clear")
    stage.go_to(FRAME)
    return stage


def click(hand: StageHand, x: float, y: float) -> None:
    QTest.mouseClick(hand.view, LEFT, PLAIN, hand.on_stage((x, y)).toPoint())


def place(hand: StageHand, truth: Truth, *names: str) -> None:
    """Click the points of these names where they truly are."""
    for name in names:
        z = truth.point(name)[hand.state.playhead.index]
        click(hand, z.real, z.imag)


def tracked(hand: StageHand) -> dict[str, tuple]:
    return {point.name: point.keys for point in hand.review.tracked}


def followed(hand: StageHand, qtbot) -> None:
    qtbot.waitUntil(lambda: not hand.state.following.is_running, timeout=90_000)


def test_the_order_is_the_body_from_the_head_down_then_the_back():
    assert ORDER[: len(BODY_CHAIN)] == BODY_CHAIN
    assert set(BACK_POINTS) <= set(ORDER) and len(set(ORDER)) == len(ORDER)


def test_ten_points_take_ten_clicks_and_each_can_be_undone(hand, truth):
    hand.take("point")
    place(hand, truth, *BODY_CHAIN)
    assert tuple(tracked(hand)) == BODY_CHAIN
    at_us = int(truth.times_us[FRAME])
    for name, (key,) in tracked(hand).items():
        z = truth.point(name)[FRAME]
        assert key.at_us == at_us
        assert abs(complex(key.place.x, key.place.y) - z) <= 1.0 / hand.viewport.zoom, name
    assert hand.state.tool == "point", "the tool stays in hand"
    assert hand.view.foot.hint.text() == "More: click the eye."
    for left in range(9, -1, -1):
        hand.state.document.undo()
        assert tuple(tracked(hand)) == BODY_CHAIN[:left]


def test_the_load_of_a_lift_is_offered_before_what_is_needed_less(hand, truth):
    assert hand.state.document is not None
    hand.state.take_tool("point")
    places = tuple(
        TrackedPoint(name=name, keys=(PointKey(at_us=0, place=Point(9.0, 9.0), sd_px=1.0),))
        for name in BODY_CHAIN
    )
    for movement, following in (("sit_to_stand", "eye"), ("lift", "load")):
        changed = edit.with_fields(hand.review, movement=movement, tracked=places)
        hand.state.document.do(changed, "place")
        assert hand.view.model.points.next == following


def test_the_question_keeps_its_place_from_point_to_point(hand, truth):
    hand.state.take_tool("point")
    skip, lefts = hand.view.asking.points.skip, set()
    QApplication.processEvents()
    for _ in range(len(ORDER) - 1):
        lefts.add(skip.mapTo(hand.view, QPoint()).x())
        QTest.mouseClick(skip, LEFT)
        QApplication.processEvents()
    assert len(lefts) == 1, "the button went away under the pointer"


def test_the_foot_says_which_point_is_next(hand, truth):
    hand.take("point")
    assert hand.view.foot.hint.text() == "Click the ear."
    place(hand, truth, "ear")
    assert hand.view.foot.hint.text() == "Click C7."


def test_a_placement_is_as_sure_as_zoom_and_sharpness_allow(hand, truth):
    """A hand scatters by 1.5 px of the screen (common practice, no source)."""
    z = truth.point("knee")[FRAME]
    sds = []
    for zoom in (hand.viewport.zoom, 4.0):
        hand.look_at(zoom, (z.real, z.imag))
        hand.take("point")
        hand.view.model.points.ask_for("knee")
        place(hand, truth, "knee")
        sds.append(tracked(hand)["knee"][0].sd_px)
    hand.view.fit()
    assert sds[0] >= 1.5 / hand.viewport.zoom > 2.0 * sds[1] > 2.0 * 1.5 / 4.0


def test_another_point_can_be_chosen_one_left_out_and_one_named_by_hand(hand, truth):
    hand.take("point")
    asking = hand.view.asking.points
    assert asking.names.isVisible() and asking.skip.isVisible()
    asking.names.activated.emit(asking.names.findData("knee"))
    assert hand.view.foot.hint.text() == "Click the knee."
    place(hand, truth, "knee")
    asking.skip.click()
    assert hand.view.foot.hint.text() == "Click C7."
    asking.names.setEditText("Front of crate")
    asking.names.lineEdit().returnPressed.emit()
    assert hand.view.foot.hint.text() == "Click the Front of crate."
    place(hand, truth, "load")
    assert tuple(tracked(hand)) == ("knee", "Front of crate")
    assert hand.view.model.points.next == "c7"


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("c7", "c7"),
        (" Gaze  target ", "gaze_target"),
        ("Left knee", "left_knee"),
        ("Crate", "Crate"),
        ("x" * 60, "x" * 40),
    ],
)
def test_a_usual_point_is_known_however_its_name_is_written(typed, name):
    assert name_from(typed) == name
    assert name_from(words_of(name)) == name


def test_c7_has_no_article():
    assert [the(name) for name in ("c7", "left_knee")] == ["C7", "the left knee"]


def test_points_are_drawn_on_every_frame_and_placed_ones_look_different(hand, truth, qtbot):
    hand.take("point")
    for name in ("shoulder", "hip", "knee"):
        hand.view.model.points.ask_for(name)
        place(hand, truth, name)
    followed(hand, qtbot)
    points = hand.view.model.points
    assert all(one.is_placed for one in points.at(FRAME).seen.values())
    hand.state.take_tool(None)
    hand.go_to(FRAME + 10)
    bare = hand.picture()
    hand.view.show_points(True)
    assert hand.picture() != bare
    there = points.at(FRAME + 10).seen
    assert len(there) == 3 and not any(one.is_placed for one in there.values())
    for name, one in there.items():
        assert abs(complex(one.at.x, one.at.y) - truth.point(name)[FRAME + 10]) < 8.0


def test_a_drag_on_another_frame_is_one_step_and_is_followed_from_there(hand, truth, qtbot):
    hand.take("point")
    hand.view.model.points.ask_for("knee")
    place(hand, truth, "knee")
    followed(hand, qtbot)
    hand.go_to(FRAME + 30)
    before = hand.view.model.points.at(FRAME + 30).seen["knee"].at
    steps = hand.state.document.undo_words
    hand.pull((before.x, before.y), (before.x + 40.0, before.y))
    first, second = tracked(hand)["knee"]
    assert second.place.x - before.x == pytest.approx(40.0, abs=2.0 / hand.viewport.zoom)
    assert hand.state.document.undo_words == "move the knee" != steps
    followed(hand, qtbot)
    after = hand.state.following.tracks.points["knee"][FRAME + 31]
    assert after[0] - before.x > 15.0
    hand.state.document.undo()
    assert tracked(hand)["knee"] == (first,)


def test_arrow_keys_move_the_chosen_point_in_one_step(hand, truth):
    hand.take("point")
    place(hand, truth, "ear", "c7")
    hand.view.setFocus()
    hand.view.model.points.ask_for("c7")
    (before,) = tracked(hand)["c7"]
    for _ in range(3):
        hand.key(Key.Key_Right)
    (after,) = tracked(hand)["c7"]
    assert after.place == Point(round(before.place.x + 3, 2), before.place.y)
    hand.state.document.undo()
    assert tracked(hand)["c7"] == (before,)


def test_all_can_be_done_by_the_keyboard_alone(hand):
    hand.take("point")
    hand.view.setFocus()
    hand.key(Key.Key_Return)
    hand.key(Key.Key_Return)
    hand.key(Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    hand.key(Key.Key_Return)
    (ear,), (c7,) = tracked(hand)["ear"], tracked(hand)["c7"]
    assert (c7.place.x - ear.place.x, c7.place.y) == (pytest.approx(10.0), ear.place.y)
    hand.key(Key.Key_Backspace)
    assert tuple(tracked(hand)) == ("ear",)
    hand.key(Key.Key_Escape)
    hand.key(Key.Key_Escape)
    assert hand.state.tool is None
    hand.view.show_points(True)
    hand.key(Key.Key_Tab)
    assert hand.view.model.points.chosen == "ear"
    assert "Points placed here: ear." in describe(hand.view.model)
    assert "Chosen: ear at x" in describe(hand.view.model)
    hand.key(Key.Key_Delete)
    assert not hand.review.tracked


def test_a_point_can_be_followed_no_longer(hand, truth):
    hand.take("point")
    place(hand, truth, "ear", "c7")
    hand.view.model.points.ask_for("ear")
    hand.view.model.points.drop()
    assert tuple(tracked(hand)) == ("c7",)
    assert hand.state.document.undo_words == "follow the ear no longer"
    assert hand.view.model.points.next == "shoulder", "it isn't asked for again at once"


def test_a_hidden_point_is_told_and_not_drawn(hand, truth, qtbot):
    hand.take("point")
    hand.view.model.points.ask_for("heel")
    place(hand, truth, "heel")
    followed(hand, qtbot)
    tracks = hand.state.following.tracks
    states = tracks.states["heel"]
    states.flags.writeable = True
    states[FRAME + 5] = 2
    hand.go_to(FRAME + 5)
    assert "heel" not in hand.view.model.points.at(FRAME + 5).seen
    assert hand.view.foot.hint.text() == "The heel is hidden here: place it, or leave the gap."
    assert "The heel is hidden here." in describe(hand.view.model)
    place(hand, truth, "heel")
    assert len(tracked(hand)["heel"]) == 2


def test_the_foot_tells_how_far_it_has_come_and_stops_it(hand, truth, qtbot):
    hand.take("point")
    place(hand, truth, *BODY_CHAIN[:4])
    status = hand.view.asking.status
    qtbot.waitUntil(status.words.isVisible, timeout=20_000)
    assert status.words.text().startswith("Following ")
    status.button.click()
    assert hand.state.following.is_stopped
    assert (status.words.text(), status.button.text()) == ("Following stopped", "Go on")
    status.button.click()
    assert not hand.state.following.is_stopped and hand.state.following.is_running
    followed(hand, qtbot)
    qtbot.waitUntil(lambda: not status.words.isVisible(), timeout=5_000)


def test_three_placements_give_their_mean_and_how_surely_it_lies_there(hand, truth):
    hand.take("point")
    hand.view.model.points.ask_for("knee")
    place(hand, truth, "knee")
    points = hand.view.model.points
    points.ask_for("knee")
    hand.view.model.repeating.begin()
    assert "knee" not in points.at(FRAME).seen, "what was placed before would lead the hand"
    z = truth.point("knee")[FRAME]
    places = [(z.real - 9.0, z.imag), (z.real + 9.0, z.imag + 6.0), (z.real, z.imag)]
    for nr, where in enumerate(places, 1):
        assert hand.view.foot.hint.text() == f"Click the knee: {nr} of 3."
        hand.click(where)
    (key,) = tracked(hand)["knee"]
    mean = np.mean(places, axis=0)
    assert (key.place.x, key.place.y) == pytest.approx(tuple(mean), abs=0.02)
    sd = np.sqrt(np.var(places, axis=0, ddof=1).mean() / 3)
    assert key.sd_px == pytest.approx(sd, abs=0.01)
    assert hand.view.foot.hint.text().startswith(f"Placed 3 times: ± {2 * sd:.1f} px.")
    assert "knee" in points.at(FRAME).seen


def test_three_placements_on_one_spot_are_not_taken_for_certainty(hand, truth):
    hand.take("point")
    hand.view.model.points.ask_for("knee")
    place(hand, truth, "knee")
    (once,) = tracked(hand)["knee"]
    hand.view.model.points.ask_for("knee")
    hand.view.model.repeating.begin()
    for _ in range(3):
        hand.click((once.place.x, once.place.y))
    (key,) = tracked(hand)["knee"]
    assert key.sd_px == pytest.approx(once.sd_px / 2, abs=0.01)


def test_escape_gives_up_placing_again(hand, truth):
    hand.take("point")
    place(hand, truth, "ear")
    before = hand.review
    hand.view.model.points.ask_for("ear")
    hand.view.model.repeating.begin()
    hand.click((100.0, 100.0))
    hand.view.setFocus()
    hand.key(Key.Key_Escape)
    assert hand.review is before and hand.view.model.repeating.now is None
    assert "ear" in hand.view.model.points.at(FRAME).seen


def test_names_are_seen_only_when_asked_for(hand, truth):
    hand.take("point")
    place(hand, truth, "ear")
    hand.state.take_tool(None)
    QApplication.processEvents()
    bare = hand.picture()
    hand.view.show_points(True)
    shown = hand.picture()
    hand.view.show_points(False)
    assert hand.picture() == bare != shown
