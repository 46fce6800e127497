"""Numbers over time from tracked points: smoothed, with their uncertainty. No Qt, no media."""

from cliptag.measure.curves.angles import ANGLES, AngleKind, angle_curves
from cliptag.measure.curves.curve import Curve, CurveUnit, Peak, velocity_of
from cliptag.measure.curves.displacement import displacement_curve, displacement_curves
from cliptag.measure.curves.level import Level
from cliptag.measure.curves.smoothing import LONGEST_GAP_US, Smoothed, SmoothedPoint, smooth
from cliptag.measure.curves.tables import curves_csv, curves_json
from cliptag.measure.curves.trc import trc_text

__all__ = [
    "ANGLES",
    "LONGEST_GAP_US",
    "AngleKind",
    "Curve",
    "CurveUnit",
    "Level",
    "Peak",
    "Smoothed",
    "SmoothedPoint",
    "angle_curves",
    "curves_csv",
    "curves_json",
    "displacement_curve",
    "displacement_curves",
    "smooth",
    "trc_text",
    "velocity_of",
]
