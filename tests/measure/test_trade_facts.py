"""What coaches take for granted (common practice, no source), held against what is measured."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from support import reviews as made

from cliptag.measure import (
    COVERAGE_FACTOR,
    MovementReport,
    TrackStore,
    follow_movement,
    reading_of,
)
from cliptag.opening import open_reviewed_clip
from cliptag.review import Point, Review, Tilt

DEMO = Path(__file__).parents[2] / "demo_media"
SEATED_US = 300_000


@pytest.fixture(scope="module", params=["sit_to_stand_week01", "sit_to_stand_week10"])
def rising(request, tmp_path_factory) -> MovementReport:
    review, clip = open_reviewed_clip(DEMO / f"{request.param}.review.json")
    with clip:
        return follow_movement(review, clip, store=TrackStore(tmp_path_factory.mktemp("tracks")))


def place(report: MovementReport, name: str, at_us: float) -> tuple[float, float]:
    """Where a point is on the picture."""
    smoothed = report.smoothed
    x, y = smoothed.points[name].places[int(np.searchsorted(smoothed.times_us, at_us))]
    return float(x), float(y)


def test_seated_with_flat_feet_the_hip_is_open_by_a_right_angle_or_more(rising: MovementReport):
    """Common practice, no source; the knee needs no exact right angle."""
    hip = rising.curves["hip_flexion"].at(SEATED_US)
    assert 180.0 - hip.value + COVERAGE_FACTOR * hip.sd >= 90.0
    (heel_x, heel_y), (toe_x, toe_y) = (place(rising, name, SEATED_US) for name in ("heel", "toe"))
    assert abs(toe_y - heel_y) < 0.15 * abs(toe_x - heel_x), "the feet are flat"


def test_relaxed_standing_has_the_trunk_about_two_degrees_forward_over_the_feet(
    rising: MovementReport,
):
    """Common practice, no source: about 2 degrees, with the weight over the arch of the foot."""
    end_us = float(rising.smoothed.times_us[-1]) - 600_000
    trunk = rising.curves["trunk_tilt"].at(end_us)
    assert abs(trunk.value - 2.0) < 1.5 + COVERAGE_FACTOR * trunk.sd
    heel, hip, toe = (place(rising, name, end_us)[0] for name in ("heel", "hip", "toe"))
    assert min(heel, toe) < hip < max(heel, toe)


@pytest.mark.parametrize(
    ("top_of_screen", "sense"), [(560.0, "above level"), (640.0, "below level")]
)
def test_a_screen_higher_than_the_eyes_lifts_the_gaze(top_of_screen: float, sense: str):
    """Common practice, no source: a gaze that points upward tilts the neck back."""
    gaze = Tilt(
        id="g", segment="gaze", lower=Point(500.0, 600.0), upper=Point(900.0, top_of_screen)
    )
    review = Review(clip=made.clip_ref(), facing="right")
    assert reading_of(review, "n", 0, gaze).sense == sense
