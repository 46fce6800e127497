"""Held postures after ISO 11226:2000: limits and holding times, all from memory."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import GUIDE, StaticPosture, static_posture
from cliptag.measure.published.static_postures import (
    longest_arm_min,
    longest_head_min,
    longest_trunk_min,
)

EASY = StaticPosture(held_min=1.0, trunk_deg=5.0, head_deg=10.0, upper_arm_deg=10.0)


def _part(posture: StaticPosture, part: str):
    return next(one for one in static_posture(posture).findings if one.part == part)


@pytest.mark.parametrize(
    ("longest", "points"),
    [
        (longest_trunk_min, {20: 4.0, 30: 3.25, 40: 2.5, 50: 1.75, 60: 1.0}),
        (longest_head_min, {25: 8.0, 40: 6.25, 55: 4.5, 70: 2.75, 85: 1.0}),
        (longest_arm_min, {20: 3.0, 30: 2.5, 40: 2.0, 50: 1.5, 60: 1.0}),
    ],
)
def test_holding_times_fall_along_straight_lines(longest, points):
    assert {angle: longest(float(angle)) for angle in points} == points


@given(st.floats(20, 60), st.floats(20, 60))
def test_a_larger_angle_never_may_be_held_longer(a, b):
    low, high = sorted((a, b))
    assert longest_trunk_min(high) <= longest_trunk_min(low)
    assert longest_arm_min(high) <= longest_arm_min(low)
    assert longest_head_min(high + 25) <= longest_head_min(low + 25)


@pytest.mark.parametrize(
    ("angle", "verdict"),
    [
        (-1.0, "not recommended"),
        (0.0, "acceptable"),
        (20.0, "acceptable"),
        (30.0, "acceptable"),
        (45.0, "too long"),
        (60.0, "too long"),
        (60.1, "not recommended"),
    ],
)
def test_trunk_held_for_three_minutes(angle, verdict):
    posture = replace(EASY, held_min=3.0, trunk_deg=angle, head_deg=angle + 5)
    assert _part(posture, "Trunk").verdict == verdict


@pytest.mark.parametrize(
    ("angle", "verdict"),
    [
        (-1.0, "not recommended"),
        (25.0, "acceptable"),
        (50.0, "acceptable"),
        (70.0, "too long"),
        (85.0, "too long"),
        (85.5, "not recommended"),
    ],
)
def test_head_held_for_three_minutes(angle, verdict):
    assert _part(replace(EASY, held_min=3.0, head_deg=angle), "Head").verdict == verdict


@pytest.mark.parametrize(
    ("angle", "verdict"),
    [
        (-1.0, "not recommended"),
        (20.0, "acceptable"),
        (39.0, "acceptable"),
        (41.0, "too long"),
        (61.0, "not recommended"),
    ],
)
def test_upper_arm_held_for_two_minutes(angle, verdict):
    posture = replace(EASY, held_min=2.0, upper_arm_deg=angle)
    assert _part(posture, "Upper arm").verdict == verdict


@pytest.mark.parametrize(("head", "verdict"), [(29, "not recommended"), (30, "acceptable"),
    (55, "acceptable"), (56, "not recommended")])  # fmt: skip
def test_neck_bends_from_none_to_25_degrees_between_trunk_and_head(head, verdict):
    posture = replace(EASY, trunk_deg=30.0, head_deg=float(head))
    assert _part(posture, "Head on trunk").verdict == verdict


def test_full_support_takes_the_holding_time_away_but_not_the_upper_limit():
    held = replace(EASY, held_min=30.0, trunk_deg=40.0, head_deg=60.0, upper_arm_deg=40.0)
    bare = [finding.verdict for finding in static_posture(held).findings]
    assert bare == ["too long", "too long", "acceptable", "too long"]
    supported = replace(held, trunk_supported=True, head_supported=True, arm_supported=True)
    result = static_posture(supported)
    assert {finding.verdict for finding in result.findings} == {"acceptable"}
    assert all(finding.longest_min is None for finding in result.findings)
    too_far = replace(supported, trunk_deg=61.0, head_deg=70.0)
    assert static_posture(too_far).verdict == "not recommended"
    back = replace(EASY, trunk_deg=-15.0, head_deg=0.0, trunk_supported=True)
    assert _part(back, "Trunk").verdict == "acceptable"


@pytest.mark.parametrize(
    ("change", "part", "reason"),
    [
        ({"trunk_uneven": True}, "Trunk", "turned or bent to the side"),
        ({"arm_awkward": True}, "Upper arm", "awkward"),
        ({"upper_arm_deg": -10.0}, "Upper arm", "behind the trunk"),
        ({"trunk_deg": -10.0}, "Trunk", "leaning back"),
        ({"head_deg": 0.0}, "Head on trunk", "bent back"),
    ],
)
def test_what_is_not_recommended_says_why(change, part, reason):
    finding = _part(replace(EASY, **change), part)
    assert finding.verdict == "not recommended"
    assert reason in finding.text


def test_the_worst_finding_is_the_verdict():
    assert static_posture(EASY).verdict == "acceptable"
    held = replace(EASY, held_min=10.0, trunk_deg=25.0, head_deg=30.0)
    assert static_posture(held).verdict == "too long"


def test_uncertainty_over_a_limit_is_told():
    near = replace(EASY, trunk_deg=Estimate(59.0, 1.0), head_deg=70.0)
    assert not _part(near, "Trunk").sure
    assert "uncertainty reaches over it" in static_posture(near).meaning
    assert _part(replace(near, trunk_deg=Estimate(55.0, 1.0)), "Trunk").sure
    # The neck's angle carries both uncertainties: 24 ± 3 reaches over 25 degrees.
    neck = replace(EASY, trunk_deg=Estimate(5.0, 1.0), head_deg=Estimate(29.0, 1.0))
    assert _part(neck, "Head on trunk").angle.sd == pytest.approx(math.sqrt(2))
    assert not _part(neck, "Head on trunk").sure


def test_meaning_tells_the_time_and_defers():
    meaning = static_posture(replace(EASY, held_min=3.0, trunk_deg=42.0, head_deg=50.0)).meaning
    assert "Trunk 42°: held too long, at most 2.4 min" in meaning
    assert meaning.endswith(GUIDE)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"held_min": -1.0}, "The holding time is -1 minutes: give 0 to 1440 minutes."),
        ({"trunk_deg": 151.0}, "The trunk's inclination is 151 degrees"),
        ({"head_deg": math.nan}, "The head's inclination is not a number"),
        ({"upper_arm_deg": 200.0}, "The upper arm's elevation is 200 degrees"),
    ],
)
def test_bad_input_is_refused(change, words):
    with pytest.raises(MeasureError, match=words):
        static_posture(replace(EASY, **change))
