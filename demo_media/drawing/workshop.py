"""The workshop behind the client, in cm of the movement plane (x right, y up, floor at 0).

The far part is painted apart from the near part, so that the lens can blur it a little.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QBrush, QLinearGradient, QPainter, QPen, QRadialGradient

from drawing.canvas import colour, outline
from drawing.furniture import WALL_FOOT, paint_bench, paint_store, paint_tools
from drawing.props import paint_rule, paint_stool
from drawing.timber import OAK, board, plaster, surface, timber
from drawing.violin import paint_violin


@dataclass(frozen=True)
class Room:
    """What stands where (x in cm). The frame's edge at ``plumb_x`` is a true vertical."""

    left: float
    right: float
    window_x: float
    bench: tuple[float, float]
    violins: tuple[tuple[float, float, int], ...]
    plumb_x: float
    rule_x: float
    stool_x: float | None = None
    store: tuple[float, float] | None = None
    door_right: bool = False
    tools: bool = True


def paint_far(painter: QPainter, room: Room) -> None:
    """Everything behind the movement plane."""
    painter.setPen(Qt.PenStyle.NoPen)
    _paint_wall(painter, room)
    _paint_floor(painter, room)
    _paint_window(painter, room.window_x)
    _paint_door(painter, room)
    if room.tools:
        paint_tools(painter, room.bench)
    for x, y, tone in room.violins:
        painter.save()
        painter.translate(x, y)
        painter.setPen(QPen(colour((60, 50, 44)), 0.5))
        painter.drawLine(QPointF(0, 55), QPointF(0, 61))
        painter.setPen(Qt.PenStyle.NoPen)
        paint_violin(painter, _VARNISH[tone], strung=tone != 3)
        painter.restore()
    paint_bench(painter, *room.bench)
    _paint_light(painter, room)


def paint_near(painter: QPainter, room: Room) -> None:
    """What stands in the movement plane and never moves."""
    painter.setPen(Qt.PenStyle.NoPen)
    if room.store is not None:
        paint_store(painter, *room.store)
    if room.stool_x is not None:
        paint_stool(painter, room.stool_x)
    paint_rule(painter, room.rule_x)


_VARNISH = ((164.0, 74.0, 30.0), (126.0, 50.0, 24.0), (186.0, 104.0, 40.0), (214.0, 170.0, 110.0))


def _paint_wall(painter: QPainter, room: Room) -> None:
    wall = QRectF(room.left, WALL_FOOT, room.right - room.left, 240)
    painter.fillRect(wall, surface(plaster((216, 208, 192), 5), room.left, 0))
    panel = QRectF(room.left, WALL_FOOT, room.right - room.left, 58)
    painter.fillRect(panel, colour((132, 146, 136), 0.62))
    board(painter, QRectF(room.left, WALL_FOOT + 58, room.right - room.left, 3), OAK, 2)
    for k in range(int((room.right - room.left) / 17) + 1):
        x = room.left + 17 * k
        painter.fillRect(QRectF(x, WALL_FOOT, 0.5, 58), colour((60, 70, 62), 0.4))
        painter.fillRect(QRectF(x + 0.5, WALL_FOOT, 0.4, 58), colour((230, 236, 226), 0.3))
    board(painter, QRectF(room.left, WALL_FOOT, room.right - room.left, 7), (116, 124, 116), 4)
    foot = QLinearGradient(QPointF(0, WALL_FOOT + 30), QPointF(0, WALL_FOOT))
    foot.setColorAt(0, colour((20, 16, 12), 0.0))
    foot.setColorAt(1, colour((20, 16, 12), 0.35))
    painter.fillRect(QRectF(room.left, WALL_FOOT, room.right - room.left, 30), QBrush(foot))


def _paint_floor(painter: QPainter, room: Room) -> None:
    """Boards along the wall, each nearer one broader."""
    edges = [WALL_FOOT, 14.2, 10.8, 6.7, 1.8, -4.2, -11.6, -20.6, -32.0]
    for k, (high, low) in enumerate(pairwise(edges)):
        tone = 0.86 + 0.05 * ((k * 5) % 4)
        rgb = (168 * tone, 124 * tone, 82 * tone)
        box = QRectF(room.left, low, room.right - room.left, high - low)
        scale = (high - low) / 6.0
        image = timber(rgb, 40 + k, 1.2, 0.085)
        painter.fillRect(box, surface(image, room.left - 61 * k, low, scale=max(0.5, scale)))
        gap = 0.035 * (high - low) + 0.12
        painter.fillRect(QRectF(room.left, low, box.width(), gap), colour((40, 24, 12), 0.75))
        joint = room.left + (53 * k) % 97 + 20
        while joint < room.right:
            butt = QRectF(joint, low, 0.3 * scale + 0.1, high - low)
            painter.fillRect(butt, colour((40, 24, 12), 0.6))
            joint += 150
    depth = QLinearGradient(QPointF(0, WALL_FOOT), QPointF(0, -18))
    depth.setColorAt(0, colour((24, 14, 8), 0.42))
    depth.setColorAt(0.5, colour((24, 14, 8), 0.08))
    depth.setColorAt(1, colour((24, 14, 8), 0.18))
    painter.fillRect(QRectF(room.left, -40, room.right - room.left, 40 + WALL_FOOT), QBrush(depth))


