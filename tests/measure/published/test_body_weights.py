"""Weight and lever arm of the upper body from points and from tilt."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import (
    Place,
    SidePoints,
    side_points,
    upper_body,
    upper_body_from_tilt,
)
from cliptag.measure.published.body_weights import TABLE_SD
from cliptag.review import Point

G = 9.80665
BENT = SidePoints(
    low_back=Place(0.00, 0.95),
    neck=Place(0.35, 1.20),
    ear=Place(0.47, 1.22),
    shoulder=Place(0.32, 1.14),
    elbow=Place(0.36, 0.86),
    wrist=Place(0.44, 0.63),
)


def test_dempsters_parts_worked_by_hand():
    # Winter 2009, Table 4.1, for 70 kg: trunk 0.355, head .081, upper arms .056, forearms .044.
    body = upper_body(70.0, BENT)
    assert [round(part.mass_kg, 3) for part in body.parts] == [24.85, 5.67, 3.92, 3.08]
    x = [0.37 * 0.35, 0.47, 0.32 + 0.436 * 0.04, 0.36 + 0.682 * 0.08]
    assert [part.place.x_m for part in body.parts] == pytest.approx(x)
    moment = G * sum(m * d for m, d in zip((24.85, 5.67, 3.92, 3.08), x, strict=True))
    assert body.weight.value == pytest.approx(G * 0.536 * 70)
    assert body.weight.value * body.arm.value == pytest.approx(moment)


@pytest.mark.parametrize(
    ("table", "share"),
    # de Leva: head, upper and middle trunk, and twice upper arm, forearm and hand.
    [("dempster", 0.536), ("de Leva male", 0.4911), ("de Leva female", 0.4576)],
)
def test_share_of_body_mass_above_the_low_back(table, share):
    body = upper_body(80.0, BENT, table)
    assert body.weight.value == pytest.approx(G * 80 * share)
    assert sum(part.mass_kg for part in body.parts) == pytest.approx(80 * share)


def test_de_levas_trunk_lies_where_its_two_parts_do():
    # Men: middle trunk 215.5 mm, upper 170.7 mm, centres .4502 and .2999 from their upper ends;
    # 457.6 mm from navel to C7.
    middle, upper = 0.5498 * 215.5, 215.5 + 0.7001 * 170.7
    up = (0.1633 * middle + 0.1596 * upper) / 0.3229 / 457.6
    trunk = upper_body(70.0, BENT, "de Leva male").parts[0]
    assert trunk.place.x_m == pytest.approx(up * 0.35)
    assert trunk.place.y_m == pytest.approx(0.95 + up * 0.25)


def test_de_levas_hands_hang_beyond_the_wrist():
    # Women: 74.74 % of a hand of 78.0 mm, on from a forearm of 264.3 mm.
    hands = upper_body(70.0, BENT, "de Leva female").parts[-1]
    on = 0.7474 * 78.0 / 264.3
    assert hands.name == "hands"
    assert hands.place.x_m == pytest.approx(0.44 + on * (0.44 - 0.36))
    assert hands.place.y_m == pytest.approx(0.63 + on * (0.63 - 0.86))


@given(st.floats(-2, 2), st.floats(-2, 2), st.floats(40, 120))
def test_where_the_picture_begins_does_not_matter(dx, dy, mass):
    moved = {
        name: Place(getattr(BENT, name).x_m + dx, getattr(BENT, name).y_m + dy)
        for name in ("low_back", "neck", "ear", "shoulder", "elbow", "wrist")
    }
    one, two = upper_body(mass, BENT), upper_body(mass, SidePoints(**moved))
    assert two.arm.value == pytest.approx(one.arm.value, abs=1e-9)
    assert two.weight == one.weight


def test_uncertainty_of_the_lever_arm_agrees_with_monte_carlo():
    points = replace(BENT, sd_m=0.01, scale_sd=0.03)
    rng = np.random.default_rng(5)
    names = ("low_back", "neck", "ear", "shoulder", "elbow", "wrist")
    arms = []
    for _ in range(4000):
        scale = 1 + rng.normal(0, 0.03)
        drawn = {
            name: Place(
                getattr(BENT, name).x_m * scale + rng.normal(0, 0.01), getattr(BENT, name).y_m
            )
            for name in names
        }
        arms.append(upper_body(70.0, SidePoints(**drawn)).arm.value)
    assert upper_body(70.0, points).arm.sd == pytest.approx(np.std(arms), rel=0.05)


def test_uncertainty_of_the_weight_is_that_of_the_mass_and_the_table():
    body = upper_body(Estimate(70.0, 2.0), BENT)
    assert body.weight.sd / body.weight.value == pytest.approx(math.hypot(2 / 70, TABLE_SD))


def test_the_two_tables_agree_within_what_is_claimed():
    for sex in ("female", "male"):
        for tilt in (10, 30, 60, 90):
            for arm in (0, 45, 90):
                one, two = (
                    upper_body_from_tilt(70.0, 1.7, tilt, sex, arm, table)
                    for table in ("dempster", f"de Leva {sex}")
                )
                weights = one.weight.value / two.weight.value
                moments = weights * one.arm.value / two.arm.value
                assert 1.08 < weights < 1.175
                assert abs(moments - 1) < 0.06


@given(st.floats(0, 88), st.floats(0.1, 2))
def test_leaning_further_forward_lengthens_the_lever_arm(tilt, more):
    near, far = (upper_body_from_tilt(70.0, 1.7, t, "female") for t in (tilt, tilt + more))
    assert far.arm.value > near.arm.value


def test_standing_upright_with_hanging_arms_has_no_lever_arm():
    body = upper_body_from_tilt(70.0, 1.7, 0.0, "male")
    assert body.arm.value == pytest.approx(0.0, abs=1e-12)
    assert body.points.trunk_tilt_deg == pytest.approx(0.0)


def test_tilt_and_stature_pass_their_uncertainty_on():
    tilt, stature = math.radians(40), 1.7
    exact = upper_body_from_tilt(70.0, stature, 40.0, "male")
    body = upper_body_from_tilt(70.0, Estimate(stature, 0.02), Estimate(40.0, 3.0), "male")
    per_radian = exact.arm.value / math.tan(tilt)  # hanging arms: the lever arm goes as the sine
    expected = math.hypot(per_radian * math.radians(3), exact.arm.value * 0.02 / stature)
    assert body.arm.value == exact.arm.value
    assert body.arm.sd == pytest.approx(expected, rel=0.01)


@pytest.mark.parametrize(("facing", "side"), [("right", 1), ("left", -1)])
def test_pixels_become_metres_forward_and_up(facing, side):
    px = {
        name: Point(500 + side * 4 * 100 * getattr(BENT, name).x_m, 900 - 400 * place.y_m)
        for name in ("low_back", "neck", "ear", "shoulder", "elbow", "wrist")
        for place in (getattr(BENT, name),)
    }
    points = side_points(px, Estimate(4.0, 0.1), facing, 2.0)
    body, same = upper_body(70.0, points), upper_body(70.0, BENT)
    assert body.arm.value == pytest.approx(same.arm.value)
    assert points.trunk_tilt_deg == pytest.approx(BENT.trunk_tilt_deg)
    assert (points.sd_m, points.scale_sd) == pytest.approx((2 / 400, 0.1 / 4))


@pytest.mark.parametrize("facing", ["right", "left"])
def test_a_rolled_camera_changes_no_lever_arm_and_no_tilt(facing):
    side = 1 if facing == "right" else -1
    turn = math.radians(7.0)
    level = {
        name: (side * 400 * getattr(BENT, name).x_m, -400 * getattr(BENT, name).y_m)
        for name in ("low_back", "neck", "ear", "shoulder", "elbow", "wrist")
    }
    # All of the picture is turned clockwise by 7 degrees, and so is the true vertical in it.
    rolled = {
        name: Point(
            x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)
        )
        for name, (x, y) in level.items()
    }
    points = side_points(rolled, Estimate(4.0, 0.0), facing, 0.0, upright_deg=7.0)
    assert upper_body(70.0, points).arm.value == pytest.approx(upper_body(70.0, BENT).arm.value)
    assert points.trunk_tilt_deg == pytest.approx(BENT.trunk_tilt_deg)
    assert points.ear.y_m - points.low_back.y_m == pytest.approx(1.22 - 0.95)


def test_what_is_missing_is_named():
    with pytest.raises(MeasureError, match="Mark these points first: low back, neck, ear, elbow"):
        some = {"shoulder": Point(0.0, 0.0), "wrist": Point(1.0, 1.0)}
        side_points(some, Estimate(4.0, 0.0), "right", 1.0)
    with pytest.raises(MeasureError, match="There is no scale"):
        everything = dict.fromkeys(
            ("low_back", "neck", "ear", "shoulder", "elbow", "wrist"), Point(0.0, 0.0)
        )
        side_points(everything, Estimate(0.0, 0.0), "right", 1.0)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: upper_body(10.0, BENT), "The body mass is 10 kg: give 20 to 350 kg."),
        (lambda: upper_body(70.0, BENT, "mine"), "The table is 'mine'"),
        (lambda: upper_body_from_tilt(70.0, 170.0, 20.0, "male"), "body height is 170 m"),
        (lambda: upper_body_from_tilt(70.0, 1.7, 131.0, "male"), "trunk's tilt is 131 degrees"),
        (lambda: upper_body_from_tilt(70.0, 1.7, 20.0, "man"), "The sex is 'man'"),
        (lambda: upper_body_from_tilt(70.0, 1.7, 20.0, "male", 190.0), "The arms' tilt is 190"),
    ],
)
def test_bad_input_is_refused(call, words):
    with pytest.raises(MeasureError, match=words):
        call()
