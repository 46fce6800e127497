"""Many rises in one clip: counted, timed, and the two chair tests by their rules."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from support.trajectories import made

from cliptag.measure.movement import MovementReport, measure_movement

RATE = 30.0
SEAT_S, RISE_S, STAND_S, SIT_S = 0.8, 1.4, 0.6, 1.2
LEAN_S = 0.6


def smooth_step(t: np.ndarray, start: float, length: float) -> np.ndarray:
    x = np.clip((t - start) / length, 0, 1)
    return x**3 * (10 - 15 * x + 6 * x**2)


def chair(times: int, seconds: float, every_s: float, seed: int = 0) -> MovementReport:
    """A body that stands up ``times`` times, once in ``every_s``, and sits down again.

    Within each: lean from 0.8 s, rise from 1.2 s to 2.6 s, sit from 3.2 s to 4.4 s; scaled to fit.
    """
    t = np.arange(round(seconds * RATE)) / RATE
    pace = every_s / 4.8
    up, lean = np.zeros_like(t), np.zeros_like(t)
    for k in range(times):
        z = k * every_s
        up += smooth_step(t, z + 1.2 * pace, 1.4 * pace) - smooth_step(
            t, z + 3.2 * pace, 1.2 * pace
        )
        lean += smooth_step(t, z + 0.8 * pace, 0.8 * pace) - smooth_step(t, z + 1.6 * pace, pace)
    tilt = np.radians(4 + 40 * lean)
    thigh = np.radians(-88 * (1 - up) - 2)
    ankle = np.tile([700.0, 1600.0], (len(t), 1))
    knee = ankle + np.array([15.0, -330.0])
    hip = knee + 330 * np.stack([np.sin(thigh), -np.cos(thigh)], 1)
    shoulder = hip + 400 * np.stack([np.sin(tilt), -np.cos(tilt)], 1)
    points = {"ankle": ankle, "knee": knee, "hip": hip, "shoulder": shoulder}
    rng = np.random.default_rng(seed)
    points = {name: p + rng.normal(0, 1, p.shape) for name, p in points.items()}
    return measure_movement(made(points, px_per_cm=8.0), "sit_to_stand")


@pytest.mark.parametrize("times", [1, 3, 5, 6])
def test_rises_are_counted_each_with_its_moments_in_order(times):
    report = chair(times, times * 4.8 + 0.5, 4.8)
    assert [r.number for r in report.repetitions] == list(range(1, times + 1))
    for repetition in report.repetitions:
        names = [m.name for m in repetition.moments]
        assert names == ["first_lean", "seat_off", "upright", "settled"]
        at = [m.at_us for m in repetition.moments]
        assert at == sorted(at)
    apart = np.diff([r.at_us("seat_off") for r in report.repetitions])
    np.testing.assert_allclose(apart, 4.8e6, atol=70_000)
    assert all(a.at_us <= b.at_us for a, b in pairwise(report.proposals))


def test_five_times_is_from_the_first_lean_to_the_fifth_upright():
    report = chair(6, 30.0, 4.8)
    (test,) = (t for t in report.timed_tests if t.name == "five_times_sit_to_stand")
    first, fifth = report.repetitions[0], report.repetitions[4]
    assert test.value == pytest.approx((fifth.at_us("upright") - first.at_us("first_lean")) / 1e6)
    # Made: lean from 0.8 s on, the fifth rise over at 4 x 4.8 + 2.6 s; a degree is near both ends.
    assert test.value == pytest.approx(4 * 4.8 + 2.6 - 0.8, abs=0.45)
    assert 0 < test.sd < 0.2
    assert "until upright in the fifth" in test.rule


def test_four_rises_are_no_five_times_and_a_short_clip_no_thirty_seconds():
    assert chair(4, 21.0, 4.8).timed_tests == ()


@pytest.mark.parametrize(
    ("every", "counted"),
    [
        # The clock runs from the first lean, near 0.8 of a pace: in 30 s at 4.8 s each, six are
        # half-way up (the sixth at 24 + 1.9 s) and the seventh, at 28.8 + 1.9 - 0.9 = 29.8 s, too.
        (4.8, 7),
        # At 5.0 s the seventh would be half-way at 30 + 1.98 - 0.9 s: too late.
        (5.0, 6),
    ],
)
def test_a_rise_more_than_half_way_up_at_thirty_seconds_counts(every, counted):
    report = chair(8, 8 * every + 0.5, every)
    (test,) = (t for t in report.timed_tests if t.name == "thirty_second_chair_stand")
    assert test.value == counted
    assert "half-way up" in test.rule
    assert "CDC" in test.rule


def test_phases_fill_the_time_from_first_lean_to_settled():
    for repetition in chair(3, 15.0, 4.8).repetitions:
        ends = [(p.start_us, p.end_us) for p in repetition.phases]
        assert [a for _, a in ends[:-1]] == [b for b, _ in ends[1:]]
        assert ends[0][0] == repetition.at_us("first_lean")
        assert ends[-1][1] == repetition.at_us("settled")
        assert all(p.duration_s.sd > 0 for p in repetition.phases)
