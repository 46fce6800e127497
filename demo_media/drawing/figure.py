"""The client as a stack of painted layers, and the tape dots on her.

Everything here is drawn in the body's frame (cm, x forward, y up); the painter's transform takes it
to the picture. The dots lie on the layer that carries them, so that a layer above hides them as it
would in life; `hidden` tells which are hidden.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QTransform

from drawing import head
from drawing.body import FOREARM, SPINE_LENGTH, THIGH, UPPER_ARM, Body, turn
from drawing.canvas import colour, outline, point
from drawing.tube import Light, Tube, Values, bent_line, paint_tube, tube_along, widths
from drawing.wardrobe import SHIRT, TAPE, Wardrobe

DOT_RADIUS = 1.0
EAR_DOT_RADIUS = 0.75
_FAR_DIM = 0.58
_FAR_LEG = complex(3.2, 1.5)
_FAR_ARM = complex(2.0, 1.0)

_LEG = ((-10, 1.0, 1.0), (-8.5, 4.0, 5.2), (-5, 6.0, 7.8), (0, 7.2, 9.2), (9, 7.9, 9.1),
        (20, 7.4, 7.6), (33, 6.5, 5.9), (THIGH, 6.3, 5.2), (47, 5.5, 5.9), (54, 5.0, 6.9),
        (63, 4.6, 6.4), (72, 4.7, 5.7), (78.5, 5.3, 6.0))  # fmt: skip
_ARM = ((-6.5, 0.8, 0.8), (-5.6, 3.2, 3.2), (-3, 5.0, 5.0), (1, 5.5, 5.5), (8, 4.9, 5.1),
        (22, 4.3, 4.5), (UPPER_ARM, 4.0, 4.1), (37.6, 4.3, 4.3), (38.3, 4.2, 4.2), (38.9, 3.4, 3.6),
        (44, 3.3, 3.5), (51, 2.5, 2.5), (55.6, 2.25, 2.2))  # fmt: skip
_TRUNK = ((-9, 2.0, 2.0), (-7.8, 5.2, 5.8), (-5, 7.9, 8.7), (0, 9.3, 10.7), (6, 9.5, 10.3),
          (12, 9.4, 9.5), (22, 9.0, 8.8), (30, 10.2, 9.4), (38, 12.2, 9.9), (44, 11.6, 9.4),
          (50, 8.6, 7.4), (54.5, 5.9, 5.7), (56.5, 5.2, 5.3))  # fmt: skip
_NECK = ((0, 5.4, 5.0), (5, 4.7, 4.5), (14, 4.6, 4.8))


@dataclass(frozen=True)
class Dot:
    """A marked place: a round piece of tape, or a place that is only known (not ``taped``)."""

    name: str
    at: complex
    radius: float = DOT_RADIUS
    taped: bool = True


@dataclass(frozen=True)
class Layer:
    """One painted thing, the outline that hides what is below, and the dots that it carries.

    A ``shade`` darkens what is below but not the dots, whose middle it would seem to move.
    """

    paint: Callable[[QPainter], None]
    path: QPainterPath
    dots: tuple[Dot, ...] = ()
    shade: bool = False


def layers(body: Body, wear: Wardrobe, light: Light, held: Layer | None = None) -> Iterator[Layer]:
    """The figure from the far side to the near side."""
    yield from _arm(body, wear, light, near=False)
    yield from _leg(body, wear, light, near=False)
    yield _neck(body, wear, light)
    yield _thigh_behind(body, wear, light)
    yield _trunk(body, wear, light)
    yield _head(body)
    yield from _leg(body, wear, light, near=True)
    if held is not None:
        yield held
    soft = _arm_shade(body)
    yield Layer(soft, QPainterPath(), shade=True)
    yield from _arm(body, wear, light, near=True)


def paint_layers(painter: QPainter, stack: list[Layer]) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    covered = hidden(stack)
    for i, layer in enumerate(stack):
        layer.paint(painter)
        again = [dot for below in stack[:i] for dot in below.dots if not covered[dot.name]]
        for dot in again if layer.shade else layer.dots:
            if dot.taped:
                _paint_dot(painter, dot)


def hidden(stack: list[Layer]) -> dict[str, bool]:
    """Whether each dot is at least partly behind a later layer."""
    found = {}
    for i, layer in enumerate(stack):
        for dot in layer.dots:
            disc = QPainterPath()
            disc.addEllipse(point(dot.at), dot.radius, dot.radius)
            box = disc.boundingRect()
            found[dot.name] = any(
                above.path.boundingRect().intersects(box) and above.path.intersects(disc)
                for above in stack[i + 1 :]
            )
    return found


def _leg(body: Body, wear: Wardrobe, light: Light, near: bool) -> Iterator[Layer]:
    p = body.points
    shift, dim = (0j, 1.0) if near else (_FAR_LEG, _FAR_DIM)
    tube = _leg_tube(body, shift)
    foot = _placed(p["ankle"] + shift, 0.0)
    yield Layer(_within(foot, lambda q: head.paint_shoe(q, dim)), foot.map(head.shoe_path()))
    yield Layer(
        lambda q: paint_tube(q, tube, wear.leg, light, dim, ((-8.0, 0.0),) if near else ()),
        tube.path,
        tuple(Dot(name, p[name]) for name in ("hip", "knee") if near),
    )
    if near:
        shoe_dots = tuple(Dot(name, p[name]) for name in ("ankle", "heel", "toe"))
        yield Layer(lambda q: None, QPainterPath(), shoe_dots)


def _thigh_behind(body: Body, wear: Wardrobe, light: Light) -> Layer:
    """The near leg without its fading upper end, to fill what the trunk leaves open."""
    tube = _leg_tube(body, 0j)
    return Layer(lambda q: paint_tube(q, tube, wear.leg, light), tube.path)


def _leg_tube(body: Body, shift: complex) -> Tube:
    p = body.points
    apart = (0.2 * shift, 0.6 * shift, shift)  # the hips are one behind the other, the feet not
    thigh = (p["knee"] - p["hip"]) / THIGH
    joints = [p["hip"] - 10 * thigh, p["knee"], p["ankle"]]
    along = _places(_LEG, 34)
    line = bent_line([z + a for z, a in zip(joints, apart, strict=True)], along + 10.0, 7.5)
    return tube_along(line, along, *widths(along, _LEG), 1j)


def _arm(body: Body, wear: Wardrobe, light: Light, near: bool) -> Iterator[Layer]:
    p = body.points
    shift, dim = (0j, 1.0) if near else (_FAR_ARM, _FAR_DIM)
    upper = (p["elbow"] - p["shoulder"]) / UPPER_ARM
    joints = [p["shoulder"] - 8 * upper, p["elbow"], p["wrist"]]
    fore = (p["wrist"] - p["elbow"]) / FOREARM
    joints[2] += 2.0 * fore
    along = _places(_ARM, 30)
    line = bent_line([z + shift for z in joints], along + 8.0, 5.0)
    tube = tube_along(line, along, *widths(along, _ARM), 1j)
    hand = _placed(p["wrist"] + shift, body.hand_lean - 180.0)
    pose = body.pose
    yield Layer(
        _within(hand, lambda q: head.paint_hand(q, pose.grip, pose.flat, dim)),
        hand.map(head.hand_path(pose.grip, pose.flat)),
    )
    carried = tuple(Dot(name, p[name]) for name in ("shoulder", "elbow", "wrist") if near)
    yield Layer(
        lambda q: paint_tube(q, tube, wear.arm, light, dim, ((56.0, 53.4),)),
        tube.path,
        carried,
    )


def _trunk(body: Body, wear: Wardrobe, light: Light) -> Layer:
    hip, lean = body.points["hip"], body.pelvis_lean
    start = [hip + turn(z, lean) for z in (complex(-0.8, -9), complex(-1.4, 0), complex(-2.2, 6))]
    line = np.concatenate([start, body.spine])
    along = np.concatenate([[-9.0, 0.0, 6.0], 9.3 + np.linspace(0, SPINE_LENGTH, len(body.spine))])
    fine = np.concatenate([np.linspace(-9, -5, 7), np.linspace(-4, 9, 8), along[4:]])
    line = np.interp(fine, along, line.real) + 1j * np.interp(fine, along, line.imag)
    for _ in range(2):  # rounds the corner where the pelvis meets the spine
        line[1:-1] = 0.25 * line[:-2] + 0.5 * line[1:-1] + 0.25 * line[2:]
    tube = tube_along(line, fine, *widths(fine, _TRUNK), -1j)
    dots = tuple(Dot(name, body.points[name]) for name in ("s2", "l4", "l1", "t8", "t4", "c7"))

    def paint(q: QPainter) -> None:
        paint_tube(q, tube, wear.trunk, light)
        _paint_collar(q, tube)

    return Layer(paint, tube.path, dots)


def _neck(body: Body, wear: Wardrobe, light: Light) -> Layer:
    low = body.spine[-3]
    top = body.neck_top + 0.25 * (body.neck_top - body.neck_base)
    along = np.linspace(0.0, 14.0, 10)
    length = abs(body.neck_base - low) + abs(top - body.neck_base)
    line = bent_line([low, body.neck_base, top], along / 14.0 * length * 0.999, 3.0)
    tube = tube_along(line, along, *widths(along, _NECK), -1j)
    return Layer(lambda q: paint_tube(q, tube, wear.neck, light, 0.86), tube.path)


def _head(body: Body) -> Layer:
    frame = _placed(body.points["ear"], body.pose.head_pitch)
    dots = (
        Dot("ear", body.points["ear"], EAR_DOT_RADIUS),
        Dot("eye", body.points["eye"], 0.4, taped=False),
    )
    return Layer(_within(frame, head.paint_head), frame.map(head.head_path()), dots)


def _paint_collar(painter: QPainter, tube: Tube) -> None:
    """A turned-down collar round the trunk's upper end."""
    top, low = len(tube.along) - 1, len(tube.along) - 3
    back, front = tube.back, tube.front
    axis = (back[top] + front[top]) / 2 - (back[low] + front[low]) / 2
    axis /= abs(axis)
    corners = [
        back[top] + 0.6 * axis,
        front[top] + 0.4 * axis,
        front[top] - 1.0 * axis + 0.8 * axis * -1j,
        front[low] - 0.8 * axis,
        (front[low] * 0.6 + back[low] * 0.4) - 0.4 * axis,
        back[low] + 1.2 * axis,
        back[top] - 0.6 * axis,
    ]
    shade = tuple(c * 1.12 for c in SHIRT)
    painter.setBrush(QBrush(colour((shade[0], shade[1], shade[2]))))
    painter.setPen(QPen(colour((40, 54, 66), 0.7), 0.2))
    painter.drawPath(outline(corners))
    painter.setPen(Qt.PenStyle.NoPen)


