"""Head, hands and shoes: rigid shapes, each in the frame of the bone that carries it."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import (
    QBrush,
    QColor,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPen,
    QRadialGradient,
)

from drawing.body import ANKLE_HEIGHT
from drawing.canvas import colour, point, rounded
from drawing.wardrobe import HAIR, LEATHER, SKIN

RGB = tuple[float, float, float]

# Seen from the tragus, x to the front, y up, in cm.
_FACE = [
    complex(*xy)
    for xy in (
        (5.4, 10.4), (7.9, 8.0), (9.0, 5.4), (9.35, 3.4), (8.85, 2.1), (9.6, 0.4), (11.35, -1.75),
        (11.1, -2.6), (9.75, -3.0), (9.6, -3.6), (10.2, -4.5), (9.65, -5.15), (10.0, -5.9),
        (9.1, -6.9), (9.35, -8.2), (8.3, -9.4), (6.0, -9.3), (2.6, -7.6), (0.2, -5.2), (-2.6, -6.4),
        (-5.6, -6.6), (-7.0, -3.0), (-6.5, 4.0), (-2.0, 9.0), (2.0, 10.6),
    )
]  # fmt: skip
_HAIR = [
    complex(*xy)
    for xy in (
        (7.3, 9.0), (6.0, 10.9), (3.0, 12.3), (-1.0, 12.7), (-5.2, 11.3), (-8.4, 8.0), (-9.6, 3.6),
        (-9.2, -0.6), (-7.6, -4.0), (-5.4, -6.9), (-4.4, -6.4), (-3.4, -3.6), (-2.6, -0.4),
        (-1.6, 2.4), (0.5, 2.9), (1.2, 1.2), (1.6, -1.6), (2.3, 0.6), (2.7, 3.4), (4.6, 5.6),
        (6.6, 7.2),
    )
]  # fmt: skip
_EAR = [
    complex(*xy)
    for xy in (
        (0.35, 0.9), (0.1, 2.4), (-1.2, 3.1), (-2.5, 2.2), (-2.7, 0.4), (-2.0, -1.2), (-1.2, -2.6),
        (-0.3, -2.7), (0.0, -1.4), (0.45, -0.3),
    )
]  # fmt: skip
_SHOE = [
    complex(*xy)
    for xy in (
        (-5.2, 3.6), (-6.2, 0.5), (-6.9, -3.6), (-6.6, -5.2), (0.0, -5.3), (8.0, -5.3),
        (17.4, -5.2), (18.5, -4.0), (17.6, -2.4), (14.0, -1.0), (10.0, 0.2), (7.0, 1.8),
        (5.2, 3.8), (0.0, 4.3),
    )
]  # fmt: skip
# Wrist at 0, fingers along -y, thumb to the front.
_HANGING = [
    complex(*xy)
    for xy in (
        (-2.2, 1.2), (-2.6, -2.0), (-3.1, -5.5), (-3.0, -9.0), (-2.0, -12.4), (-0.4, -15.3),
        (1.1, -15.2), (1.6, -12.4), (1.7, -9.6), (2.2, -8.6), (2.9, -9.8), (3.7, -9.2), (3.7, -6.6),
        (3.2, -3.2), (2.5, 0.0), (2.3, 1.2),
    )
]  # fmt: skip
_GRIPPING = [
    complex(*xy)
    for xy in (
        (-2.2, 1.2), (-2.7, -2.0), (-3.4, -5.2), (-3.9, -7.8), (-3.6, -10.0), (-1.8, -11.0),
        (0.6, -10.9), (2.2, -10.2), (2.9, -9.2), (3.2, -8.6), (3.4, -8.6), (3.9, -7.8), (4.0, -6.0),
        (3.4, -3.0), (2.5, 0.0), (2.3, 1.2),
    )
]  # fmt: skip
_FLAT = [
    complex(*xy)
    for xy in (
        (-2.2, 1.2), (-2.3, -2.0), (-2.4, -5.5), (-2.1, -9.5), (-1.9, -13.2), (-1.2, -16.4),
        (-0.1, -16.8), (0.7, -14.0), (1.0, -10.8), (1.5, -9.6), (2.3, -10.0), (2.9, -9.0),
        (2.8, -6.4), (2.7, -3.2), (2.5, 0.0), (2.3, 1.2),
    )
]  # fmt: skip


def head_path() -> QPainterPath:
    """Face and hair together without the bun."""
    return rounded(_FACE).united(rounded(_HAIR))


def shoe_path() -> QPainterPath:
    return rounded(_SHOE)


def hand_path(grip: float, flat: float) -> QPainterPath:
    """A hand between hanging, closed and laid flat."""
    return rounded(
        [
            h + grip * (g - h) + flat * (f - h)
            for h, g, f in zip(_HANGING, _GRIPPING, _FLAT, strict=True)
        ]
    )


def paint_head(painter: QPainter) -> None:
    """In the head's frame."""
    painter.setPen(Qt.PenStyle.NoPen)
    _paint_bun(painter)
    face = rounded(_FACE)
    skin = QLinearGradient(QPointF(11.0, 6.0), QPointF(-4.0, -7.0))
    skin.setColorAt(0.0, _tone(SKIN, 1.14))
    skin.setColorAt(0.45, _tone(SKIN, 1.0))
    skin.setColorAt(1.0, _tone(SKIN, 0.68))
    painter.fillPath(face, QBrush(skin))
    painter.save()
    painter.setClipPath(face)
    _glow(painter, complex(6.6, -2.6), 3.4, (214, 110, 92), 0.30)
    _glow(painter, complex(4.6, -8.6), 4.8, (60, 30, 24), 0.34)
    _glow(painter, complex(8.2, 1.9), 2.0, (96, 50, 40), 0.28)
    painter.restore()
    _paint_features(painter)
    _paint_hair(painter)
    _paint_ear(painter)


