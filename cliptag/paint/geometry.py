"""Points, directions and paths: x right, y down; degrees clockwise from the right."""

from __future__ import annotations

import math

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QPainterPath

from cliptag.review import Point


def qpoint(point: Point) -> QPointF:
    """A review's point as Qt's."""
    return QPointF(point.x, point.y)


def distance(a: QPointF, b: QPointF) -> float:
    """The distance of two points in pixels."""
    return math.dist((a.x(), a.y()), (b.x(), b.y()))


def direction_deg(start: QPointF, end: QPointF) -> float:
    """The direction from one point to another; 0 when they are the same."""
    return math.degrees(math.atan2(end.y() - start.y(), end.x() - start.x()))


def turn_between(first_deg: float, second_deg: float) -> float:
    """The shorter turn from one direction to another, in (-180, 180]."""
    turn = (second_deg - first_deg) % 360.0
    return turn - 360.0 if turn > 180.0 else turn


def polyline(*points: QPointF, closed: bool = False) -> QPainterPath:
    """A path of straight pieces."""
    path = QPainterPath(points[0])
    for point in points[1:]:
        path.lineTo(point)
    if closed:
        path.closeSubpath()
    return path


def disc(centre: QPointF, radius: float) -> QPainterPath:
    """A circle as a path."""
    path = QPainterPath()
    path.addEllipse(centre, radius, radius)
    return path


def thinned(points: list[QPointF], least: float) -> list[QPointF]:
    """The points at least so far from each other; the first and the last are always kept."""
    kept = [points[0]]
    for point in points[1:]:
        if distance(point, kept[-1]) >= least:
            kept.append(point)
    if kept[-1] != points[-1]:
        if len(kept) > 1:
            kept.pop()
        kept.append(points[-1])
    return kept


def smooth(points: list[QPointF]) -> QPainterPath:
    """A curve through every point: Catmull and Rom's spline (1974) as Bezier pieces."""
    path = QPainterPath(points[0])
    padded = [points[0], *points, points[-1]]
    for p0, p1, p2, p3 in zip(padded, padded[1:], padded[2:], padded[3:], strict=False):
        path.cubicTo(p1 + (p2 - p0) / 6.0, p2 - (p3 - p1) / 6.0, p2)
    return path


def clipped(a: QPointF, b: QPointF, box: QRectF) -> tuple[QPointF, QPointF] | None:
    """The part of a straight line inside a box, or None (Liang & Barsky 1984)."""
    dx, dy = b.x() - a.x(), b.y() - a.y()
    first, last = 0.0, 1.0
    for speed, room in (
        (-dx, a.x() - box.left()),
        (dx, box.right() - a.x()),
        (-dy, a.y() - box.top()),
        (dy, box.bottom() - a.y()),
    ):
        if speed == 0.0:
            if room < 0.0:
                return None
            continue
        if speed < 0.0:
            first = max(first, room / speed)
        else:
            last = min(last, room / speed)
    if first > last:
        return None
    return QPointF(a.x() + first * dx, a.y() + first * dy), QPointF(
        a.x() + last * dx, a.y() + last * dy
    )
