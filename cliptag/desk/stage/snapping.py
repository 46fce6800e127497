"""Snapping to level, upright and every 15 degrees between them, while Shift is held."""

from __future__ import annotations

import math
from typing import Final

from cliptag.review import Point

STEP_DEG: Final = 15.0


def snapped(anchor: Point, at: Point, upright_deg: float) -> Point:
    """The place nearest to ``at`` on one of the directions from ``anchor``.

    The directions stand ``STEP_DEG`` from each other, the first one being the true vertical, which
    is turned ``upright_deg`` clockwise from the picture's.
    """
    dx, dy = at.x - anchor.x, at.y - anchor.y
    step, first = math.radians(STEP_DEG), math.radians(upright_deg - 90.0)
    direction = first + step * round((math.atan2(dy, dx) - first) / step)
    along = dx * math.cos(direction) + dy * math.sin(direction)
    return Point(anchor.x + along * math.cos(direction), anchor.y + along * math.sin(direction))


def squared(anchor: Point, at: Point) -> Point:
    """The place in the direction of ``at`` from ``anchor`` that makes their box a square."""
    dx, dy = at.x - anchor.x, at.y - anchor.y
    side = max(abs(dx), abs(dy))
    return Point(anchor.x + math.copysign(side, dx), anchor.y + math.copysign(side, dy))