def paint_hand(painter: QPainter, grip: float, flat: float, dim: float) -> None:
    """In the hand's frame (fingers along -y)."""
    path = hand_path(grip, flat)
    shade = QLinearGradient(QPointF(-4.0, -4.0), QPointF(4.0, -8.0))
    shade.setColorAt(0.0, _tone(SKIN, 0.74 * dim))
    shade.setColorAt(0.6, _tone(SKIN, 1.02 * dim))
    shade.setColorAt(1.0, _tone(SKIN, 1.10 * dim))
    painter.fillPath(path, QBrush(shade))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(_tone(SKIN, 0.58 * dim), 0.22))
    painter.drawPath(path)
    painter.setPen(QPen(colour((110, 62, 46), 0.55), 0.28))
    reach = 1.0 - 0.42 * grip
    for x in (-1.5, -0.3, 0.8):
        start = complex(x * (1 + 0.5 * grip), -9.0 + 1.2 * grip)
        end = complex(x * 0.75 + 1.2 * grip, -9.0 - 5.0 * reach + 1.4 * grip)
        painter.drawLine(point(start), point(end))
    painter.setPen(Qt.PenStyle.NoPen)


def paint_shoe(painter: QPainter, dim: float) -> None:
    """In the foot's frame (ankle at 0)."""
    path = shoe_path()
    leather = QLinearGradient(QPointF(4.0, 4.0), QPointF(2.0, -5.5))
    leather.setColorAt(0.0, _tone(LEATHER, 1.30 * dim))
    leather.setColorAt(0.6, _tone(LEATHER, 0.95 * dim))
    leather.setColorAt(1.0, _tone(LEATHER, 0.60 * dim))
    painter.fillPath(path, QBrush(leather))
    painter.save()
    painter.setClipPath(path)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(_tone((214, 196, 160), 0.75 * dim), 0.22, Qt.PenStyle.DotLine))
    welt = [complex(-6.4, -4.2), complex(4, -4.3), complex(18.4, -4.1)]
    painter.drawPath(rounded(welt, closed=False))
    cap = [complex(12.2, 0.6), complex(11.4, -2.0), complex(12.0, -4.4)]
    painter.drawPath(rounded(cap, closed=False))
    for k in range(3):
        painter.setPen(QPen(_tone((232, 220, 196), 0.85 * dim), 0.55))
        lace = complex(5.6 + 1.5 * k, 2.3 - 0.8 * k)
        painter.drawLine(point(lace), point(lace + complex(1.5, 1.2)))
    painter.restore()
    painter.setPen(Qt.PenStyle.NoPen)
    sole = QPainterPath()
    sole.addRoundedRect(-6.9, -ANKLE_HEIGHT, 25.4, 1.5, 0.6, 0.6)
    painter.fillPath(sole, QBrush(_tone((46, 38, 34), dim)))


def _paint_bun(painter: QPainter) -> None:
    centre = complex(-10.4, 6.4)
    bun = QRadialGradient(point(centre + complex(1.2, 1.6)), 4.6)
    bun.setColorAt(0.0, _tone(HAIR, 1.7))
    bun.setColorAt(1.0, _tone(HAIR, 0.75))
    painter.setBrush(QBrush(bun))
    painter.drawEllipse(point(centre), 3.7, 3.9)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(_tone(HAIR, 0.6, 0.8), 0.2))
    for k in range(3):
        painter.drawPath(_arc(centre + 0.25 * complex(k, 1), 1.0 + 0.9 * k))
    painter.setPen(Qt.PenStyle.NoPen)


