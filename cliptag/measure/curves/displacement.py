"""How far each point has gone: forward and up, in cm, or without a scale in % of picture height."""

from __future__ import annotations

from typing import Literal

import numpy as np

from cliptag.measure.curves.curve import Curve, CurveUnit
from cliptag.measure.curves.derivative import rate_within_runs
from cliptag.measure.curves.level import Level
from cliptag.measure.geometry import Estimate
from cliptag.measure.trajectories import Floats

Axis = Literal["across", "up"]


def displacement_curves(level: Level) -> dict[str, Curve]:
    """``NAME_across`` and ``NAME_up`` of every point that is known anywhere."""
    curves: dict[str, Curve] = {}
    for name in level.smoothed.points:
        for axis in ("across", "up"):
            curve = displacement_curve(level, name, axis)
            if curve.is_known:
                curves[curve.name] = curve
    return curves


def displacement_curve(level: Level, name: str, axis: Axis) -> Curve:
    """One point's way from where it is first known; forward or up is positive.

    The uncertainty holds both places', the scale's, and that of the true vertical, which swings
    the other axis into this one. It holds for points in the plane of the scale only.
    """
    point = level[name]
    along, other = (point.forward, point.up) if axis == "across" else (point.up, point.forward)
    known = np.flatnonzero(np.isfinite(along))
    first = known[0] if len(known) else 0
    gone, swung = along - along[first], other - other[first]
    noise = point.point
    sd_px = np.sqrt(noise.sd_px**2 + noise.sd_px[first] ** 2 + (level.roll_sd_rad * swung) ** 2)
    if len(known):
        sd_px[first] = 0.0
    values, sd, per_px, unit = in_length_unit(level, gone, sd_px)
    return Curve(
        name=f"{name}_{axis}",
        words=f"{_spoken(name)} {'forward' if axis == 'across' else 'up'}",
        unit=unit,
        convention=(
            "From where the point is first known, "
            + ("forward positive." if axis == "across" else "up positive.")
        ),
        times_us=level.trajectories.times_us,
        values=values,
        sd=sd,
        common_sd=values * relative_scale_sd(level),
        rate=rate_within_runs(values, level.trajectories.times_us / 1e6),
        rate_sd=noise.sd_px_per_s * per_px,
        bend_sd=noise.sd_px_per_s2 * per_px,
    )


def in_length_unit(
    level: Level, px: Floats, sd_px: Floats
) -> tuple[Floats, Floats, float, CurveUnit]:
    """Pixels and their uncertainty as ``(values, sd, units per pixel, unit)``."""
    scale = level.scale
    if scale is None:
        per_px = 100.0 / level.picture_height_px
        return px * per_px, sd_px * per_px, per_px, "% of picture height"
    values = px / scale.value
    sd = np.hypot(sd_px / scale.value, values * scale.sd / scale.value)
    return values, np.asarray(sd), 1.0 / scale.value, "cm"


def relative_scale_sd(level: Level) -> float:
    """The scale's standard uncertainty as a part of itself; 0 without a scale."""
    return 0.0 if level.scale is None else level.scale.sd / level.scale.value


def length_of(level: Level, px: float, sd_px: float) -> tuple[Estimate, CurveUnit]:
    """As ``in_length_unit`` for one number."""
    values, sd, _, unit = in_length_unit(level, np.array([px]), np.array([sd_px]))
    return Estimate(float(values[0]), float(sd[0])), unit


def _spoken(name: str) -> str:
    words = name.replace("_", " ")
    return words.upper() if len(words) == 2 else words.capitalize()
