"""A violin seen from the front; 60 cm from end button to scroll, its lower end at the origin."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QBrush, QPainter, QPainterPath, QPen, QRadialGradient

from drawing.canvas import colour, outline, point, rounded
from drawing.timber import SPRUCE, shadow_of, surface, timber

RGB = tuple[float, float, float]

_HALF = (
    (0.0, 0.0), (4.6, 0.25), (8.4, 2.2), (10.2, 6.0), (10.1, 10.0), (8.6, 13.2), (7.75, 14.9),
    (6.0, 16.4), (5.5, 18.6), (5.9, 20.8), (7.15, 22.6), (7.7, 24.8), (8.3, 27.6), (8.0, 31.0),
    (5.8, 34.3), (2.6, 35.4),
)  # fmt: skip


def paint_violin(
    painter: QPainter, varnish: RGB, strung: bool = True, shadow: float = 0.28
) -> None:
    """``strung`` False leaves it in the white: no fittings, bare wood."""
    body = _body()
    whole = QPainterPath(body)
    whole.addRect(QRectF(-1.6, 34, 3.2, 22))
    if shadow:
        shadow_of(painter, whole, complex(-3.0, -2.2), shadow)
    painter.fillPath(body, surface(timber(SPRUCE, 3, 0.5, 0.05), -20, 0, upright=True))
    painter.fillPath(body, QBrush(_varnish(varnish, 0.88 if strung else 0.20)))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(colour((50, 24, 12)), 0.45))
    painter.drawPath(body)
    painter.save()
    painter.translate(0, 17.7)
    painter.scale(0.92, 0.945)
    painter.translate(0, -17.7)
    painter.setPen(QPen(colour((44, 20, 10), 0.75), 0.22))
    painter.drawPath(body)
    painter.restore()
    for side in (-1, 1):
        _paint_f_hole(painter, side)
    _paint_neck(painter, strung)


def _body() -> QPainterPath:
    right = [complex(*xy) for xy in _HALF]
    left = [complex(-x, y) for x, y in reversed(_HALF[1:])]
    return rounded([*right, *left])


def _varnish(rgb: RGB, cover: float) -> QRadialGradient:
    glow = QRadialGradient(QPointF(2.0, 15.0), 22.0)
    light = tuple(min(255.0, 1.35 * c + 16) for c in rgb)
    dark = tuple(0.5 * c for c in rgb)
    glow.setColorAt(0.0, colour((light[0], light[1], light[2]), cover * 0.86))
    glow.setColorAt(0.6, colour(rgb, cover))
    glow.setColorAt(1.0, colour((dark[0], dark[1], dark[2]), min(1.0, cover * 1.1)))
    return glow


def _paint_f_hole(painter: QPainter, side: int) -> None:
    points = [complex(side * x, y) for x, y in ((3.0, 21.4), (3.5, 19.5), (4.4, 16.6), (4.9, 14.6))]
    painter.setPen(QPen(colour((24, 12, 8)), 0.55, cap=Qt.PenCapStyle.RoundCap))
    painter.drawPath(rounded(points, closed=False))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QBrush(colour((24, 12, 8))))
    painter.drawEllipse(point(complex(side * 2.75, 21.1)), 0.55, 0.55)
    painter.drawEllipse(point(complex(side * 5.0, 14.9)), 0.7, 0.7)


def _paint_neck(painter: QPainter, strung: bool) -> None:
    wood_tone = colour((150, 92, 52))
    neck = outline([complex(*xy) for xy in ((-1.5, 34), (1.5, 34), (1.15, 50), (-1.15, 50))])
    box = [complex(*xy) for xy in ((-1.3, 49.5), (1.3, 49.5), (1.0, 56), (-1.0, 56))]
    painter.fillPath(neck, QBrush(wood_tone))
    painter.fillPath(outline(box), QBrush(wood_tone))
    painter.setBrush(QBrush(wood_tone))
    painter.setPen(QPen(colour((70, 36, 18)), 0.3))
    painter.drawEllipse(QPointF(0, 57.3), 1.9, 1.9)
    painter.drawEllipse(QPointF(0, 57.3), 0.8, 0.8)
    painter.setPen(Qt.PenStyle.NoPen)
    if not strung:
        return
    black = QBrush(colour((28, 24, 24)))
    board = [complex(*xy) for xy in ((-2.05, 23.4), (2.05, 23.4), (1.2, 50), (-1.2, 50))]
    tail = [complex(*xy) for xy in ((-0.7, 1.0), (0.7, 1.0), (2.1, 11.2), (-2.1, 11.2))]
    painter.fillPath(outline(board), black)
    painter.fillPath(rounded(tail), black)
    painter.fillRect(QRectF(-2.2, 17.2, 4.4, 0.8), QBrush(colour((226, 190, 140))))
    painter.setPen(QPen(colour((28, 24, 24)), 0.75, cap=Qt.PenCapStyle.RoundCap))
    pegs = ((51.3, -3.2, 0.8), (53.0, -0.8, 3.2), (54.4, -3.0, 0.7), (55.5, -0.7, 2.9))
    for y, left, right in pegs:
        painter.drawLine(QPointF(left, y), QPointF(right, y))
    painter.setPen(QPen(colour((222, 216, 204), 0.85), 0.10))
    for k in (-1.5, -0.5, 0.5, 1.5):
        painter.drawLine(QPointF(0.75 * k, 10.5), QPointF(0.5 * k, 50))
    painter.setPen(Qt.PenStyle.NoPen)