def _arm_shade(body: Body) -> Callable[[QPainter], None]:
    """The soft dark edge that the near arm lays on what is behind it."""
    p = body.points
    path = QPainterPath(point(p["shoulder"] - 2j))
    path.lineTo(point(p["elbow"]))
    path.lineTo(point(p["wrist"]))

    def paint(painter: QPainter) -> None:
        painter.save()
        painter.setCompositionMode(QPainter.CompositionMode.CompositionMode_SourceAtop)
        painter.translate(QPointF(-1.1, -0.9))
        for width in (10.0, 11.4, 12.8, 14.2):
            pen = QPen(QColor(10, 10, 20, 26), width)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.strokePath(path, pen)
        painter.restore()

    return paint


def _paint_dot(painter: QPainter, dot: Dot) -> None:
    painter.setBrush(QBrush(colour((40, 48, 10), 0.45)))
    painter.drawEllipse(point(dot.at), dot.radius * 1.14, dot.radius * 1.14)
    painter.setBrush(QBrush(colour(TAPE)))
    painter.drawEllipse(point(dot.at), dot.radius, dot.radius)


def _places(stations: tuple[tuple[float, float, float], ...], count: int) -> Values:
    """Places along a tube, closer together at its rounded near end."""
    first, last = stations[0][0], stations[-1][0]
    cap = np.linspace(first, first + 4.0, 8)
    return np.concatenate([cap, np.linspace(first + 5.0, last, count)])


def _placed(at: complex, lean: float) -> QTransform:
    """The transform of a rigid part that leans (degrees forward) about its own origin."""
    return QTransform().translate(at.real, at.imag).rotate(-lean)


def _within(frame: QTransform, paint: Callable[[QPainter], None]) -> Callable[[QPainter], None]:
    def framed(painter: QPainter) -> None:
        painter.save()
        painter.setTransform(frame, True)
        paint(painter)
        painter.restore()

    return framed
