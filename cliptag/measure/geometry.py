"""Angles and lengths between points of a picture, each with its standard uncertainty.

Points are pixels of the picture as displayed: x right, y down. All functions take plain numbers;
``sd_px`` is the standard deviation of placing a point, along each axis, alike for all points and
independent between them. Uncertainties are propagated to first order (JCGM 100:2008, 5.1.2).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Protocol

from cliptag.errors import MeasureError

LEAST_LENGTH_PX: Final = 0.1
"""Points that are nearer to each other than this define no direction."""


class XY(Protocol):
    """Anything with a place on the picture."""

    @property
    def x(self) -> float: ...
    @property
    def y(self) -> float: ...


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and its standard uncertainty (k = 1), in the same unit."""

    value: float
    sd: float


def included_angle(proximal: XY, vertex: XY, distal: XY, sd_px: float) -> Estimate:
    """The angle at ``vertex`` between the ways to the two other points, 0 to 180 degrees.

    Variance for isotropic placement: s^2 [1/a^2 + 1/b^2 + (1/a^2 + 1/b^2 - 2 cos(phi)/(ab))]
    with the arms a and b: the two far points, and the vertex that turns both arms at once.
    """
    ax, ay = proximal.x - vertex.x, proximal.y - vertex.y
    bx, by = distal.x - vertex.x, distal.y - vertex.y
    a, b = math.hypot(ax, ay), math.hypot(bx, by)
    if min(a, b) < LEAST_LENGTH_PX:
        raise MeasureError("The joint lies on one of its own ends: move the points apart.")
    # atan2 keeps its accuracy near 0 and 180 degrees, where the arc cosine loses it.
    angle = math.atan2(abs(ax * by - ay * bx), ax * bx + ay * by)
    ends = 1 / a**2 + 1 / b**2
    vertex_part = max(0.0, ends - 2 * math.cos(angle) / (a * b))
    return Estimate(math.degrees(angle), math.degrees(sd_px * math.sqrt(ends + vertex_part)))


def lean_of(lower: XY, upper: XY, sd_px: float) -> Estimate:
    """How far the way from ``lower`` to ``upper`` is turned from the picture's own upright.

    Degrees, clockwise positive, above -180 and up to 180.
    """
    dx, dy = upper.x - lower.x, upper.y - lower.y
    length = math.hypot(dx, dy)
    if length < LEAST_LENGTH_PX:
        raise MeasureError("The two ends lie on the same place: move the points apart.")
    return Estimate(math.degrees(math.atan2(dx, -dy)), math.degrees(sd_px * math.sqrt(2) / length))


def angle_between(a: XY, b: XY, c: XY, d: XY, sd_px: float) -> Estimate:
    """The angle of the line through ``a`` and ``b`` with that through ``c`` and ``d``.

    0 to 90 degrees: the smaller of the two that crossing lines make, whichever end comes first.
    """
    first, second = lean_of(a, b, sd_px), lean_of(c, d, sd_px)
    turn = abs(wrap_degrees(second.value - first.value))
    return Estimate(min(turn, 180.0 - turn), math.hypot(first.sd, second.sd))


def wrap_degrees(angle: float) -> float:
    """The same direction, above -180 and up to 180 degrees."""
    return 180.0 - (180.0 - angle) % 360.0


def part_along(a: XY, b: XY, turned_deg: float) -> float:
    """How far ``b`` lies from ``a`` along a direction, in pixels; may be negative.

    The direction is that of the picture's x axis, turned clockwise by ``turned_deg``.
    """
    turn = math.radians(turned_deg)
    return (b.x - a.x) * math.cos(turn) + (b.y - a.y) * math.sin(turn)


def distance_px(a: XY, b: XY) -> float:
    """The straight distance of two points."""
    return math.hypot(b.x - a.x, b.y - a.y)
