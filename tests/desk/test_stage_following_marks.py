"""Marks that go with followed points; how surely the points of measuring marks lie."""

from __future__ import annotations

import shutil
from itertools import pairwise

import numpy as np
import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from support.desk import note
from support.stage import LEFT, PLAIN, StageHand, stage_with
from support.truth import Truth, read_truth

from cliptag.desk.stage.points import names_for
from cliptag.measure import included_angle, neutral_zero, readings_of
from cliptag.review import Arrow, Between, Joint, Point, Stroke, Tilt, edit

Key = Qt.Key
FRAME = 40


@pytest.fixture(scope="module")
def truth() -> Truth:
    return read_truth("bend_week01")


@pytest.fixture(scope="module")
def stage(tmp_path_factory, qapp, truth):
    folder = tmp_path_factory.mktemp("following")
    shutil.copy(truth.path, folder)
    with stage_with(folder / truth.path.name, (1300, 800)) as hand:
        yield hand


@pytest.fixture
def hand(stage: StageHand, truth: Truth) -> StageHand:
    stage.clear()
    stage.view.show_points(False)
    stage.put(facing=truth.data["facing"], tracked=())
    stage.go_to(FRAME)
    return stage


def at(truth: Truth, name: str, frame: int = FRAME) -> tuple[float, float]:
    z = truth.point(name)[frame]
    return float(z.real), float(z.imag)


def click(hand: StageHand, place: tuple[float, float]) -> None:
    QTest.mouseClick(hand.view, LEFT, PLAIN, hand.on_stage(place).toPoint())


def measure_knee(hand: StageHand, truth: Truth) -> Joint:
    hand.take("joint")
    hand.view.asking.choices.chip("knee").click()
    for name in ("hip", "knee", "ankle"):
        click(hand, at(truth, name))
    mark = hand.mark
    assert isinstance(mark, Joint)
    return mark


def follow(hand: StageHand, truth: Truth, qtbot, *names: str) -> None:
    review = hand.review
    for name in names:
        review = edit.with_tracked_point(
            review, name, int(truth.times_us[FRAME]), Point(*at(truth, name)), 1.0
        )
    hand.state.document.do(review, "place points")
    qtbot.waitUntil(lambda: not hand.state.following.is_running, timeout=90_000)


# -- how surely the points lie ------------------------------------------------------------------


def test_a_new_measuring_mark_knows_how_surely_its_points_were_placed(hand, truth):
    """A hand scatters by 1.5 px of the screen (common practice, no source)."""
    mark = measure_knee(hand, truth)
    assert mark.placement_sd_px is not None
    assert mark.placement_sd_px >= 1.5 / hand.viewport.zoom
    hand.put()
    hand.look_at(2.0, at(truth, "knee"))
    for point in mark.proximal, mark.distal:
        assert hand.view.model.surety.sd_px(point) < mark.placement_sd_px


def test_a_mark_becomes_surer_only_when_all_its_points_were_placed_anew(hand, truth):
    first = measure_knee(hand, truth).placement_sd_px
    sds = []
    for which, name in enumerate(("hip", "knee", "ankle")):
        hand.look_at(6.0, at(truth, name))
        hand.view.model.choose_point(which)
        hand.view.setFocus()
        hand.key(Key.Key_Right)
        sds.append(hand.mark.placement_sd_px)
    hand.view.fit()
    assert sds[0] == sds[1] == first
    assert sds[2] < first / 2


def test_a_point_of_a_mark_placed_three_times_tells_how_surely(hand, truth):
    mark = measure_knee(hand, truth)
    hand.view.model.choose_point(1)
    x, y = mark.vertex.x, mark.vertex.y
    hand.view.model.repeating.begin()
    assert not any(shown for seen in hand.view.model.notes() for shown in seen.marks)
    places = [(x - 30, y), (x + 30, y), (x, y + 30)]
    for place in places:
        hand.click(place)
    expected = np.sqrt(np.var(places, axis=0, ddof=1).mean() / 3)
    assert hand.mark.placement_sd_px == pytest.approx(expected, abs=0.01)
    assert hand.mark.vertex == Point(round(x, 2), round(y + 10, 2))
    assert hand.view.foot.hint.text().startswith(f"Placed 3 times: ± {2 * expected:.1f} px.")
    assert hand.state.document.undo_words == "move knee point"
    hand.state.document.undo()
    assert hand.mark == mark


# -- the angle of two lines ---------------------------------------------------------------------


def test_the_angle_of_two_lines_takes_four_clicks(hand, truth):
    hand.take("between")
    assert hand.view.foot.hint.text() == "Click one end of the first line, then its other end."
    for name in ("hip", "shoulder", "knee", "ankle"):
        click(hand, at(truth, name))
    mark = hand.mark
    assert isinstance(mark, Between) and hand.state.tool is None
    (reading,) = readings_of(hand.review)
    trunk = truth.point("shoulder")[FRAME] - truth.point("hip")[FRAME]
    shank = truth.point("ankle")[FRAME] - truth.point("knee")[FRAME]
    turned = abs(np.degrees(np.angle(trunk / shank)))
    assert reading.value == pytest.approx(min(turned, 180 - turned), abs=2 * reading.sd)
    assert reading.name.startswith("Angle between")


# -- marks that follow --------------------------------------------------------------------------


