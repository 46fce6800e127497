"""The truth agrees with itself: bones, feet, angles, moments, all recomputed from its pixels."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray
from support.truth import Points, Truth, read_truth

from cliptag.review.regions import MOMENTS_OF

Values = NDArray[np.float64]

# Drillis and Contini (1966), fractions of stature, after Winter fig. 4.1 (from memory).
_BONES = {
    ("hip", "knee"): 0.245,
    ("knee", "ankle"): 0.246,
    ("shoulder", "elbow"): 0.186,
    ("elbow", "wrist"): 0.146,
}


def _included(a: Points, b: Points, c: Points) -> Values:
    """Angle at b of a-b-c, 0 to 180 degrees."""
    u, v = a - b, c - b
    cosine = (u * v.conj()).real / abs(u) / abs(v)
    return np.asarray(np.degrees(np.arccos(np.clip(cosine, -1, 1))))


def _forward_lean(vector: Points, up: Points, facing: str) -> Values:
    """How far a vector leans from the true vertical to the side that she faces; y is down."""
    clockwise = np.degrees(np.angle(vector / up))
    return np.asarray(clockwise if facing == "right" else -clockwise)


def _recomputed(p: dict[str, Points], up: Points, facing: str) -> dict[str, Values]:
    """The truth's angles by the README's definitions, from pixels alone."""

    def lean(a: str, b: str) -> Values:
        return _forward_lean(p[b] - p[a], up, facing)

    def wrapped(degrees: Values) -> Values:
        return np.asarray((degrees + 180) % 360 - 180)

    return {
        "knee_flexion": 180 - _included(p["hip"], p["knee"], p["ankle"]),
        "hip_flexion": 180 - _included(p["shoulder"], p["hip"], p["knee"]),
        "elbow_flexion": 180 - _included(p["shoulder"], p["elbow"], p["wrist"]),
        "ankle_dorsiflexion": 90 - (lean("heel", "toe") - lean("ankle", "knee")),
        "ankle_dorsiflexion_to_toe": 90 - _included(p["knee"], p["ankle"], p["toe"]),
        "trunk_tilt": lean("hip", "shoulder"),
        "craniovertebral": wrapped(90 - lean("c7", "ear")),
        "lumbar_rounding": wrapped(lean("l1", "t8") - lean("s2", "l4")),
        "thoracic_rounding": wrapped(lean("t4", "c7") - lean("l1", "t8")),
    }


def _points(truth: Truth) -> dict[str, Points]:
    return {name: truth.point(name) for name in truth.data["points"]}


def test_lists_run_over_all_frames(truth: Truth) -> None:
    count = len(truth.times_us)
    assert truth.data["schema"] == "cliptag-truth/1"
    for place in truth.data["points"].values():
        assert len(place["x"]) == len(place["y"]) == len(place["seen"]) == count
        assert np.isfinite(place["x"]).all() and np.isfinite(place["y"]).all()
    for values in truth.data["angles_deg"].values():
        assert len(values) == count


def test_angles_agree_with_the_pixels(truth: Truth) -> None:
    found = _recomputed(_points(truth), truth.up, truth.data["facing"])
    assert found.keys() == truth.data["angles_deg"].keys()
    for name, values in found.items():
        # Pixels are rounded to 0.01: 0.04 degrees on the shortest line (57 px).
        np.testing.assert_allclose(values, truth.angle(name), atol=0.05, err_msg=name)


def test_mirrored_picture_and_facing_change_no_angle(truth: Truth) -> None:
    width = truth.data["width"]
    flipped = {name: width - p.conj() for name, p in _points(truth).items()}
    other = "left" if truth.data["facing"] == "right" else "right"
    up = -truth.up.conj()
    for name, values in _recomputed(flipped, up, other).items():
        np.testing.assert_allclose(values, truth.angle(name), atol=0.05, err_msg=name)


@pytest.mark.parametrize("bone", _BONES, ids="-".join)
def test_bones_keep_their_published_length(truth: Truth, bone: tuple[str, str]) -> None:
    length = abs(truth.point(bone[0]) - truth.point(bone[1]))
    published = _BONES[bone] * truth.data["stature_cm"] * truth.data["px_per_cm"]
    np.testing.assert_allclose(length, published, atol=0.1)


def test_feet_never_slide(truth: Truth) -> None:
    for name in ("ankle", "heel", "toe"):
        place = truth.level(name) * truth.data["px_per_cm"]
        assert abs(place - place[0]).max() < 0.1, name


def test_only_the_hand_held_clip_shakes(truth: Truth) -> None:
    foot, top = truth.scale_ends
    wander = abs(foot - foot[0]).max()
    if truth.data["shake"] is None:
        assert wander == 0
    else:
        assert truth.name == "bend_week01"
        assert 2 < wander < 15
        turned = np.degrees(np.angle((top - foot) / -1j))
        np.testing.assert_allclose(turned, truth.data["shake"]["roll_deg"], atol=0.02)


def test_rule_has_its_length_and_stands_true(truth: Truth) -> None:
    foot, top = truth.scale_ends
    length = truth.data["scale"]["length_cm"] * truth.data["px_per_cm"]
    np.testing.assert_allclose(abs(top - foot), length, atol=0.03)
    np.testing.assert_allclose(np.degrees(np.angle((top - foot) / truth.up)), 0, atol=0.02)


def test_camera_roll_is_the_lean_of_the_plumb_line() -> None:
    rolled = read_truth("lift_week01")
    assert rolled.data["camera_roll_deg"] == 1.5
    np.testing.assert_allclose(np.degrees(np.angle(rolled.up / -1j)), 1.5, atol=0.01)


def test_moments_are_those_of_the_movement_in_order(truth: Truth) -> None:
    moments = truth.data["moments"]
    expected = MOMENTS_OF[truth.data["movement"]]
    times = [moment["time_us"] for moment in moments]
    assert times == sorted(times)
    repetitions = sorted({moment["repetition"] for moment in moments})
    for repetition in repetitions:
        names = tuple(m["name"] for m in moments if m["repetition"] == repetition)
        assert names == expected
    assert len(repetitions) == (2 if truth.name == "sit_to_stand_week10" else bool(expected))


def test_moment_frames_are_the_frames_on_show(truth: Truth) -> None:
    times = [*truth.times_us, np.inf]
    for moment in truth.data["moments"]:
        i = moment["frame"]
        assert times[i] <= moment["time_us"] < times[i + 1]


@pytest.mark.parametrize("name", ["sit_to_stand_week01", "sit_to_stand_week10"])
def test_hip_leaves_the_seat_at_seat_off(name: str) -> None:
    truth = read_truth(name)
    height = truth.level("hip").imag
    first = truth.moments("first_lean")[0]["frame"]
    for moment in truth.moments("seat_off"):
        i = moment["frame"]
        np.testing.assert_allclose(height[i - 10 : i + 1], height[first], atol=0.01)
        rise = height[i + 1 : i + 30]
        assert (np.diff(rise) > 0).all()
        assert rise[5] - height[i] > 1.0, "1 cm up within 0.2 s"


@pytest.mark.parametrize("name", ["lift_week01", "lift_week10"])
def test_crate_rests_moves_and_rests_again(name: str) -> None:
    truth = read_truth(name)
    load = truth.level("load")
    off, down = (truth.moments(n)[0]["frame"] for n in ("load_off", "set_down"))
    assert abs(load[: off + 1] - load[0]).max() < 0.01
    assert abs(load[down + 1 :] - load[0]).max() < 0.01
    assert (load.imag >= load[0].imag - 0.005).all(), "it never sinks into the floor"
    passing = truth.moments("passing_knees")[0]
    above = np.interp(passing["time_us"], truth.times_us, load.imag - truth.level("knee").imag)
    assert abs(above) < 0.3


@pytest.mark.parametrize("name", ["lift_week01", "lift_week10", "bend_week01", "bend_week10"])
def test_hand_never_slips_on_what_it_holds(name: str) -> None:
    truth = read_truth(name)
    moments = {m["name"]: m["frame"] for m in truth.data["moments"]}
    start = moments["grip" if "grip" in moments else "deepest"]
    last = moments.get("set_down", len(truth.times_us) - 1)
    gap = abs(truth.level("load") - truth.level("wrist"))[start + 1 : last]
    # The crate hangs level in a hand that keeps its direction, the billet turns in the fist.
    assert np.ptp(gap) < 0.05


@pytest.mark.parametrize("name", ["bend_week01", "bend_week10"])
def test_deepest_is_the_greatest_trunk_tilt(name: str) -> None:
    truth = read_truth(name)
    at = truth.times_us[int(np.argmax(truth.angle("trunk_tilt")))]
    assert abs(at - truth.moments("deepest")[0]["time_us"]) < 150_000


def test_motion_is_smooth(video: Truth) -> None:
    """No point jumps: its acceleration stays under 4 g (a stepped or broken chain shows more)."""
    seconds = video.times_us / 1e6
    for name in set(video.data["points"]) - {"load"}:
        place = video.level(name) / 100
        velocity = np.diff(place) / np.diff(seconds)
        acceleration = np.diff(velocity) / np.diff(seconds)[1:]
        assert abs(acceleration).max() < 4 * 9.81, name


def test_ten_weeks_show() -> None:
    """What the scenario says of the two weeks is true of the numbers."""
    sit1, sit10 = read_truth("sit_to_stand_week01"), read_truth("sit_to_stand_week10")
    assert sit1.angle("trunk_tilt").max() > sit10.angle("trunk_tilt").max() + 15
    assert sit1.angle("craniovertebral")[0] < sit10.angle("craniovertebral")[0] - 10
    assert sit1.angle("knee_flexion")[0] < sit10.angle("knee_flexion")[0] - 10
    assert (
        (sit1.level("knee") - sit1.level("toe")).real.max()
        > 2
        > 0
        > (sit10.level("knee") - sit10.level("toe")).real.max()
    )
    for movement, moment in (("bend", "deepest"), ("lift", "grip")):
        week1, week10 = read_truth(f"{movement}_week01"), read_truth(f"{movement}_week10")
        i, j = (week.moments(moment)[0]["frame"] for week in (week1, week10))
        assert week1.angle("lumbar_rounding")[i] > week10.angle("lumbar_rounding")[j] + 25
        assert week1.angle("knee_flexion")[i] < week10.angle("knee_flexion")[j] - 35
    far, near = (
        (read_truth(name).level("load") - read_truth(name).level("ankle"))[0].real
        for name in ("lift_week01", "lift_week10")
    )
    assert far > near + 5
    assert abs(read_truth("standing_week01").angle("trunk_tilt")[0] - 2.0) < 0.5
