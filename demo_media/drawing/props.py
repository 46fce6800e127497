"""Things that stand in the movement plane: stool, crate, billet, rule. Frame in cm, y up."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QBrush, QLinearGradient, QPainter, QPainterPath, QPen

from drawing.canvas import colour, outline
from drawing.lift import CRATE_HEIGHT, CRATE_LENGTH, HANDLE_UP
from drawing.rise import SEAT_HEIGHT
from drawing.timber import BEECH, MAPLE, OAK, SPRUCE, board, soft_shadow, surface, timber

RULE_LENGTH = 100.0
RULE_BASE = 4.0
"""The rule's lower end stands on a foot this high."""


def paint_stool(painter: QPainter, x: float) -> None:
    """A round stool whose seat is at the height that she sits on."""
    soft_shadow(painter, complex(x - 3, 1.5), 34, 5.0, 0.5)
    far = ((-13.0, -8.0, 0.7), (12.0, 8.0, 0.7))
    near = ((-17.5, -11.5, 1.0), (17.5, 11.5, 1.0))
    for foot, top, tone in far + near:
        low = 2.0 if tone < 1 else 0.0
        leg = [
            complex(x + foot - 1.5, low),
            complex(x + foot + 1.5, low),
            complex(x + top + 1.9, SEAT_HEIGHT - 5),
            complex(x + top - 1.9, SEAT_HEIGHT - 5),
        ]
        rgb = (BEECH[0] * tone, BEECH[1] * tone, BEECH[2] * tone)
        painter.fillPath(outline(leg), surface(timber(rgb, 11), x, 0, upright=True))
        painter.strokePath(outline(leg), QPen(colour((50, 30, 16), 0.6), 0.25))
    board(painter, QRectF(x - 14.5, 15.5, 29, 2.6), BEECH, 3)
    board(painter, QRectF(x - 17.5, SEAT_HEIGHT - 6.5, 35, 3.4), BEECH, 5)
    cushion = QPainterPath()
    cushion.addRoundedRect(QRectF(x - 18.5, SEAT_HEIGHT - 3.4, 37, 3.8), 1.9, 1.9)
    leather = QLinearGradient(QPointF(x - 18, 0), QPointF(x + 18, 0))
    leather.setColorAt(0.0, colour((66, 30, 24)))
    leather.setColorAt(0.65, colour((136, 66, 50)))
    leather.setColorAt(1.0, colour((92, 42, 32)))
    painter.fillPath(cushion, QBrush(leather))
    painter.strokePath(cushion, QPen(colour((40, 18, 14), 0.7), 0.25))


def paint_rule(painter: QPainter, x: float) -> None:
    """A one-metre rule on a foot: blocks of 10 cm, marks each centimetre."""
    soft_shadow(painter, complex(x - 2, 0.8), 13, 2.6, 0.45)
    board(painter, QRectF(x - 5.5, 0, 11, RULE_BASE), OAK, 8)
    half = 2.1
    for k in range(10):
        tone = (236, 226, 200) if k % 2 else (46, 42, 44)
        if k == 5:
            tone = (186, 62, 46)
        painter.fillRect(QRectF(x - half, RULE_BASE + 10 * k, 2 * half, 10), colour(tone))
    for k in range(1, 100):
        block = k // 10
        dark_ground = block % 2 == 0 or block == 5
        width = 2.2 if k % 5 == 0 else 1.2
        if k % 10:
            painter.setPen(QPen(colour((240, 234, 214) if dark_ground else (40, 36, 36)), 0.16))
            y = RULE_BASE + k
            painter.drawLine(QPointF(x - half, y), QPointF(x - half + width, y))
    painter.setPen(QPen(colour((24, 20, 20)), 0.3))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(QRectF(x - half, RULE_BASE, 2 * half, RULE_LENGTH))
    painter.setPen(Qt.PenStyle.NoPen)


def paint_billet(painter: QPainter) -> None:
    """A split billet of spruce, held at the origin, lying to the front."""
    board(painter, QRectF(-6, -2.4, 44, 4.8), SPRUCE, 2, dark=0.45)
    end = QRectF(-6, -2.4, 1.0, 4.8)
    painter.fillRect(end, colour((238, 214, 170)))


def billet_path() -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(-6, -2.4, 44, 4.8))
    return path


def paint_crate(painter: QPainter) -> None:
    """A slatted crate of tonewood about its centre; the handle is a slot near the upper edge."""
    left, low = -CRATE_LENGTH / 2, -CRATE_HEIGHT / 2
    pieces = ((-13, 6.5), (-9.4, 9), (-5, 5), (-1.4, 8), (3.2, 6), (7.6, 9.5), (11, 5))
    for k, (x, tall) in enumerate(pieces):
        tone = SPRUCE if k % 2 else MAPLE
        board(painter, QRectF(x, -low - 8, 3.2, 8 + tall), tone, k, upright=True)
    inside = QRectF(left + 1, low + 1, CRATE_LENGTH - 2, CRATE_HEIGHT - 2)
    painter.fillRect(inside, colour((40, 26, 16)))
    slat = 8.9
    for k in range(3):
        y = low + k * (slat + 1.65)
        board(painter, QRectF(left, y, CRATE_LENGTH, slat), BEECH, 20 + k)
    for x in (left + 0.6, -left - 4.6):
        board(painter, QRectF(x, low, 4.0, CRATE_HEIGHT), OAK, 31, upright=True)
        painter.setBrush(QBrush(colour((60, 56, 52))))
        for k in range(3):
            for step in (2.6, 6.4):
                painter.drawEllipse(QPointF(x + 2.0, low + k * (slat + 1.65) + step), 0.32, 0.32)
    slot = QPainterPath()
    slot.addRoundedRect(QRectF(-5.4, HANDLE_UP - 1.6, 10.8, 3.2), 1.6, 1.6)
    painter.fillPath(slot, QBrush(colour((30, 18, 12))))


def crate_path() -> QPainterPath:
    path = QPainterPath()
    path.addRect(QRectF(-CRATE_LENGTH / 2, -CRATE_HEIGHT / 2, CRATE_LENGTH, CRATE_HEIGHT + 5))
    return path
