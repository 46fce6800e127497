"""Numbers from the marks, each with its uncertainty. No Qt, no media."""

from cliptag.measure.camera import USUAL_PLACEMENT, Camera, camera_of
from cliptag.measure.geometry import Estimate, distance_px, included_angle, lean_of
from cliptag.measure.readings import (
    Reading,
    Unit,
    neutral_zero,
    reading_of,
    readings_of,
    unmeasured,
)
from cliptag.measure.rounding import COVERAGE_FACTOR, with_uncertainty

__all__ = [
    "COVERAGE_FACTOR",
    "USUAL_PLACEMENT",
    "Camera",
    "Estimate",
    "Reading",
    "Unit",
    "camera_of",
    "distance_px",
    "included_angle",
    "lean_of",
    "neutral_zero",
    "reading_of",
    "readings_of",
    "unmeasured",
    "with_uncertainty",
]
