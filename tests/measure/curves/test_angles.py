"""Angle curves against printed gait data, the single-frame numbers, and other propagation."""

from __future__ import annotations

import math

import numpy as np
import pytest
import uncertainties
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from support import reviews as made_reviews
from support.trajectories import as_placed, made
from uncertainties import umath

from cliptag.errors import MeasureError
from cliptag.measure import reading_of
from cliptag.measure.curves import Level, angle_curves
from cliptag.measure.trajectories import BODY_CHAIN, Trajectories
from cliptag.review import Joint, Point, Review, Tilt

# Winter, Biomechanics and Motor Control of Human Movement, Table A.1 (cm, y up): frame; rib cage,
# hip, knee, ankle. Angles recomputed from them with numpy: thigh and leg from the horizontal,
# knee flexion, trunk from the horizontal, hip flexion.
WINTER = [
    (1, (46.98, 104.41), (44.94, 78.58), (41.00, 47.40), (9.31, 21.44),
     82.798, 39.324, 43.474, 85.484, -2.686),
    (15, (72.43, 107.59), (73.19, 82.90), (86.56, 54.78), (74.72, 14.44),
     115.429, 73.643, 41.787, 91.763, 23.666),
    (28, (98.73, 103.52), (101.53, 79.34), (112.34, 50.46), (124.94, 10.63),
     110.521, 107.554, 2.967, 96.605, 13.916),
    (40, (125.03, 106.19), (126.94, 82.78), (133.04, 51.35), (130.37, 9.35),
     100.984, 86.363, 14.621, 94.664, 6.319),
    (50, (144.05, 107.46), (142.02, 82.65), (140.11, 51.09), (130.56, 9.99),
     86.537, 76.919, 9.618, 85.322, 1.214),
    (70, (187.71, 104.28), (185.67, 78.83), (181.73, 47.53), (149.53, 21.82),
     82.825, 38.606, 44.220, 85.417, -2.592),
    (85, (213.83, 107.21), (215.10, 82.90), (228.59, 54.65), (219.43, 12.79),
     115.526, 77.657, 37.869, 92.991, 22.535),
    (97, (238.04, 103.01), (241.60, 79.21), (252.80, 50.33), (266.41, 9.86),
     111.197, 108.588, 2.609, 98.507, 12.690),
]  # fmt: skip

pixels = st.floats(100.0, 1800.0)
places = st.tuples(pixels, pixels)


def level_of(points: dict[str, tuple[float, float]], **options) -> Level:
    """One posture, held for two frames, with nothing smoothed."""
    held = {name: np.array([place, place], float) for name, place in points.items()}
    return Level(as_placed(made(held, **options)))


def test_angles_of_winters_gait_data():
    points = {
        name: np.array([(row[k][0], -row[k][1]) for row in WINTER])
        for k, name in ((1, "shoulder"), (2, "hip"), (3, "knee"), (4, "ankle"))
    }
    curves = angle_curves(Level(as_placed(made(points))))
    for column, found in (
        (5, 90 - curves["thigh_tilt"].values),
        (6, 90 - curves["shank_tilt"].values),
        (7, curves["knee_flexion"].values),
        (8, 90 - curves["trunk_tilt"].values),
        (9, curves["hip_flexion"].values),
    ):
        np.testing.assert_allclose(found, [row[column] for row in WINTER], atol=0.001)


def test_a_knee_bent_backwards_counts_below_zero():
    # Winter's frame 94 reaches -3 degrees, which an included angle would show as +3.
    bent = level_of({"hip": (500, 400), "knee": (490, 700), "ankle": (500, 1000)})
    found = angle_curves(bent)["knee_flexion"].values[0]
    assert found == pytest.approx(-2 * math.degrees(math.atan2(10, 300)))


@settings(max_examples=60, deadline=None)
@given(st.fixed_dictionaries(dict.fromkeys((*BODY_CHAIN, "eye", "gaze_target"), places)))
def test_a_curve_says_what_the_marks_on_a_frame_say(points):
    far = [math.dist(a, b) for a in points.values() for b in points.values() if a is not b]
    assume(min(far) > 20)
    curves = angle_curves(level_of(points))
    at = {name: Point(*place) for name, place in points.items()}
    joints = {
        "knee_flexion": ("knee", "hip", "knee", "ankle"),
        "hip_flexion": ("hip", "shoulder", "hip", "knee"),
        "elbow_flexion": ("elbow", "shoulder", "elbow", "wrist"),
        "shoulder_flexion": ("shoulder", "hip", "shoulder", "elbow"),
        "ankle_dorsiflexion_to_toe": ("ankle", "knee", "ankle", "toe"),
    }
    for name, (joint, *three) in joints.items():
        a, b, c = (at[p] for p in three)
        read = number(Joint(id="m", joint=joint, proximal=a, vertex=b, distal=c))
        # A mark's included angle can't tell the sense in which a joint bends; a curve can.
        offset = 90.0 if joint == "ankle" else 0.0
        found = (curves[name].values[0] + (-offset if joint == "ankle" else 0.0)) % 360.0
        wanted = (read.value - offset) % 360.0
        assert min(abs(found - wanted), abs(found - 360.0 + wanted)) < 1e-6, name
        assert curves[name].sd[0] == pytest.approx(read.sd, rel=1e-6), name
    tilts = {
        "trunk_tilt": ("trunk", "hip", "shoulder"),
        "shank_tilt": ("shank", "ankle", "knee"),
        "thigh_tilt": ("thigh", "knee", "hip"),
        "neck_tilt": ("neck", "c7", "ear"),
    }
    for name, (segment, lower, upper) in tilts.items():
        read = number(Tilt(id="m", segment=segment, lower=at[lower], upper=at[upper]))
        gap = (curves[name].values[0] - read.value) % 360.0
        assert min(gap, 360 - gap) < 1e-6, name
        assert curves[name].sd[0] == pytest.approx(read.sd, rel=1e-6), name
    for name, segment, lower, upper in (
        ("craniovertebral", "head_on_neck", "c7", "ear"),
        ("gaze", "gaze", "eye", "gaze_target"),
    ):
        read = number(Tilt(id="m", segment=segment, lower=at[lower], upper=at[upper]))
        elevation = curves[name].values[0]
        folded = math.degrees(math.asin(math.sin(math.radians(elevation))))
        assert folded == pytest.approx(read.value, abs=1e-6), name


