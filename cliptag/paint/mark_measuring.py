"""Drawings of the marks that carry a number: joint, tilt, span, between."""

from __future__ import annotations

import math
from typing import Final

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QPainterPath

from cliptag.paint.geometry import (
    clipped,
    direction_deg,
    disc,
    distance,
    polyline,
    qpoint,
    turn_between,
)
from cliptag.paint.registry import View, draws
from cliptag.paint.sketch import Anchor, Sketch, Solid, Tint, Trace
from cliptag.review import Between, Joint, Span, Tilt

_FROM_THE_HORIZONTAL: Final = ("gaze", "head_on_neck")
_MARKER: Final = 1.2
"""Radius of a point marker, in line widths."""
_VERTEX_MARKER: Final = 1.5


@draws(Joint)
def _joint(mark: Joint, view: View) -> Sketch:
    width = view.line(mark.weight)
    proximal, vertex, distal = map(qpoint, (mark.proximal, mark.vertex, mark.distal))
    first, second = direction_deg(vertex, proximal), direction_deg(vertex, distal)
    sweep = turn_between(first, second)
    inward = first + sweep / 2.0
    shorter = min(distance(vertex, proximal), distance(vertex, distal))
    radius = min(0.45 * shorter, 9.0 * view.unit)
    tints, arcs = _arc(vertex, radius, first, sweep, 0.6 * width)
    return Sketch(
        tints=tints,
        traces=(Trace(polyline(proximal, vertex, distal), width), *arcs),
        solids=(
            _marker(proximal, _MARKER * width),
            _marker(distal, _MARKER * width),
            _marker(vertex, _VERTEX_MARKER * width),
        ),
        anchors=(
            Anchor(vertex, inward + 180.0, _VERTEX_MARKER * width),
            Anchor(vertex, inward, radius + width),
            Anchor(proximal, first, _MARKER * width),
            Anchor(distal, second, _MARKER * width),
        ),
    )


@draws(Tilt)
def _tilt(mark: Tilt, view: View) -> Sketch:
    width = view.line(mark.weight)
    lower, upper = qpoint(mark.lower), qpoint(mark.upper)
    length = distance(lower, upper)
    reference = _reference(mark, view)
    end = lower + reference * length
    first, second = direction_deg(lower, end), direction_deg(lower, upper)
    sweep = turn_between(first, second) if length > 0.0 else 0.0
    dashes = _dashes(lower, end, 0.7 * width, view)
    tints, arcs = _arc(lower, min(0.55 * length, 16.0 * view.unit), first, sweep, 0.6 * width)
    return Sketch(
        tints=tints,
        traces=(*dashes, Trace(polyline(lower, upper), width), *arcs),
        solids=(_marker(lower, _MARKER * width), _marker(upper, _MARKER * width)),
        anchors=_tilt_anchors(mark, lower, upper, end, width),
    )


@draws(Span)
def _span(mark: Span, view: View) -> Sketch:
    width = 0.8 * view.line(mark.weight)
    a, b = qpoint(mark.a), qpoint(mark.b)
    axis = {"straight": None, "across": _across(view), "upright": view.up}[mark.axis]
    corner = b if axis is None else a + axis * QPointF.dotProduct(axis, b - a)
    traces = [Trace(polyline(a, corner), width), *_dashes(corner, b, 0.7 * width, view)]
    along = math.radians(direction_deg(a, corner))
    tick = QPointF(-math.sin(along), math.cos(along)) * (2.8 * width)
    traces += [Trace(polyline(end - tick, end + tick), width) for end in (a, corner)]
    middle = (a + corner) / 2.0
    away = math.degrees(along) - 90.0
    return Sketch(
        traces=tuple(traces),
        anchors=(
            Anchor(middle, away, width / 2.0),
            Anchor(middle, away + 180.0, width / 2.0),
            Anchor(corner, away + 90.0, width / 2.0),
            Anchor(a, away - 90.0, width / 2.0),
        ),
    )


