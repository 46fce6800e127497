"""What the coach has set comes first: moments, phases, descriptors, tests and smoothness."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from support.trajectories import placed
from support.truth import read_truth

from cliptag.measure.movement import MovementReport, measure_movement, movement_json
from cliptag.measure.trajectories import Trajectories
from cliptag.review import MOMENTS_OF, Moment

FRAME_US = 33_333


def points(clip: str) -> Trajectories:
    return placed(read_truth(clip), 1)


def without(whole: Trajectories, *names: str) -> Trajectories:
    kept = {name: place for name, place in whole.points.items() if name not in names}
    return replace(whole, points=kept, sd_px={name: whole.sd_px[name] for name in kept})


def moment(name, at_us, repetition=1) -> Moment:
    return Moment(name=name, at_us=at_us, repetition=repetition)


def told(report: MovementReport, name: str) -> float:
    return next(d.value for d in report.descriptors if d.name == name)


def test_a_moment_that_the_coach_set_is_the_moment():
    proposed = measure_movement(points("lift_week01"), "lift")
    (before,) = proposed.repetitions
    dragged = before.at_us("load_off") + 4 * FRAME_US
    report = measure_movement(
        points("lift_week01"), "lift", confirmed=[moment("load_off", dragged)]
    )
    (after,) = report.repetitions
    found = after.moment("load_off")
    assert (found.at_us, found.confidence, found.reason) == (dragged, 1.0, "Set by the coach.")
    assert found.is_set
    assert 0 < found.sd_us < FRAME_US
    others = [m for m in after.moments if m.name != "load_off"]
    assert others == [m for m in before.moments if m.name != "load_off"]
    assert not any(m.is_set for m in others)
    assert '"reason":"Set by the coach."' in movement_json(report)


def test_descriptors_phases_and_smoothness_are_read_at_the_coachs_moments():
    whole = points("lift_week01")
    truth = read_truth("lift_week01")
    (before,) = measure_movement(whole, "lift").repetitions
    dragged = before.at_us("load_off") + 12 * FRAME_US
    report = measure_movement(whole, "lift", confirmed=[moment("load_off", dragged)])
    (after,) = report.repetitions
    gap = (truth.point("load") - truth.point("l4")) / truth.up[0]
    # Forward is at a right angle to upward, so the level distance is the imaginary part.
    true_cm = abs(np.interp(dragged, truth.times_us, gap.imag)) / truth.data["px_per_cm"]
    assert told(report, "load_to_low_back") == pytest.approx(true_cm, abs=1.5)
    rise = next(phase for phase in after.phases if phase.words.startswith("from the floor"))
    assert rise.start_us == dragged
    earlier = next(phase for phase in before.phases if phase.words == rise.words)
    assert rise.duration_s.value == pytest.approx(earlier.duration_s.value - 0.4, abs=0.001)
    assert [s.start_us for s in report.smoothness] == [dragged]


def test_a_timed_test_runs_from_and_to_the_coachs_moments():
    whole = many_rises()
    before = measure_movement(whole, "sit_to_stand")
    assert len(before.repetitions) >= 5
    first, last = before.repetitions[0], before.repetitions[4]
    given = [
        moment("first_lean", first.at_us("first_lean") - 300_000, 1),
        moment("upright", last.at_us("upright") + 200_000, 5),
    ]
    after = measure_movement(whole, "sit_to_stand", confirmed=given)
    one, other = (next(t for t in r.timed_tests if t.unit == "s") for r in (before, after))
    assert other.value == pytest.approx(one.value + 0.5, abs=1e-4)


def many_rises() -> Trajectories:
    """The same clip twice, and backwards in between."""
    whole = points("sit_to_stand_week10")
    count = len(whole.times_us)
    order = np.concatenate([np.r_[np.arange(count), np.arange(count)[::-1]]] * 2)
    times = np.arange(len(order), dtype=np.int64) * FRAME_US
    return replace(
        whole,
        times_us=times,
        points={name: place[order] for name, place in whole.points.items()},
        sd_px={name: sd[order] for name, sd in whole.sd_px.items()},
    )


def test_a_repetition_that_no_curve_proposes_is_made_of_the_coachs_moments():
    whole = points("lift_week01")
    given = [moment("load_off", 3_000_000, 4), moment("upright", 4_200_000, 4)]
    report = measure_movement(whole, "lift", confirmed=given)
    assert [r.number for r in report.repetitions] == [1, 4]
    fourth = report.repetitions[1]
    assert [m.name for m in fourth.moments] == ["load_off", "upright"]
    assert fourth.duration_s.value == pytest.approx(1.2)
    assert any(d.repetition == 4 and d.name == "load_to_low_back" for d in report.descriptors)
    assert "Repetition 4: set down could not be found." in report.missing


def test_without_the_points_that_propose_the_coachs_moments_still_count():
    whole = without(points("lift_week01"), "load", "wrist")
    assert measure_movement(whole, "lift").repetitions == ()
    given = [moment("load_off", 3_000_000), moment("upright", 4_200_000)]
    report = measure_movement(whole, "lift", confirmed=given)
    (only,) = report.repetitions
    assert [m.name for m in only.moments] == ["load_off", "upright"]
    assert told(report, "peak_trunk_lean") > 20
    assert any("load nor the wrist" in sentence for sentence in report.missing)


def test_a_proposal_that_contradicts_the_coach_is_dropped():
    whole = points("lift_week01")
    (before,) = measure_movement(whole, "lift").repetitions
    late = before.at_us("upright") + 200_000
    report = measure_movement(whole, "lift", confirmed=[moment("load_off", late)])
    (after,) = report.repetitions
    assert after.moment("upright") is None
    assert after.moment("passing_knees") is None
    assert after.moment("set_down") is not None
    assert all(phase.duration_s.value >= 0 for phase in after.phases)


def test_two_moments_of_the_coach_in_the_wrong_order_are_told():
    given = [moment("load_off", 4_200_000), moment("upright", 3_000_000)]
    report = measure_movement(points("lift_week01"), "lift", confirmed=given)
    assert any("upright is set before load off" in sentence for sentence in report.missing)
    assert all(phase.duration_s.value >= 0 for r in report.repetitions for phase in r.phases)


def test_a_moment_outside_the_clip_is_told_and_left_out():
    report = measure_movement(
        points("lift_week01"), "lift", confirmed=[moment("upright", 99_000_000)]
    )
    assert not any(m.is_set for m in report.proposals)
    assert any("outside the clip" in sentence for sentence in report.missing)


@pytest.mark.parametrize(
    ("clip", "movement"),
    [("lift_week01", "lift"), ("bend_week10", "bend"), ("sit_to_stand_week10", "sit_to_stand")],
)
def test_confirming_every_proposal_changes_no_moment(clip, movement):
    before = measure_movement(points(clip), movement)
    given = [moment(m.name, m.at_us, m.repetition) for m in before.proposals]
    after = measure_movement(points(clip), movement, confirmed=given)
    assert [m.at_us for m in after.proposals] == [m.at_us for m in before.proposals]
    assert {m.name for m in after.proposals} == set(MOMENTS_OF[movement])
    assert [d.value for d in after.descriptors] == [d.value for d in before.descriptors]