def _paint_window(painter: QPainter, x: float) -> None:
    width, low, high = 74.0, 104.0, 206.0
    frame = QRectF(x - 5, low - 5, width + 10, high - low + 10)
    board(painter, frame, (224, 216, 200), 6, upright=True)
    sky = QLinearGradient(QPointF(x, high), QPointF(x, low))
    sky.setColorAt(0, colour((236, 244, 250)))
    sky.setColorAt(0.65, colour((246, 248, 244)))
    sky.setColorAt(0.82, colour((206, 220, 196)))
    sky.setColorAt(1, colour((158, 180, 144)))
    painter.fillRect(QRectF(x, low, width, high - low), QBrush(sky))
    for k in range(9):  # out of focus garden
        leaf = QRadialGradient(QPointF(x + 9 * k, low + 9 + 7 * (k % 3)), 11)
        leaf.setColorAt(0, colour((120, 150, 104), 0.75))
        leaf.setColorAt(1, colour((120, 150, 104), 0.0))
        painter.setBrush(QBrush(leaf))
        painter.save()
        painter.setClipRect(QRectF(x, low, width, high - low))
        painter.drawEllipse(QPointF(x + 9 * k, low + 9 + 7 * (k % 3)), 11, 11)
        painter.restore()
    for k in (1, 2):
        bar = QRectF(x + width * k / 3 - 1.3, low, 2.6, high - low)
        board(painter, bar, (228, 220, 204), 7, upright=True)
    board(painter, QRectF(x, low + 50, width, 2.6), (228, 220, 204), 9)
    board(painter, QRectF(x - 9, low - 8.5, width + 18, 4.5), (216, 204, 184), 3)


def _paint_door(painter: QPainter, room: Room) -> None:
    """A door at one side; the edge of its frame on the room's side is the plumb line."""
    painter.save()
    painter.translate(room.plumb_x, 0)
    if room.door_right:
        painter.scale(-1, 1)
    right = 0.0
    panel = QRectF(-200, WALL_FOOT, 191, 205)
    painter.fillRect(panel, colour((98, 84, 72)))
    board(painter, QRectF(right - 60, WALL_FOOT, 51, 205), (118, 98, 80), 12, upright=True)
    for low, high in ((26, 92), (104, 204)):
        inner = QRectF(right - 52, WALL_FOOT + low - 17, 35, high - low)
        painter.fillRect(inner, colour((60, 48, 38), 0.4))
        painter.fillRect(inner.adjusted(1.6, 1.6, -1.6, -1.6), colour((150, 126, 104), 0.5))
    board(painter, QRectF(right - 9, WALL_FOOT, 9, 222), (222, 212, 194), 13, upright=True)
    painter.fillRect(QRectF(right, WALL_FOOT, 1.6, 222), colour((40, 32, 26), 0.35))
    painter.restore()


def _paint_light(painter: QPainter, room: Room) -> None:
    """Daylight from the window: a glow round it and a slanting patch on wall and floor."""
    middle = QPointF(room.window_x + 37, 160)
    glow = QRadialGradient(middle, 210)
    glow.setColorAt(0.0, colour((255, 250, 236), 0.30))
    glow.setColorAt(0.45, colour((255, 246, 226), 0.08))
    glow.setColorAt(0.62, colour((20, 14, 30), 0.04))
    glow.setColorAt(1.0, colour((20, 14, 30), 0.17))
    painter.fillRect(QRectF(room.left, -40, room.right - room.left, 300), QBrush(glow))
    beam = QLinearGradient(QPointF(room.window_x, 0), QPointF(room.window_x - 110, 0))
    beam.setColorAt(0, colour((255, 240, 204), 0.26))
    beam.setColorAt(1, colour((255, 240, 204), 0.05))
    for k in range(3):
        x = room.window_x - 92 + 25 * k
        far, near = WALL_FOOT - 4, -16.0
        corners = ((x, far), (x + 20, far), (x - 14, near), (x - 38, near))
        painter.fillPath(outline(complex(*xy) for xy in corners), QBrush(beam))
