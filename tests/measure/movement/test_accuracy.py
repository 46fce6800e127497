"""How near the truth of the drawn clips the curves, moments and descriptors come.

Every point of every clip is placed with white noise of 1.25 px on each frame and with 0.6 px of
slow wandering, the plumb line with 0.2 degrees and the scale with 0.4 %; several draws of each
clip. The truth is what was drawn, the moments those that were programmed, without sway. Run with
``-s`` to see the tables.
"""

from __future__ import annotations

from collections import defaultdict

import numpy as np
import pytest
from support.trajectories import placed
from support.truth import VIDEOS, Truth, read_truth

from cliptag.measure.movement import MovementReport, measure_movement

DRAWS = 8
TRUE_NAME = {"low_back_rounding": "lumbar_rounding", "mid_back_rounding": "thoracic_rounding"}
FRAME_US = 1e6 / 30

# Seen in the table: these have no sharp instant. A hand closes in so slowly that 1.25 px of noise
# leave its coming to rest open by some frames, and settling is smaller than the body's own sway.
SOFT = {"grip", "settled"}

Draws = dict[str, tuple[Truth, list[MovementReport]]]


@pytest.fixture(scope="module")
def draws() -> Draws:
    found = {}
    for number, name in enumerate(VIDEOS):
        truth = read_truth(name)
        movement = truth.data["movement"]
        seeds = range(100 * number, 100 * number + DRAWS)
        reports = [measure_movement(placed(truth, seed), movement) for seed in seeds]
        found[name] = (truth, reports)
    return found