def number(mark):
    review = Review(
        clip=made_reviews.clip_ref(), facing="right", notes=(made_reviews.note(1, marks=(mark,)),)
    )
    mark = type(mark)(**{**{f: getattr(mark, f) for f in mark.__struct_fields__},
                         "placement_sd_px": 1.0})  # fmt: skip
    return reading_of(review, "n", 0, mark)


def test_the_uncertainty_is_that_of_the_uncertainties_package():
    points = {
        "s2": (400, 900), "l4": (390, 820), "l1": (400, 740), "t8": (440, 620),
        "hip": (450, 930), "shoulder": (520, 560), "knee": (800, 950), "ankle": (760, 1300),
        "heel": (720, 1340), "toe": (900, 1350), "elbow": (600, 760), "wrist": (760, 800),
        "ear": (600, 430), "c7": (520, 500),
    }  # fmt: skip
    curves = angle_curves(level_of(points, sd_px=1.3, upright_deg=2.0, upright_sd_deg=0.4))
    free = {name: [uncertainties.ufloat(v, 1.3) for v in place] for name, place in points.items()}
    roll = uncertainties.ufloat(2.0, 0.4)

    def lean(start, end):
        (x0, y0), (x1, y1) = free[start], free[end]
        return umath.degrees(umath.atan2(x1 - x0, y0 - y1)) - roll

    expected = {
        "knee_flexion": lean("ankle", "knee") - lean("knee", "hip"),
        "hip_flexion": lean("hip", "shoulder") - lean("knee", "hip"),
        "ankle_dorsiflexion": lean("ankle", "knee") - lean("heel", "toe") + 90,
        "trunk_tilt": lean("hip", "shoulder"),
        "craniovertebral": 90 - lean("c7", "ear"),
        "low_back_rounding": lean("l1", "t8") - lean("s2", "l4"),
        "elbow_flexion": lean("shoulder", "elbow") - lean("elbow", "wrist"),
        "upper_arm_tilt": 180 - lean("shoulder", "elbow"),
    }
    for name, value in expected.items():
        assert curves[name].values[0] == pytest.approx(value.nominal_value), name
        assert curves[name].sd[0] == pytest.approx(value.std_dev, rel=1e-9), name
        common = 0.4 if name in ("trunk_tilt", "craniovertebral", "upper_arm_tilt") else 0.0
        assert curves[name].common_sd[0] == pytest.approx(common), name


@settings(max_examples=60, deadline=None)
@given(
    st.fixed_dictionaries(dict.fromkeys(BODY_CHAIN, places)),
    st.floats(-25, 25), st.floats(0.3, 3), places,
)  # fmt: skip
def test_roll_size_place_and_mirror_change_no_angle(points, roll, size, shift):
    assume(
        min(math.dist(a, b) for a in points.values() for b in points.values() if a is not b) > 20
    )
    plain = angle_curves(level_of(points))
    c, s = math.cos(math.radians(roll)) * size, math.sin(math.radians(roll)) * size
    rolled = {
        name: (x * c - y * s + shift[0], x * s + y * c + shift[1])
        for name, (x, y) in points.items()
    }
    mirrored = {name: (1080 - x, y) for name, (x, y) in points.items()}
    assert_same(plain, angle_curves(level_of(rolled, upright_deg=roll, sd_px=size)))
    assert_same(plain, angle_curves(level_of(mirrored, facing="left")))


def assert_same(one, other):
    assert set(one) == set(other)
    for name, curve in one.items():
        gap = abs(curve.values[0] - other[name].values[0]) % 360.0
        assert min(gap, 360 - gap) < 1e-6, name
        assert other[name].sd[0] == pytest.approx(curve.sd[0], rel=1e-6), name


