"""Drawings of the marks that point something out: each a function from the mark to a sketch."""

from __future__ import annotations

import math

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainterPath

from cliptag.paint.placement import direction_deg
from cliptag.paint.registry import View, draws
from cliptag.paint.sketch import Anchor, Sketch, Solid, Tint, Trace, disc, polyline
from cliptag.review import Arrow, Line, Plumb, Point, Ring, Shade, Stroke


@draws(Arrow)
def _arrow(mark: Arrow, view: View) -> Sketch:
    width = view.line(mark.weight)
    tail, head = qpoint(mark.tail), qpoint(mark.head)
    length = math.dist((tail.x(), tail.y()), (head.x(), head.y()))
    if length < width:
        return Sketch(solids=(Solid(disc(head, 1.5 * width)),), anchor=Anchor(head, -90.0, width))
    ux, uy = (head.x() - tail.x()) / length, (head.y() - tail.y()) / length
    barb = min(5.2 * width, 0.7 * length)
    half = 0.46 * barb

    def at(back: float, aside: float) -> QPointF:
        return QPointF(head.x() - back * ux - aside * uy, head.y() - back * uy + aside * ux)

    point = polyline(head, at(barb, half), at(0.72 * barb, 0.0), at(barb, -half), closed=True)
    shaft = polyline(tail, at(0.74 * barb, 0.0))
    return Sketch(
        traces=(Trace(shaft, width),),
        solids=(Solid(point),),
        anchor=Anchor(tail, direction_deg(head, tail), 1.2 * width),
    )


@draws(Ring)
def _ring(mark: Ring, view: View) -> Sketch:
    width = view.line(mark.weight)
    centre = qpoint(mark.centre)
    path = QPainterPath()
    path.addEllipse(centre, mark.radius_x, mark.radius_y)
    top = QPointF(centre.x(), centre.y() - mark.radius_y)
    return Sketch(traces=(Trace(path, width),), anchor=Anchor(top, -90.0, 1.5 * width))


@draws(Shade)
def _shade(mark: Shade, view: View) -> Sketch:
    outline = polyline(*map(qpoint, mark.corners), closed=True)
    outline.setFillRule(Qt.FillRule.WindingFill)
    width = 0.6 * view.line(mark.weight)
    box = outline.boundingRect()
    return Sketch(
        tints=(Tint(outline),),
        traces=(Trace(outline, width),),
        anchor=Anchor(QPointF(box.center().x(), box.top()), -90.0, 2.0 * width),
    )


@draws(Stroke)
def _stroke(mark: Stroke, view: View) -> Sketch:
    width = view.line(mark.weight)
    points = thinned([qpoint(point) for point in mark.points], 0.75 * width)
    if len(points) == 1:
        return Sketch(
            solids=(Solid(disc(points[0], 0.5 * width)),), anchor=Anchor(points[0], -90.0, width)
        )
    end, before = points[-1], points[-2]
    return Sketch(
        traces=(Trace(smooth(points), width),),
        anchor=Anchor(end, direction_deg(before, end), 1.2 * width),
    )


@draws(Line)
def _line(mark: Line, view: View) -> Sketch:
    width = view.line(mark.weight)
    a, b = qpoint(mark.a), qpoint(mark.b)
    if a == b:
        return Sketch(solids=(Solid(disc(a, width)),), anchor=Anchor(a, -90.0, width))
    upper, lower = (a, b) if a.y() < b.y() else (b, a)
    return Sketch(
        traces=(Trace(polyline(a, b), width),),
        anchor=Anchor(upper, direction_deg(lower, upper), 1.2 * width),
    )


@draws(Plumb)
def _plumb(mark: Plumb, view: View) -> Sketch:
    width = 0.75 * view.line(mark.weight)
    through = qpoint(mark.through)
    up = view.up
    far = 2.0 * (view.picture.width() + view.picture.height()) + math.hypot(
        through.x(), through.y()
    )
    top = QPointF(through.x() + far * up.x(), through.y() + far * up.y())
    bottom = QPointF(through.x() - far * up.x(), through.y() - far * up.y())
    inside = clipped(top, bottom, view.picture)
    bob = Solid(disc(through, 1.9 * width), white=True)
    anchor = Anchor(through, 0.0, 4.0 * width)
    if inside is None:
        return Sketch(solids=(bob,), anchor=anchor)
    return Sketch(traces=(Trace(polyline(*inside), width),), solids=(bob,), anchor=anchor)


def qpoint(point: Point) -> QPointF:
    """A review's point as Qt's."""
    return QPointF(point.x, point.y)


def thinned(points: list[QPointF], least: float) -> list[QPointF]:
    """The points at least so far from each other; the first and the last are always kept."""
    kept = [points[0]]
    for point in points[1:]:
        if (point - kept[-1]).manhattanLength() >= least:
            kept.append(point)
    if kept[-1] != points[-1]:
        if len(kept) > 1:
            kept[-1] = points[-1]
        else:
            kept.append(points[-1])
    return kept


def smooth(points: list[QPointF]) -> QPainterPath:
    """A curve through every point: Catmull and Rom's spline as Bezier pieces (1974)."""
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
        meets = room / speed
        if speed < 0.0:
            first = max(first, meets)
        else:
            last = min(last, meets)
    if first > last:
        return None
    return QPointF(a.x() + first * dx, a.y() + first * dy), QPointF(
        a.x() + last * dx, a.y() + last * dy
    )