def _arc(centre: complex, radius: float) -> QPainterPath:
    path = QPainterPath()
    left, top = centre.real - radius, centre.imag - radius
    path.arcMoveTo(left, top, 2 * radius, 2 * radius, 200)
    path.arcTo(left, top, 2 * radius, 2 * radius, 200, 250)
    return path


def _paint_features(painter: QPainter) -> None:
    painter.setPen(Qt.PenStyle.NoPen)
    white = [complex(6.6, 1.15), complex(7.6, 1.75), complex(8.35, 1.35), complex(7.5, 0.85)]
    painter.fillPath(rounded(white), QBrush(colour((240, 234, 226))))
    painter.setBrush(QBrush(colour((62, 42, 30))))
    painter.drawEllipse(point(complex(7.75, 1.3)), 0.42, 0.52)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(colour((48, 30, 24)), 0.32, cap=Qt.PenCapStyle.RoundCap))
    lid = [complex(6.4, 1.2), complex(7.4, 1.9), complex(8.6, 1.55)]
    painter.drawPath(rounded(lid, closed=False))
    painter.setPen(QPen(_tone(HAIR, 0.9), 0.55, cap=Qt.PenCapStyle.RoundCap))
    brow = [complex(5.7, 3.2), complex(7.2, 3.95), complex(8.85, 3.75)]
    painter.drawPath(rounded(brow, closed=False))
    painter.setPen(QPen(colour((150, 74, 66)), 0.34, cap=Qt.PenCapStyle.RoundCap))
    mouth = [complex(9.75, -5.15), complex(8.7, -5.2), complex(7.7, -4.95)]
    painter.drawPath(rounded(mouth, closed=False))
    painter.setPen(QPen(colour((140, 84, 64), 0.8), 0.26, cap=Qt.PenCapStyle.RoundCap))
    wing = [complex(9.9, -1.4), complex(9.3, -2.2), complex(9.7, -2.85)]
    painter.drawPath(rounded(wing, closed=False))
    painter.setPen(Qt.PenStyle.NoPen)


def _paint_hair(painter: QPainter) -> None:
    path = rounded(_HAIR)
    tone = QLinearGradient(QPointF(5.0, 12.0), QPointF(-7.0, -4.0))
    tone.setColorAt(0.0, _tone(HAIR, 1.75))
    tone.setColorAt(0.5, _tone(HAIR, 1.1))
    tone.setColorAt(1.0, _tone(HAIR, 0.7))
    painter.fillPath(path, QBrush(tone))
    painter.save()
    painter.setClipPath(path)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    bun = complex(-9.2, 5.6)
    for k in range(15):
        forehead = complex(6.8 - 0.62 * k, 8.6 - 0.02 * k * k)
        temple = complex(1.8 - 0.7 * (k - 9), 3.4 - 1.5 * (k - 9))
        start = forehead if k < 9 else temple
        bulge = (start + bun) / 2 + complex(-0.6, 3.4 - 0.33 * k)
        painter.setPen(QPen(_tone(HAIR, 1.9 if k % 3 else 0.55, 0.35), 0.24))
        painter.drawPath(rounded([start, bulge, bun], closed=False))
    painter.restore()
    painter.setPen(Qt.PenStyle.NoPen)


def _paint_ear(painter: QPainter) -> None:
    path = rounded(_EAR)
    ear = QRadialGradient(point(complex(-0.8, 0.8)), 3.6)
    ear.setColorAt(0.0, _tone(SKIN, 0.86))
    ear.setColorAt(0.7, _tone(SKIN, 1.06))
    ear.setColorAt(1.0, _tone(SKIN, 0.84))
    painter.fillPath(path, QBrush(ear))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(_tone(SKIN, 0.55, 0.8), 0.24))
    painter.drawPath(path)
    inner = [complex(-0.3, 1.6), complex(-1.6, 2.0), complex(-1.9, 0.4), complex(-1.0, -1.0)]
    painter.drawPath(rounded(inner, closed=False))
    painter.setPen(Qt.PenStyle.NoPen)


def _glow(painter: QPainter, at: complex, radius: float, rgb: RGB, strength: float) -> None:
    glow = QRadialGradient(point(at), radius)
    glow.setColorAt(0.0, colour(rgb, strength))
    glow.setColorAt(1.0, colour(rgb, 0.0))
    painter.setBrush(QBrush(glow))
    painter.drawEllipse(point(at), radius, radius)


def _tone(rgb: RGB, level: float, alpha: float = 1.0) -> QColor:
    return colour((rgb[0] * level, rgb[1] * level, rgb[2] * level), alpha)
