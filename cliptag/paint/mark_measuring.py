"""Drawings of the marks that carry a number: joint, tilt, span."""

from __future__ import annotations

import math

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QPainterPath

from cliptag.paint.mark_pointing import qpoint
from cliptag.paint.placement import direction_deg
from cliptag.paint.registry import View, draws
from cliptag.paint.sketch import Anchor, Sketch, Solid, Tint, Trace, disc, polyline
from cliptag.review import Joint, Span, Tilt

_FROM_THE_HORIZONTAL = ("gaze", "head_on_neck")


@draws(Joint)
def _joint(mark: Joint, view: View) -> Sketch:
    width = view.line(mark.weight)
    proximal, vertex, distal = map(qpoint, (mark.proximal, mark.vertex, mark.distal))
    first, second = direction_deg(vertex, proximal), direction_deg(vertex, distal)
    sweep = turn_between(first, second)
    shorter = min(distance(vertex, proximal), distance(vertex, distal))
    radius = min(0.45 * shorter, 9.0 * view.unit)
    tints, arcs = _arc(vertex, radius, first, sweep, 0.6 * width)
    return Sketch(
        tints=tints,
        traces=(Trace(polyline(proximal, vertex, distal), width), *arcs),
        solids=(
            marker(proximal, width),
            marker(distal, width),
            marker(vertex, 1.25 * width),
        ),
        anchor=Anchor(vertex, first + sweep / 2.0 + 180.0, 3.5 * width),
    )


@draws(Tilt)
def _tilt(mark: Tilt, view: View) -> Sketch:
    width = view.line(mark.weight)
    lower, upper = qpoint(mark.lower), qpoint(mark.upper)
    length = distance(lower, upper)
    up = view.up
    if mark.segment in _FROM_THE_HORIZONTAL:
        across = QPointF(-up.y(), up.x())
        ahead = QPointF.dotProduct(across, upper - lower) >= 0.0
        reference = across if ahead else -across
    else:
        reference = up
    end = lower + reference * length
    first, second = direction_deg(lower, end), direction_deg(lower, upper)
    sweep = turn_between(first, second)
    tints, arcs = _arc(lower, min(0.55 * length, 16.0 * view.unit), first, sweep, 0.6 * width)
    dashed = (Trace(polyline(lower, end), 0.7 * width, dashed=True),) if length > 0.0 else ()
    return Sketch(
        tints=tints,
        traces=(*dashed, Trace(polyline(lower, upper), width), *arcs),
        solids=(marker(lower, width), marker(upper, width)),
        anchor=Anchor(upper, second, 3.0 * width),
    )


@draws(Span)
def _span(mark: Span, view: View) -> Sketch:
    width = 0.8 * view.line(mark.weight)
    a, b = qpoint(mark.a), qpoint(mark.b)
    up = view.up
    axis = {"straight": None, "across": QPointF(-up.y(), up.x()), "upright": up}[mark.axis]
    corner = b if axis is None else a + axis * QPointF.dotProduct(axis, b - a)
    traces = [Trace(polyline(a, corner), width)]
    if distance(corner, b) > width:
        traces.append(Trace(polyline(corner, b), 0.7 * width, dashed=True))
    along = math.radians(direction_deg(a, corner))
    tick = QPointF(-math.sin(along), math.cos(along)) * (2.6 * width)
    traces += [Trace(polyline(end - tick, end + tick), width) for end in (a, corner)]
    middle = (a + corner) / 2.0
    away = math.degrees(along) - 90.0
    return Sketch(traces=tuple(traces), anchor=Anchor(middle, away, 2.5 * width))


def _arc(
    centre: QPointF, radius: float, start_deg: float, sweep_deg: float, width: float
) -> tuple[tuple[Tint, ...], tuple[Trace, ...]]:
    """The sector between two directions, and its rim; nothing when it would not be seen."""
    if radius < width or abs(sweep_deg) < 0.5:
        return (), ()
    box = QRectF(centre.x() - radius, centre.y() - radius, 2.0 * radius, 2.0 * radius)
    rim = QPainterPath()
    # Qt turns counter-clockwise as seen, y down; ours are clockwise.
    rim.arcMoveTo(box, -start_deg)
    rim.arcTo(box, -start_deg, -sweep_deg)
    sector = QPainterPath(centre)
    sector.arcTo(box, -start_deg, -sweep_deg)
    sector.closeSubpath()
    return (Tint(sector),), (Trace(rim, width),)


def marker(at: QPointF, width: float) -> Solid:
    """A round white point that shows where a measuring mark was placed."""
    return Solid(disc(at, 1.15 * width), white=True)


def distance(a: QPointF, b: QPointF) -> float:
    """Distance in pixels."""
    return math.dist((a.x(), a.y()), (b.x(), b.y()))


def turn_between(first_deg: float, second_deg: float) -> float:
    """The shorter turn from one direction to another, in (-180, 180]."""
    turn = (second_deg - first_deg) % 360.0
    return turn - 360.0 if turn > 180.0 else turn