@draws(Between)
def _between(mark: Between, view: View) -> Sketch:
    """Both lines, led on in dashes to where they cross, if that lies in the picture."""
    width = view.line(mark.weight)
    a, b, c, d = map(qpoint, (mark.a, mark.b, mark.c, mark.d))
    bare = Sketch(
        traces=(Trace(polyline(a, b), width), Trace(polyline(c, d), width)),
        solids=tuple(_marker(point, _MARKER * width) for point in (a, b, c, d)),
        anchors=(Anchor(b, direction_deg(a, b), width), Anchor(a, direction_deg(b, a), width)),
    )
    crossing = _crossing(a, b, c, d)
    if crossing is None or not view.sizes.picture.contains(crossing):
        return bare
    (far_1, near_1), (far_2, near_2) = (_nearer_last(ends, crossing) for ends in ((a, b), (c, d)))
    first, second = direction_deg(crossing, far_1), direction_deg(crossing, far_2)
    is_beyond = abs(turn_between(first, second)) > 90.0
    if is_beyond:  # the smaller angle lies beyond the crossing
        second += 180.0
    sweep, radius = turn_between(first, second), 9.0 * view.unit
    beyond = crossing + (crossing - far_2) * (1.2 * radius / distance(crossing, far_2))
    tints, arcs = _arc(crossing, radius, first, sweep, 0.6 * width)
    dashes = (
        *_dashes(near_1, crossing, 0.7 * width, view),
        *_dashes(near_2, beyond if is_beyond else crossing, 0.7 * width, view),
    )
    inward = first + sweep / 2.0
    return Sketch(
        tints=tints,
        traces=(*bare.traces, *dashes, *arcs),
        solids=bare.solids,
        anchors=(
            Anchor(crossing, inward, radius + width),
            Anchor(crossing, inward + 180.0, width),
            *bare.anchors,
        ),
    )


def _crossing(a: QPointF, b: QPointF, c: QPointF, d: QPointF) -> QPointF | None:
    """Where two lines cross; None when they are (nearly) parallel."""
    u, v = b - a, d - c
    cross = u.x() * v.y() - u.y() * v.x()
    if abs(cross) <= 1e-6 * max(1.0, distance(a, b) * distance(c, d)):
        return None
    along = ((c.x() - a.x()) * v.y() - (c.y() - a.y()) * v.x()) / cross
    return a + u * along


def _nearer_last(ends: tuple[QPointF, QPointF], to: QPointF) -> tuple[QPointF, QPointF]:
    near, far = sorted(ends, key=lambda end: distance(end, to))
    return far, near


def _reference(mark: Tilt, view: View) -> QPointF:
    """The direction that a tilt is measured from, of length 1."""
    if mark.segment not in _FROM_THE_HORIZONTAL:
        return view.up
    across = _across(view)
    ahead = QPointF.dotProduct(across, qpoint(mark.upper) - qpoint(mark.lower)) >= 0.0
    return across if ahead else -across


def _across(view: View) -> QPointF:
    """The true horizontal, towards the right of the picture, of length 1."""
    return QPointF(-view.up.y(), view.up.x())


def _tilt_anchors(
    mark: Tilt, lower: QPointF, upper: QPointF, end: QPointF, width: float
) -> tuple[Anchor, ...]:
    """Off the client, as far as a mark can know: the head is beyond the upper end of a trunk.

    A trunk leans forward and leaves room behind; a line from C7 has the face before it.
    """
    reference, segment = direction_deg(lower, end), direction_deg(lower, upper)
    away = math.copysign(90.0, -turn_between(reference, segment))
    gap = _MARKER * width
    behind = Anchor(lower, reference + 180.0, gap)
    beside = Anchor((lower + end) / 2.0, reference + away, width / 2.0)
    beyond = Anchor(end, reference, gap)
    first = (behind, beside) if mark.segment == "head_on_neck" else (beside, beyond, behind)
    return (*first, Anchor(upper, segment, gap))


def _dashes(a: QPointF, b: QPointF, width: float, view: View) -> tuple[Trace, ...]:
    """A dashed line, cut to the picture: a far end would cost thousands of unseen dashes."""
    visible = clipped(a, b, view.sizes.picture)
    if visible is None or distance(*visible) <= width:
        return ()
    return (Trace(polyline(*visible), width, dashed=True),)


def _arc(
    centre: QPointF, radius: float, start_deg: float, sweep_deg: float, width: float
) -> tuple[tuple[Tint, ...], tuple[Trace, ...]]:
    """The sector between two directions, and its rim; nothing when it would not be seen."""
    if radius < 2.0 * width or abs(sweep_deg) < 0.5:
        return (), ()
    box = QRectF(centre.x() - radius, centre.y() - radius, 2.0 * radius, 2.0 * radius)
    rim = QPainterPath()
    # Qt's angles grow counter-clockwise.
    rim.arcMoveTo(box, -start_deg)
    rim.arcTo(box, -start_deg, -sweep_deg)
    sector = QPainterPath(centre)
    sector.arcTo(box, -start_deg, -sweep_deg)
    sector.closeSubpath()
    return (Tint(sector),), (Trace(rim, width),)


def _marker(at: QPointF, radius: float) -> Solid:
    """A round white point that shows where a measuring mark was placed."""
    return Solid(disc(at, radius), white=True)