def test_a_mark_can_follow_only_when_its_own_points_are_followed(hand, truth, qtbot):
    measure_knee(hand, truth)
    model = hand.view.model
    assert not model.going_along.is_possible() and not hand.view.asking.follow.isVisible()
    follow(hand, truth, qtbot, "hip", "knee")
    assert not model.going_along.is_possible()
    follow(hand, truth, qtbot, "ankle")
    assert model.going_along.is_possible()
    assert model.going_along.names() == ("hip", "knee", "ankle")
    qtbot.waitUntil(hand.view.asking.follow.isVisible, timeout=2_000)
    assert hand.view.asking.follow.text() == "Let it follow"


def test_a_following_mark_is_on_all_frames_of_its_note_with_the_number_of_each(hand, truth, qtbot):
    """The truth of the angle is that of the points as they lie in the picture."""
    measure_knee(hand, truth)
    follow(hand, truth, qtbot, "hip", "knee", "ankle")
    hand.view.asking.follow.click()
    assert hand.mark.follows == ("hip", "knee", "ankle")
    assert hand.state.document.undo_words == "let the knee angle follow its points"
    (one,) = hand.notes
    hand.state.document.do(
        edit.with_note_fields(hand.review, one.id, end_us=int(truth.times_us[FRAME + 25])), "longer"
    )
    numbers = set()
    for frame in (FRAME, FRAME + 10, FRAME + 20):
        hand.go_to(frame)
        ((shown,),) = (seen.marks for seen in hand.view.model.notes())
        for point, name in zip(
            (shown.mark.proximal, shown.mark.vertex, shown.mark.distal),
            ("hip", "knee", "ankle"),
            strict=True,
        ):
            assert abs(complex(point.x, point.y) - truth.point(name)[frame]) < 6.0
        angle = included_angle(
            *(Point(*at(truth, name, frame)) for name in ("hip", "knee", "ankle")), 1.0
        )
        expected = neutral_zero("knee", angle.value)
        reading = hand.view.model._seen._moving.of(hand.review).reading(one.id, hand.mark, frame)
        assert reading.value == pytest.approx(expected, abs=2 * reading.sd)
        assert shown.reading == reading.text
        numbers.add(shown.mark.vertex)
    assert len(numbers) == 3
    hand.go_to(FRAME + 26)
    assert hand.view.model.notes() == []


def test_a_following_mark_can_be_chosen_and_let_stay_but_not_dragged(hand, truth, qtbot):
    drawn = measure_knee(hand, truth)
    follow(hand, truth, qtbot, "hip", "knee", "ankle")
    hand.view.model.going_along.toggle()
    hand.view.model.let_go()
    here = hand.view.model.labelled()[0].marks[0].mark.vertex
    hand.pull((here.x, here.y), (here.x + 60, here.y))
    assert hand.view.model.chosen_mark is not None
    assert hand.mark.vertex == drawn.vertex
    assert hand.view.foot.hint.text() == "The knee angle goes with the points that are followed."
    assert hand.view.asking.follow.text() == "Let it stay"
    hand.view.asking.follow.click()
    assert hand.mark == drawn


# -- which points -------------------------------------------------------------------------------

KNEE = Joint(id="m", joint="knee", proximal=Point(0, 0), vertex=Point(0, 50), distal=Point(0, 100))


def test_the_nearer_side_is_followed():
    places = {
        f"{side}_{name}": Point(x, y)
        for side, x in (("left", 40.0), ("right", 15.0))
        for name, y in (("hip", 0.0), ("knee", 50.0), ("ankle", 100.0))
    }
    assert names_for(KNEE, places, 1.0) == ("right_hip", "right_knee", "right_ankle")


def test_a_mark_of_no_part_of_the_body_goes_with_the_nearest_points():
    places = {"load": Point(10, 10), "toe": Point(100, 10), "knee": Point(55, 10)}
    arrow = Arrow(id="m", tail=Point(12, 8), head=Point(98, 12))
    assert names_for(arrow, places, 10.0) == ("load", "toe")
    assert names_for(arrow, places, 1.0) == ()


def test_two_points_of_a_mark_never_go_with_the_same_one():
    arrow = Arrow(id="m", tail=Point(10, 10), head=Point(11, 10))
    assert names_for(arrow, {"load": Point(10, 10)}, 50.0) == ()


def test_a_pen_stroke_follows_nothing():
    points = tuple(Point(float(x), 0.0) for x in range(20))
    places = {f"p{a.x}": a for a, _ in pairwise(points)}
    assert names_for(Stroke(id="m", points=points), places, 5.0) == ()


def test_gaze_goes_with_the_eye_and_what_is_looked_at():
    mark = Tilt(id="m", segment="gaze", lower=Point(0, 0), upper=Point(9, 9))
    places = {"eye": Point(5, 5), "gaze_target": Point(90, 9)}
    assert names_for(mark, places, 1.0) == ("eye", "gaze_target")


def test_before_its_points_are_followed_a_following_mark_is_where_it_was_placed(hand):
    mark = Joint(
        id="m",
        joint="knee",
        proximal=Point(10, 10),
        vertex=Point(10, 60),
        distal=Point(40, 90),
        follows=("hip", "knee", "ankle"),
    )
    hand.put(note(1, 0, 2_000_000, marks=(mark,)))
    hand.go_to(0)
    ((shown,),) = (seen.marks for seen in hand.view.model.notes())
    assert shown.mark == mark
    hand.go_to(5)
    assert hand.view.model.notes() == []