def angle_errors(draws: Draws, name: str) -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Errors in degrees and in standard uncertainties of one curve, by clip."""
    errors = {}
    for clip, (truth, reports) in draws.items():
        true = truth.angle(TRUE_NAME.get(name, name))
        curves = [report.angles[name] for report in reports]
        # The truth's hip flexion is an included angle's and can't tell extension from flexion.
        values = [abs(c.values) if name == "hip_flexion" else c.values for c in curves]
        off = np.stack(values) - true
        errors[clip] = off, off / np.stack([c.sd for c in curves])
    return errors


@pytest.mark.parametrize(
    ("name", "limit_deg"),
    [
        ("knee_flexion", 0.6), ("hip_flexion", 0.6), ("trunk_tilt", 0.5), ("elbow_flexion", 0.9),
        ("ankle_dorsiflexion", 1.0), ("ankle_dorsiflexion_to_toe", 1.0),
        # Short ways, 9 to 16 cm between the points: a pixel counts for more.
        ("craniovertebral", 1.3), ("low_back_rounding", 2.3), ("mid_back_rounding", 2.1),
    ],
)  # fmt: skip
def test_angles_come_within_a_degree_and_state_their_error(draws, name, limit_deg):
    errors = angle_errors(draws, name)
    worst = max(float(np.sqrt(np.mean(off**2))) for off, _ in errors.values())
    covered = float(
        np.mean([np.abs(score) < 2 for _, s in errors.items() for score in s[1].ravel()])
    )
    print(f"\n{name:28s} worst clip {worst:.2f} degrees, inside k = 2: {covered:.3f}")
    assert worst <= limit_deg
    assert 0.90 <= covered <= 0.99


def moment_errors(draws: Draws) -> dict[tuple[str, str], np.ndarray]:
    """(draws, 2) of error and stated standard uncertainty in frames, by clip and moment."""
    found: dict[tuple[str, str], list[tuple[float, float]]] = defaultdict(list)
    for clip, (truth, reports) in draws.items():
        for report in reports:
            proposed = {(p.name, p.repetition): p for p in report.proposals}
            wanted = {(m["name"], m["repetition"]): m["time_us"] for m in truth.data["moments"]}
            assert set(proposed) == set(wanted), f"{clip}: other moments than those programmed"
            for key, true_us in wanted.items():
                off = (proposed[key].at_us - true_us) / FRAME_US
                found[clip, key[0]].append((off, proposed[key].sd_us / FRAME_US))
    return {key: np.array(values) for key, values in found.items()}


def test_moments_come_within_two_frames_in_all_clips(draws):
    scores = []
    for (clip, name), found in moment_errors(draws).items():
        off, stated = found.T
        print(
            f"\n{clip:30s}{name:14s} mean {off.mean():+.2f} sd {off.std():.2f} "
            f"worst {abs(off).max():.2f} stated {np.median(stated):.2f} frames",
            end="",
        )
        if name not in SOFT:
            assert abs(off).max() <= 2.0, (clip, name)
            scores += list(off / stated)
    assert 0.90 <= np.mean(np.abs(scores) < 2) <= 0.995


def test_soft_moments_say_that_they_are(draws):
    for (clip, name), found in moment_errors(draws).items():
        if name in SOFT:
            off, stated = found.T
            assert np.mean(np.abs(off / stated) < 2) >= 0.75, (clip, name)
            assert abs(np.median(off)) <= 4 or np.median(stated) > 8, (clip, name)
            confidence = [
                p.confidence for r in draws[clip][1] for p in r.proposals if p.name == name
            ]
            assert np.median(confidence) < 0.75, (clip, name)


def test_repetitions_are_counted(draws):
    for clip, (truth, reports) in draws.items():
        programmed = max(m["repetition"] for m in truth.data["moments"])
        assert {len(report.repetitions) for report in reports} == {programmed}, clip


def test_times_of_rising_are_right(draws):
    # From the first lean to upright; natural rising takes 1.7 to 2.3 s (Arch Phys Med Rehabil
    # 1993;74:1095-1099, read in the abstract), which plausible clips are near.
    for clip, (truth, reports) in draws.items():
        if not clip.startswith("sit_to_stand"):
            continue
        for report in reports:
            for repetition in report.repetitions:
                true = {
                    m["name"]: m["time_us"] / 1e6
                    for m in truth.data["moments"]
                    if m["repetition"] == repetition.number
                }
                found = repetition.duration_s
                assert found.value == pytest.approx(true["upright"] - true["first_lean"], abs=0.08)
                assert 1.5 < found.value < 2.6
                words = [phase.words for phase in repetition.phases]
                assert words == [
                    "leaning forward", "shifting weight onto the feet", "straightening up",
                    "settling",
                ]  # fmt: skip


def described(draws: Draws, name: str, true_of) -> np.ndarray:
    """(draws, 2) of value less truth and stated sd, over all clips that tell it."""
    found = []
    for truth, reports in draws.values():
        for report in reports:
            for d in report.descriptors:
                if d.name == name:
                    true = true_of(truth, report, d)
                    found.append((d.value - true, d.sd))
    return np.array(found)


def ahead(truth: Truth, one: str, other: str) -> np.ndarray:
    return (truth.level(one) - truth.level(other)).real


def at(truth: Truth, values: np.ndarray, at_us: int) -> float:
    return float(np.interp(at_us, truth.times_us, values))


CASES = {
    "peak_trunk_lean": lambda t, r, d: at(t, t.angle("trunk_tilt"), d.at_us),
    "knee_over_toe": lambda t, r, d: at(t, ahead(t, "knee", "toe"), d.at_us),
    "load_to_low_back": lambda t, r, d: at(t, ahead(t, "load", "l4"), d.at_us),
    "head_ahead_of_shoulder": lambda t, r, d: at(t, ahead(t, "ear", "shoulder"), d.at_us),
    "feet_ahead_of_knees": lambda t, r, d: at(t, ahead(t, "ankle", "knee"), d.at_us),
    "ear_from_plumb": lambda t, r, d: at(t, ahead(t, "ear", "ankle"), d.at_us),
    "hip_from_plumb": lambda t, r, d: at(t, ahead(t, "hip", "ankle"), d.at_us),
}


@pytest.mark.parametrize("name", CASES)
def test_descriptors_agree_with_the_truth_within_what_they_state(draws, name):
    off, stated = described(draws, name, CASES[name]).T
    print(
        f"\n{name:26s} rms {np.sqrt(np.mean(off**2)):.2f}, stated {np.median(stated):.2f}", end=""
    )
    assert len(off) >= 2 * DRAWS
    assert np.mean(np.abs(off / stated) < 2) >= 0.85
    assert np.sqrt(np.mean((off / stated) ** 2)) > 0.5


def test_the_low_backs_rounding_tells_week_1_from_week_10(draws):
    for movement in ("bend", "lift"):
        means = []
        for week in ("week01", "week10"):
            truth, reports = draws[f"{movement}_{week}"]
            found = [d for r in reports for d in r.descriptors if d.name == "low_back_rounding"]
            parts = [np.ptp(truth.angle("lumbar_rounding")[window(truth, r)]) for r in reports]
            # The extremes of a noisy curve lie further out than the true ones, never much less.
            off = np.array([d.value for d in found]) - parts
            assert np.abs(off).max() < 4 * np.median([d.sd for d in found])
            means.append(np.mean([d.value for d in found]))
        assert means[0] > 2 * means[1]


def window(truth: Truth, report: MovementReport) -> np.ndarray:
    names = ("start", "back_up") if report.movement == "bend" else ("load_off", "upright")
    start, end = (report.repetitions[0].at_us(name) for name in names)
    return (truth.times_us >= start) & (truth.times_us <= end)


def test_the_hips_share_is_the_truths(draws):
    told = 0
    for truth, reports in draws.values():
        for report in reports:
            for d in (d for d in report.descriptors if d.name == "hip_share"):
                repetition = report.repetitions[d.repetition - 1]
                names = (
                    ("start", "deepest") if report.movement == "bend" else ("seat_off", "upright")
                )
                names = ("load_off", "upright") if report.movement == "lift" else names
                start, end = (repetition.at_us(name) for name in names)
                change = [
                    abs(at(truth, truth.angle(a), end) - at(truth, truth.angle(a), start))
                    for a in ("hip_flexion", "knee_flexion")
                ]
                assert d.value == pytest.approx(100 * change[0] / sum(change), abs=4 * d.sd)
                told += 1
    assert told >= 8 * DRAWS


@pytest.mark.parametrize(
    ("clip", "first"),
    [
        # Programmed: the trunk throws itself forward before the knee straightens (rise), and the
        # knees give way from 0.15 s on while the trunk's bend takes until 2.0 s (bend).
        ("sit_to_stand_week01", "hip"), ("bend_week10", "knee"),
    ],
)  # fmt: skip
def test_who_moves_first_is_told(draws, clip, first):
    for report in draws[clip][1]:
        (lead,) = (d for d in report.descriptors if d.name == "hip_lead")
        assert lead.sentence.startswith(f"The {first} moves first"), lead.sentence
