"""Drawings of the marks that point something out: each a function from the mark to a sketch."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QPainterPath

from cliptag.paint.geometry import (
    clipped,
    direction_deg,
    disc,
    distance,
    polyline,
    qpoint,
    smooth,
    thinned,
)
from cliptag.paint.placement import around
from cliptag.paint.registry import View, draws
from cliptag.paint.sketch import Anchor, Sketch, Solid, Tint, Trace
from cliptag.review import Arrow, Line, Plumb, Ring, Shade, Stroke

# In widths of the arrow's shaft.
_HEAD_LENGTH: Final = 5.6
_HEAD_HALF_WIDTH: Final = 0.5
"""In lengths of the head."""
_HEAD_NOTCH: Final = 0.76


@draws(Arrow)
def _arrow(mark: Arrow, view: View) -> Sketch:
    width = view.line(mark.weight)
    tail, head = qpoint(mark.tail), qpoint(mark.head)
    length = distance(tail, head)
    if length < width:
        return _dot(head, 1.5 * width)
    along = (head - tail) / length
    aside = QPointF(-along.y(), along.x())
    barb = min(_HEAD_LENGTH * width, 0.75 * length)
    back, notch = head - along * barb, head - along * (_HEAD_NOTCH * barb)
    wing = aside * (_HEAD_HALF_WIDTH * barb)
    middle = (tail + head) / 2.0
    away = direction_deg(head, tail)
    return Sketch(
        traces=(Trace(polyline(tail, notch), width),),
        solids=(Solid(polyline(head, back + wing, notch, back - wing, closed=True)),),
        anchors=(
            Anchor(tail, away, width / 2.0),
            Anchor(middle, away + 90.0, width / 2.0),
            Anchor(middle, away - 90.0, width / 2.0),
        ),
    )


@draws(Ring)
def _ring(mark: Ring, view: View) -> Sketch:
    width = view.line(mark.weight)
    if max(mark.radius_x, mark.radius_y) < width / 2.0:
        return _dot(qpoint(mark.centre), width)
    path = QPainterPath()
    path.addEllipse(qpoint(mark.centre), mark.radius_x, mark.radius_y)
    return Sketch(
        traces=(Trace(path, width),), anchors=around(path.controlPointRect(), width / 2.0)
    )


@draws(Shade)
def _shade(mark: Shade, view: View) -> Sketch:
    width = 0.6 * view.line(mark.weight)
    corners = thinned([qpoint(point) for point in mark.corners], width)
    if len(corners) == 1:
        return _dot(corners[0], width)
    outline = polyline(*corners, closed=True)
    outline.setFillRule(Qt.FillRule.WindingFill)
    return Sketch(
        tints=(Tint(outline),),
        traces=(Trace(outline, width),),
        anchors=around(outline.controlPointRect(), width / 2.0),
    )


@draws(Stroke)
def _stroke(mark: Stroke, view: View) -> Sketch:
    width = view.line(mark.weight)
    points = thinned([qpoint(point) for point in mark.points], 0.75 * width)
    if len(points) == 1:
        return _dot(points[0], 0.75 * width)
    return Sketch(
        traces=(Trace(smooth(points), width),),
        anchors=(
            Anchor(points[-1], direction_deg(points[-2], points[-1]), width / 2.0),
            Anchor(points[0], direction_deg(points[1], points[0]), width / 2.0),
        ),
    )


@draws(Line)
def _line(mark: Line, view: View) -> Sketch:
    width = view.line(mark.weight)
    a, b = qpoint(mark.a), qpoint(mark.b)
    if distance(a, b) < width:
        return _dot(a, width)
    upper, lower = (a, b) if a.y() < b.y() else (b, a)
    rising = direction_deg(lower, upper)
    middle = (a + b) / 2.0
    return Sketch(
        traces=(Trace(polyline(a, b), width),),
        anchors=(
            Anchor(upper, rising, width / 2.0),
            Anchor(middle, rising + 90.0, width / 2.0),
            Anchor(middle, rising - 90.0, width / 2.0),
            Anchor(lower, rising + 180.0, width / 2.0),
        ),
    )


@draws(Plumb)
def _plumb(mark: Plumb, view: View) -> Sketch:
    width = 0.75 * view.line(mark.weight)
    through = qpoint(mark.through)
    picture = view.sizes.picture
    far = distance(through, picture.center()) + picture.width() + picture.height()
    visible = clipped(through + view.up * far, through - view.up * far, picture)
    across = view.plumb_deg
    return Sketch(
        traces=() if visible is None else (Trace(polyline(*visible), width),),
        solids=(Solid(disc(through, 2.0 * width), white=True),),
        anchors=(
            Anchor(through, across, 2.0 * width),
            Anchor(through, across + 180.0, 2.0 * width),
        ),
    )


def _dot(at: QPointF, radius: float) -> Sketch:
    """What is left of a mark whose points are all the same."""
    return Sketch(solids=(Solid(disc(at, radius)),), anchors=(Anchor(at, -90.0, radius),))
