"""Which mark is under the pointer."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from PyQt6.QtCore import QRectF

from cliptag.desk.stage.handles import handles_of
from cliptag.review import Mark, Plumb, Point, Ring, Shade, points_of


def hits(
    marks: Sequence[Mark],
    at: Point,
    reach: float,
    upright_deg: float,
    labels: Sequence[QRectF] = (),
) -> list[int]:
    """Which of the marks come within ``reach`` picture pixels of a place, or have a label there.

    ``marks`` are in the order in which they are painted, ``labels`` the boxes of their labels; the
    topmost comes first. A shade is hit inside too, but after everything whose line is hit.
    """
    topmost = range(len(marks) - 1, -1, -1)
    on_label = [i for i in topmost if i < len(labels) and labels[i].contains(at.x, at.y)]
    on_line = [
        i
        for i in topmost
        if i not in on_label and _line_distance(marks[i], at, upright_deg) <= reach
    ]
    inside = [
        i
        for i in topmost
        if isinstance(mark := marks[i], Shade)
        and i not in on_label
        and i not in on_line
        and _holds(mark, at)
    ]
    return on_label + on_line + inside


def handle_at(mark: Mark, at: Point, reach: float) -> int | None:
    """The nearest handle of a mark within ``reach`` picture pixels of a place, if any."""
    places = [(math.dist((at.x, at.y), (h.x, h.y)), i) for i, h in enumerate(handles_of(mark))]
    distance, which = min(places, default=(math.inf, -1))
    return which if distance <= reach else None


def _line_distance(mark: Mark, at: Point, upright_deg: float) -> float:
    if isinstance(mark, Ring):
        return _rim_distance(mark, at)
    if isinstance(mark, Plumb):
        turn = math.radians(upright_deg)
        dx, dy = at.x - mark.through.x, at.y - mark.through.y
        return abs(dx * math.cos(turn) + dy * math.sin(turn))
    points: Sequence[Point] = points_of(mark)
    if isinstance(mark, Shade):
        points = (*points, points[0])
    return min(_piece_distance(at, a, b) for a, b in pairwise(points))


def _piece_distance(at: Point, a: Point, b: Point) -> float:
    dx, dy = b.x - a.x, b.y - a.y
    length2 = dx * dx + dy * dy
    share = ((at.x - a.x) * dx + (at.y - a.y) * dy) / length2 if length2 else 0.0
    share = min(max(share, 0.0), 1.0)
    return math.hypot(at.x - a.x - share * dx, at.y - a.y - share * dy)


def _rim_distance(ring: Ring, at: Point) -> float:
    """About: along the ray from the middle, which is exact on the rim and never less than true."""
    dx, dy = at.x - ring.centre.x, at.y - ring.centre.y
    share = math.hypot(dx / ring.radius_x, dy / ring.radius_y)
    if share == 0.0:
        return min(ring.radius_x, ring.radius_y)
    return abs(1.0 - 1.0 / share) * math.hypot(dx, dy)


def _holds(shade: Shade, at: Point) -> bool:
    """Whether a place is inside by the winding rule, as the shade is painted."""
    turns = 0
    corners = shade.corners
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        side = (b.x - a.x) * (at.y - a.y) - (b.y - a.y) * (at.x - a.x)
        if a.y <= at.y < b.y and side > 0:
            turns += 1
        elif b.y <= at.y < a.y and side < 0:
            turns -= 1
    return turns != 0
