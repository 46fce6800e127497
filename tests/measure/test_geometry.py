"""Angles and their uncertainty against published coordinates and independent propagation."""

from __future__ import annotations

import math

import numpy as np
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import umath

from cliptag.errors import MeasureError
from cliptag.measure import included_angle, lean_of
from cliptag.review import Point

# Winter, Biomechanics and Motor Control of Human Movement, Table A.1 (raw coordinates in cm, y up):
# frame, hip, knee, ankle; knee included angle recomputed from them with numpy's arccos.
WINTER = [
    (1, (44.94, 78.58), (41.00, 47.40), (9.31, 21.44), 136.526),
    (15, (73.19, 82.90), (86.56, 54.78), (74.72, 14.44), 138.213),
    (28, (101.53, 79.34), (112.34, 50.46), (124.94, 10.63), 177.033),
    (50, (142.02, 82.65), (140.11, 51.09), (130.56, 9.99), 170.382),
    (97, (241.60, 79.21), (252.80, 50.33), (266.41, 9.86), 177.391),
]

# sigma = 1 px, from the closed form and a Monte Carlo run of 10^6 draws.
CLICK_ERRORS = [(150, 150, 90, 0.7639), (150, 150, 170, 0.9333), (80, 120, 90, 1.2173)]

pixels = st.floats(-3000, 3000, allow_nan=False)
points = st.builds(Point, pixels, pixels)
far_apart = st.tuples(points, points, points).filter(
    lambda p: min(math.dist((p[i].x, p[i].y), (p[1].x, p[1].y)) for i in (0, 2)) > 5
)


@pytest.mark.parametrize(("frame", "hip", "knee", "ankle", "expected"), WINTER)
def test_included_angle_of_winters_gait_data(frame, hip, knee, ankle, expected):
    a, b, c = (Point(x, -y) for x, y in (hip, knee, ankle))
    assert included_angle(a, b, c, 0.0).value == pytest.approx(expected, abs=0.001), frame


@pytest.mark.parametrize(("a", "b", "angle", "expected"), CLICK_ERRORS)
def test_click_error_of_a_joint_angle(a, b, angle, expected):
    turn = math.radians(angle)
    far = Point(b * math.cos(turn), b * math.sin(turn))
    found = included_angle(Point(float(a), 0.0), Point(0.0, 0.0), far, 1.0)
    assert found.value == pytest.approx(angle)
    assert found.sd == pytest.approx(expected, abs=0.0001)


def test_click_error_of_a_joint_angle_by_monte_carlo():
    rng = np.random.default_rng(7)
    places = np.array([[0.0, -140.0], [10.0, 5.0], [90.0, 60.0]])
    drawn = places + rng.normal(0, 2.0, (200_000, 3, 2))
    one, two = drawn[:, 0] - drawn[:, 1], drawn[:, 2] - drawn[:, 1]
    cosine = (one * two).sum(1) / np.linalg.norm(one, axis=1) / np.linalg.norm(two, axis=1)
    found = included_angle(*(Point(*place) for place in places.tolist()), 2.0)
    assert found.sd == pytest.approx(np.degrees(np.arccos(cosine)).std(), rel=0.01)


@given(far_apart, st.floats(0.1, 3))
def test_click_errors_agree_with_the_uncertainties_package(three, sd_px):
    a, b, c = ([uncertainties.ufloat(v, sd_px) for v in (p.x, p.y)] for p in three)
    turn = umath.atan2(a[1] - b[1], a[0] - b[0]) - umath.atan2(c[1] - b[1], c[0] - b[0])
    assert included_angle(*three, sd_px).sd == pytest.approx(math.degrees(turn.std_dev), rel=1e-6)
    lean = umath.atan2(c[0] - b[0], b[1] - c[1])
    assert lean_of(three[1], three[2], sd_px).sd == pytest.approx(
        math.degrees(lean.std_dev), rel=1e-6
    )


@given(far_apart, st.floats(0, 360), st.floats(0.2, 5), points)
def test_a_joint_angle_does_not_depend_on_place_turn_size_or_mirror(three, turn, size, shift):
    was = included_angle(*three, 1.0).value
    cos, sin = math.cos(math.radians(turn)) * size, math.sin(math.radians(turn)) * size
    moved = [Point(p.x * cos - p.y * sin + shift.x, p.x * sin + p.y * cos) for p in three]
    assert included_angle(*moved, 1.0).value == pytest.approx(was, abs=1e-4)
    mirrored = [Point(-p.x, p.y) for p in three]
    assert included_angle(*mirrored, 1.0).value == pytest.approx(was, abs=1e-9)


@pytest.mark.parametrize(
    ("upper", "expected"),
    [((0, -10), 0), ((10, -10), 45), ((10, 0), 90), ((-10, -10), -45), ((0, 10), 180)],
)
def test_lean_is_clockwise_from_the_pictures_upright(upper, expected):
    assert lean_of(Point(0.0, 0.0), Point(*map(float, upper)), 1.0).value == pytest.approx(expected)


@pytest.mark.parametrize(("ratio", "expected"), [((4, 3), 36.87), ((16, 15), 43.152)])
def test_a_stretched_pixel_grid_would_show_another_angle(ratio, expected):
    # Why clips are read with square pixels: 100 coded px each way is not 45 degrees at SAR 4:3.
    a, b = 100.0 * ratio[0] / ratio[1], 100.0
    found = included_angle(Point(a, 0.0), Point(0.0, 0.0), Point(a, -b), 1.0)
    assert found.value == pytest.approx(expected, abs=0.001)


def test_points_on_each_other_give_no_angle():
    with pytest.raises(MeasureError, match="move the points apart"):
        included_angle(Point(1.0, 1.0), Point(1.0, 1.0), Point(2.0, 2.0), 1.0)
    with pytest.raises(MeasureError, match="move the points apart"):
        included_angle(Point(1.0, 1.0), Point(1.0 + 1e-13, 1.0), Point(2.0, 2.0), 1.0)
    with pytest.raises(MeasureError, match="move the points apart"):
        lean_of(Point(1.0, 1.0), Point(1.0, 1.0), 1.0)
