"""The bounds for a movement turned from the camera: closed forms, and a plane really turned."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure.turned import (
    joint_error,
    lean_error,
    narrowing,
    seen_lean,
    true_lean,
    turned_sentence,
    worst_lean_error,
)

# Computed from 2 atan(cos psi) for a right angle that stands symmetrically about the vertical, and
# from atan(cos psi) for a trunk that leans by 45 degrees.
V_JOINT = [(10, 89.123), (20, 86.438), (30, 81.787), (45, 70.529)]
LEAN_45 = [(10, 44.561), (20, 43.219), (30, 40.893), (45, 35.264)]


@pytest.mark.parametrize(("turned", "expected"), LEAN_45)
def test_a_trunk_leaning_by_45_degrees(turned, expected):
    assert seen_lean(45.0, turned) == pytest.approx(expected, abs=0.0005)
    assert true_lean(expected, turned) == pytest.approx(45.0, abs=0.001)


@pytest.mark.parametrize(("turned", "expected"), V_JOINT)
def test_a_right_angle_about_the_vertical(turned, expected):
    assert seen_lean(45.0, turned) - seen_lean(-45.0, turned) == pytest.approx(expected, abs=0.0005)
    half = expected / 2
    assert joint_error(half, -half, turned) == pytest.approx(90 - expected, abs=0.001)


@given(st.floats(-179, 179), st.floats(-60, 60))
def test_a_segment_turned_in_space_and_projected(lean, turned):
    # Turned about the vertical by a rotation matrix; the camera looks along z.
    way = np.array([math.sin(math.radians(lean)), math.cos(math.radians(lean)), 0.0])
    c, s = math.cos(math.radians(turned)), math.sin(math.radians(turned))
    x, y, _ = np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]]) @ way
    assert seen_lean(lean, turned) == pytest.approx(math.degrees(math.atan2(x, y)), abs=1e-9)
    assert true_lean(seen_lean(lean, turned), turned) == pytest.approx(lean, abs=1e-6)


@pytest.mark.parametrize("turned", [5.0, 10.0, 20.0, 30.0])
def test_no_tilt_and_no_joint_is_further_off_than_the_bound(turned):
    seen = np.linspace(-180, 180, 1441)
    errors = [lean_error(float(a), turned) for a in seen]
    assert max(errors) == pytest.approx(worst_lean_error(turned), abs=1e-3)
    joints = [joint_error(float(a), float(b), turned) for a in seen[::20] for b in seen[::20]]
    # Where both leans wrap around 180 degrees their difference does too.
    joints = [min(j, abs(360 - j)) for j in joints]
    assert max(joints) <= 2 * worst_lean_error(turned) + 1e-9


@given(st.floats(-80, 80), st.floats(0, 20))
def test_a_smaller_turn_is_a_smaller_error(seen, turned):
    assert lean_error(seen, turned) <= lean_error(seen, 20.0) + 1e-12


def test_the_bounds_for_10_and_20_degrees_in_words():
    assert worst_lean_error(10) == pytest.approx(0.438, abs=0.001)
    assert worst_lean_error(20) == pytest.approx(1.781, abs=0.001)
    assert narrowing(20) == pytest.approx(0.0603, abs=1e-4)
    assert turned_sentence(20.0) == (
        "If the movement is turned from the camera by up to 20°, a tilt can be off by 1.8°, a "
        "joint angle by 3.6°, and level distances are seen up to 6.1 % too short."
    )


def test_a_plane_seen_edge_on_is_refused():
    with pytest.raises(MeasureError, match="film from the side"):
        seen_lean(10.0, 90.0)
