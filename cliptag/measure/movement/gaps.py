"""Level distances between points, such as from the load to the low back, with uncertainty."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure.curves.curve import CurveUnit
from cliptag.measure.curves.displacement import length_of
from cliptag.measure.curves.level import Level
from cliptag.measure.geometry import Estimate
from cliptag.measure.trajectories import Floats


@dataclass(frozen=True, slots=True)
class Length:
    """A length and its unit: cm with a scale, else % of picture height."""

    value: float
    sd: float
    unit: CurveUnit


def ahead_px(level: Level, one: str, other: str) -> tuple[Floats, Floats]:
    """How far ``one`` lies forward of ``other`` (N,) in pixels, and its uncertainty.

    A wrong plumb line swings their difference in height into it. Raises MeasureError when a point
    isn't there.
    """
    for name in (one, other):
        if name not in level:
            raise MeasureError(f"The point {name} is not placed: place or track it first.")
    a, b = level[one], level[other]
    gap, drop = a.forward - b.forward, a.up - b.up
    square = a.point.sd_px**2 + b.point.sd_px**2 + (level.roll_sd_rad * drop) ** 2
    return gap, np.asarray(np.sqrt(square))


def ahead_at(level: Level, one: str, other: str, at_us: float) -> Length:
    """The same at one time. Raises MeasureError when a point isn't known there."""
    gap, sd = ahead_px(level, one, other)
    times = level.trajectories.times_us
    value = float(np.interp(at_us, times, gap))
    if math.isnan(value):
        raise MeasureError(f"The points {one} and {other} are not both known at that moment.")
    return as_length(level, Estimate(value, float(np.interp(at_us, times, sd))))


def furthest_ahead(
    level: Level, one: str, other: str, start_us: float, end_us: float
) -> tuple[Length, int]:
    """The greatest such distance between two times, and when it was."""
    gap, sd = ahead_px(level, one, other)
    times = level.trajectories.times_us
    inside = (times >= start_us) & (times <= end_us) & np.isfinite(gap)
    if not inside.any():
        raise MeasureError(f"The points {one} and {other} are never both known in this part.")
    at = int(np.argmax(np.where(inside, gap, -np.inf)))
    return as_length(level, Estimate(float(gap[at]), float(sd[at]))), int(times[at])


def as_length(level: Level, px: Estimate) -> Length:
    """Pixels in the unit for people."""
    length, unit = length_of(level, px.value, px.sd)
    return Length(length.value, length.sd, unit)
