"""Wooden surfaces, boxes and soft edges for the workshop; frame in cm, y up."""

from __future__ import annotations

from functools import cache

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import (
    QBrush,
    QImage,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPen,
    QRadialGradient,
    QTransform,
)

from drawing.canvas import colour, image_of, point
from drawing.grain import clouds, seamless, tinted, wood

RGB = tuple[float, float, float]

BEECH = (186.0, 146.0, 100.0)
OAK = (142.0, 102.0, 66.0)
SPRUCE = (222.0, 188.0, 138.0)
MAPLE = (212.0, 170.0, 118.0)
WALNUT = (96.0, 66.0, 46.0)

_TEXTURE_PX_PER_CM = 12.0


@cache
def timber(rgb: RGB, seed: int, ring_cm: float = 1.6, depth: float = 0.075) -> QImage:
    """A board surface with the grain along x; it repeats without a seam every 1.2 m by 0.5 m."""
    grain = wood((300, 720), ring_cm * _TEXTURE_PX_PER_CM, seed)
    return image_of(tinted(rgb, seamless(grain), depth))


@cache
def plaster(rgb: RGB, seed: int) -> QImage:
    """A wall surface that repeats without a seam every 1.2 m."""
    rough = 0.6 * clouds((720, 720), 260, seed) + 0.4 * clouds((720, 720), 12, seed + 9, 3)
    return image_of(tinted(rgb, seamless(rough), 0.022))


def surface(image: QImage, x: float, y: float, upright: bool = False, scale: float = 1.0) -> QBrush:
    """A brush that starts the surface at (x, y); ``upright`` turns its grain vertical."""
    brush = QBrush(image)
    size = scale / _TEXTURE_PX_PER_CM
    mapping = QTransform().translate(x, y)
    if upright:
        mapping.rotate(90)
    brush.setTransform(mapping.scale(size, size))
    return brush


def board(
    painter: QPainter, box: QRectF, rgb: RGB, seed: int, upright: bool = False, dark: float = 0.35
) -> None:
    """A board with a lit upper and left edge and a dark lower and right one."""
    painter.setPen(Qt.PenStyle.NoPen)
    shift = 37.0 * (seed % 17)
    painter.fillRect(box, surface(timber(rgb, 7 + seed % 5), box.x() - shift, box.y(), upright))
    across = QLinearGradient(box.topLeft(), box.topRight() if upright else box.bottomLeft())
    # y is up: a box's "top" is its lower edge on the picture.
    low, high = colour((10, 6, 4), dark), colour((255, 240, 214), 0.16)
    across.setColorAt(0.0, high if upright else low)
    across.setColorAt(0.35, colour((0, 0, 0), 0.0))
    across.setColorAt(1.0, low if upright else high)
    painter.fillRect(box, QBrush(across))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(colour((30, 18, 10), 0.55), 0.25))
    painter.drawRect(box)
    painter.setPen(Qt.PenStyle.NoPen)


def soft_shadow(painter: QPainter, centre: complex, rx: float, ry: float, strength: float) -> None:
    """A soft dark ellipse."""
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.translate(point(centre))
    painter.scale(rx, ry)
    glow = QRadialGradient(QPointF(0, 0), 1.0)
    glow.setColorAt(0.0, colour((14, 9, 6), strength))
    glow.setColorAt(0.45, colour((14, 9, 6), 0.6 * strength))
    glow.setColorAt(1.0, colour((14, 9, 6), 0.0))
    painter.setBrush(QBrush(glow))
    painter.drawEllipse(QPointF(0, 0), 1.0, 1.0)
    painter.restore()


def shadow_of(painter: QPainter, path: QPainterPath, offset: complex, strength: float) -> None:
    """A path's soft shadow on the wall behind it."""
    painter.save()
    painter.translate(point(offset))
    for width in (4.0, 3.0, 2.0, 1.0):
        painter.strokePath(path, QPen(colour((20, 12, 8), 0.22 * strength), width))
    painter.fillPath(path, QBrush(colour((20, 12, 8), 0.8 * strength)))
    painter.restore()