def test_the_worked_craniovertebral_angle():
    # Tragus 60 px in front of C7 and 72 px above it (Wilmarth & Hilliard 2002's definition).
    found = angle_curves(level_of({"c7": (400, 500), "ear": (460, 428)}))["craniovertebral"]
    assert found.values[0] == pytest.approx(50.194, abs=0.001)


def test_arms_hang_at_nought_and_point_forward_at_ninety():
    curves = angle_curves(
        level_of(
            {"shoulder": (500, 400), "elbow": (500, 700), "wrist": (800, 700), "hip": (500, 900)}
        )
    )
    assert curves["upper_arm_tilt"].values[0] == pytest.approx(0)
    assert curves["forearm_tilt"].values[0] == pytest.approx(90)
    assert curves["elbow_flexion"].values[0] == pytest.approx(90)
    assert curves["shoulder_flexion"].values[0] == pytest.approx(0)


@pytest.mark.parametrize(
    ("names", "ways"),
    [
        (("s2", "l4", "l1", "t8"), (("l1", "t8"), ("s2", "l4"))),
        (("s2", "l1", "t8"), (("l1", "t8"), ("s2", "l1"))),
        (("l4", "l1", "t8"), (("l1", "t8"), ("l4", "l1"))),
    ],
)
def test_the_low_backs_rounding_takes_any_three_points(names, ways):
    at = {"s2": (400, 900), "l4": (380, 820), "l1": (392, 740), "t8": (450, 620)}
    found = angle_curves(level_of({n: at[n] for n in names}))["low_back_rounding"].values[0]

    def lean(way):
        (x0, y0), (x1, y1) = at[way[0]], at[way[1]]
        return math.degrees(math.atan2(x1 - x0, y0 - y1))

    assert found == pytest.approx(lean(ways[0]) - lean(ways[1]))


def test_sides_have_curves_of_their_own():
    points = {
        "left_hip": (500, 400),
        "left_knee": (500, 700),
        "left_ankle": (500, 1000),
        "right_hip": (500, 400),
        "right_knee": (600, 700),
        "right_ankle": (500, 1000),
    }
    curves = angle_curves(level_of(points))
    assert curves["left_knee_flexion"].values[0] == pytest.approx(0)
    assert curves["right_knee_flexion"].values[0] == pytest.approx(2 * 18.4349, abs=1e-3)
    assert curves["left_knee_flexion"].words == "Left: Knee flexion"


def test_a_turn_past_half_a_circle_has_no_jump():
    turn = np.radians(np.linspace(100, 260, 40))
    wrist = np.stack([500 + 200 * np.sin(turn), 500 + 200 * np.cos(turn)], 1)
    curves = angle_curves(
        Level(as_placed(made({"elbow": np.full((40, 2), 500.0), "wrist": wrist})))
    )
    values = curves["forearm_tilt"].values
    assert np.abs(np.diff(values)).max() < 5
    np.testing.assert_allclose(values, np.degrees(turn), atol=1e-6)


def test_frames_without_a_point_or_with_two_on_each_other_have_no_angle():
    hip = np.array([[500.0, 500], [np.nan, np.nan], [500, 500], [500, 500]])
    shoulder = np.array([[500.0, 200], [500, 200], [500, 500], [510, 200]])
    curve = angle_curves(Level(as_placed(made({"hip": hip, "shoulder": shoulder}))))["trunk_tilt"]
    np.testing.assert_array_equal(np.isnan(curve.values), [False, True, True, False])


def test_without_facing_the_foot_tells_and_else_it_is_asked_for():
    points = {"hip": (500, 500), "shoulder": (450, 200), "heel": (500, 900), "toe": (400, 900)}
    assert angle_curves(level_of(points, facing=None))["trunk_tilt"].values[0] > 0
    del points["heel"]
    with pytest.raises(MeasureError, match="which way the client faces"):
        level_of(points, facing=None)


@pytest.mark.parametrize(
    ("broken", "match"),
    [
        ({"times_us": np.array([0, 10, 10])}, "frame 2 is shown no later"),
        ({"points": {"hip": np.zeros((2, 2))}}, "needs one x and one y for each of the 3 frames"),
        ({"points": {"hip": np.full((3, 2), np.inf)}}, "infinitely far away"),
        ({"sd_px": {"hip": np.full(3, -1.0)}}, "must be 0 or more pixels"),
        ({"sd_px": {"hip": np.full(2, 1.0)}}, "one standard deviation for each of the 3"),
        ({"sd_px": {}}, "a place or an uncertainty, but not both"),
    ],
)
def test_arrays_that_dont_fit_are_refused_with_a_sentence(broken, match):
    whole = made({"hip": np.zeros((3, 2))})
    fields = {"times_us": whole.times_us, "points": whole.points, "sd_px": whole.sd_px} | broken
    with pytest.raises(MeasureError, match=match):
        Trajectories(**fields, camera=whole.camera, facing="right")


def test_trajectories_keep_their_own_unchangeable_copy():
    mine = np.zeros((3, 2))
    whole = made({"hip": mine})
    mine[0] = 9.0
    assert whole.points["hip"][0, 0] == 0.0
    with pytest.raises(ValueError, match="read-only"):
        whole.points["hip"][0, 0] = 1.0
