"""Published values of the craniovertebral angle, and the direction that is easily turned round."""

from __future__ import annotations

import math

import pytest

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import GUIDE, head_posture
from cliptag.measure.published.craniovertebral import (
    CUT_OFFS_DEG,
    WITH_NECK_PAIN,
    WITHOUT_NECK_PAIN,
)


@pytest.mark.parametrize(
    ("angle", "below", "above"),
    [
        (47.0, (48.0, 50.0), ()),
        (48.0, (50.0,), (48.0,)),
        (49.0, (50.0,), (48.0,)),
        (50.0, (), (48.0, 50.0)),
        (Estimate(46.0, 0.9), (48.0, 50.0), ()),
        (Estimate(46.0, 1.1), (50.0,), ()),
        (Estimate(52.5, 1.2), (), (48.0, 50.0)),
    ],
)
def test_sides_of_the_cut_offs(angle, below, above):
    result = head_posture(angle)
    assert (result.surely_below, result.surely_above) == (below, above)


def test_a_smaller_angle_is_a_head_further_forward():
    # Tragus 60 forward and 72 above C7: 50.194 degrees. Ten further forward is a smaller angle.
    back, forward = (math.degrees(math.atan2(72, x)) for x in (60, 70))
    assert back == pytest.approx(50.194, abs=0.0005)
    assert head_posture(back).surely_above == CUT_OFFS_DEG
    assert head_posture(forward).surely_below == CUT_OFFS_DEG
    # Yip, Chiu, Poon 2008 (from memory): the people with neck pain had the smaller angles.
    assert WITH_NECK_PAIN.value < WITHOUT_NECK_PAIN.value


def test_meaning_tells_direction_doubt_and_limits():
    for angle, words in (
        (44.0, "below the 48° to 50°"),
        (56.0, "above the 48° to 50°"),
        (Estimate(49.0, 2.0), "as near to the 48° to 50°"),
    ):
        meaning = head_posture(angle).meaning
        assert words in meaning
        assert "the smaller, the further forward" in meaning
        assert "lack rigorous validity" in meaning
        assert meaning.endswith(GUIDE)


def test_angles_that_cannot_be_are_refused():
    with pytest.raises(MeasureError, match="craniovertebral angle is 95 degrees: give 0 to 90"):
        head_posture(95.0)
