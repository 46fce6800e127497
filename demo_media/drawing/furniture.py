"""Furniture against the wall: bench, tool rack and wood store. Frame in cm, y up."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QBrush, QLinearGradient, QPainter, QPainterPath, QPen

from drawing.canvas import colour, outline, rounded
from drawing.timber import (
    BEECH,
    MAPLE,
    OAK,
    SPRUCE,
    WALNUT,
    board,
    soft_shadow,
    surface,
    timber,
)

RGB = tuple[float, float, float]

WALL_FOOT = 17.0
"""Where wall and floor meet, as seen in the movement plane."""

BENCH_TOP = 84.0


def paint_tools(painter: QPainter, bench: tuple[float, float]) -> None:
    """A rack of chisels, a saw and gauges on the wall above the bench."""
    left, right = bench
    start = left + 8
    rail = QRectF(start, 124, min(56.0, right - left - 16), 3.4)
    painter.fillRect(rail.translated(-1.2, -1.4), colour((30, 22, 16), 0.25))
    for k in range(int(rail.width() / 6.2)):
        x = start + 3.2 + 6.2 * k
        blade = 9.0 + (k * 7) % 6
        painter.fillRect(QRectF(x - 0.7, 124 - blade, 1.5, blade), colour((172, 176, 178)))
        painter.fillRect(QRectF(x - 0.7, 124 - blade, 0.5, blade), colour((104, 108, 112)))
        grip = ((-1, 0), (1, 0), (1.5, 6), (1.1, 11), (-1.1, 11), (-1.5, 6))
        tone = (OAK, WALNUT, MAPLE)[k % 3]
        painter.fillPath(
            rounded([complex(x + dx, 126 + dy) for dx, dy in grip]), QBrush(colour(tone))
        )
    board(painter, rail, OAK, 14)


def paint_bench(painter: QPainter, left: float, right: float) -> None:
    width = right - left
    soft_shadow(painter, complex(left + width / 2, 11), width * 0.62, 8, 0.6)
    painter.fillRect(QRectF(left + 4, 12, width - 8, BENCH_TOP - 18), colour((30, 22, 16), 0.50))
    for k, x in enumerate((left + 4, right - 14)):
        board(painter, QRectF(x, 11, 10, BENCH_TOP - 17), OAK, 15 + k, upright=True, dark=0.5)
    board(painter, QRectF(left + 6, 24, width - 12, 4), OAK, 17, dark=0.5)
    for k in range(int((width - 34) / 17)):
        x = left + 18 + 17 * k
        tall = 13 + (k * 5) % 9
        board(painter, QRectF(x, 28, 14.5, tall), (BEECH, MAPLE, SPRUCE)[k % 3], 50 + k)
        painter.setBrush(QBrush(colour((50, 36, 24), 0.8)))
        painter.drawRoundedRect(QRectF(x + 4.5, 28 + tall * 0.55, 5.5, 2.2), 1, 1)
    board(painter, QRectF(left + 14, BENCH_TOP - 19, width - 28, 12), BEECH, 18, dark=0.45)
    for k in range(int((width - 40) / 30)):
        painter.setBrush(QBrush(colour((44, 32, 24))))
        painter.drawEllipse(QPointF(left + 34 + 30 * k, BENCH_TOP - 13), 1.3, 1.3)
    board(painter, QRectF(left, BENCH_TOP - 7, width, 7), BEECH, 19, dark=0.5)
    _paint_bench_things(painter, left, right)


def _paint_bench_things(painter: QPainter, left: float, right: float) -> None:
    """Jars of varnish, one with brushes, and a plane."""
    x = left + 10
    jars = ((6.0, 9.0, (150, 84, 40)), (5.0, 12.0, (96, 52, 30)), (6.5, 7.5, (190, 150, 90)))
    for k, (wide, tall, rgb) in enumerate(jars):
        _paint_jar(painter, x, wide, tall, rgb)
        if k == 1:
            _paint_brushes(painter, x + wide / 2, BENCH_TOP + tall)
        x += wide + 2.5
    _paint_plane(painter, right - 34)


def _paint_jar(painter: QPainter, x: float, wide: float, tall: float, rgb: RGB) -> None:
    jar = QPainterPath()
    jar.addRoundedRect(QRectF(x, BENCH_TOP, wide, tall), 1.2, 1.2)
    glass = QLinearGradient(QPointF(x, 0), QPointF(x + wide, 0))
    for place, level in ((0.0, 0.5), (0.7, 1.0), (1.0, 0.7)):
        glass.setColorAt(place, colour((rgb[0] * level, rgb[1] * level, rgb[2] * level)))
    painter.fillPath(jar, QBrush(glass))
    painter.fillRect(QRectF(x + 0.5, BENCH_TOP + tall - 0.4, wide - 1, 1.8), colour((64, 58, 52)))


def _paint_brushes(painter: QPainter, x: float, y: float) -> None:
    for lean in (-2.2, 0.4, 2.6):
        top = QPointF(x + lean * 1.6, y + 12)
        painter.setPen(QPen(colour((196, 160, 110)), 0.6))
        painter.drawLine(QPointF(x, y), top)
        painter.setPen(QPen(colour((70, 50, 36)), 1.2))
        painter.drawLine(top, QPointF(top.x() + 0.16 * lean, top.y() + 2.4))
    painter.setPen(Qt.PenStyle.NoPen)


def _paint_plane(painter: QPainter, x: float) -> None:
    def at(*corners: tuple[float, float]) -> list[complex]:
        return [complex(x + dx, BENCH_TOP + dy) for dx, dy in corners]

    sole = outline(at((0, 0), (24, 0), (24, 4.4), (0, 4.4)))
    painter.fillPath(sole, surface(timber(WALNUT, 9), x, 0))
    handle = rounded(at((2, 4), (3, 10), (5.5, 9), (7, 4)))
    painter.fillPath(handle, QBrush(colour((84, 54, 36))))
    iron = outline(at((10, 4), (8, 10), (9.2, 10), (13, 4)))
    painter.fillPath(iron, QBrush(colour((150, 154, 158))))


def paint_store(painter: QPainter, left: float, right: float) -> None:
    """The wood store: posts and shelves full of billets and boards."""
    width = right - left
    soft_shadow(painter, complex(left + width / 2, 3), width * 0.62, 6, 0.6)
    painter.fillRect(QRectF(left, 4, width, 152), colour((34, 24, 16), 0.72))
    shelves = (6.0, 39.0, 78.0, 116.0)
    for row, y in enumerate(shelves):
        # The shelf that the billet lies on is free at its near end.
        x, k = left + (40.0 if row == 1 else 4.5), 0
        while x < right - 7:
            wide = 4.6 + (row * 3 + k * 5) % 4
            tall = 20 + (row * 7 + k * 11) % 12
            fits = min(wide, right - 4.5 - x)
            tone = (SPRUCE, MAPLE, BEECH)[(row + k) % 3]
            board(painter, QRectF(x, y + 2.6, fits, tall), tone, row * 9 + k, upright=True)
            x += wide + 0.4
            k += 1
        board(painter, QRectF(left, y, width, 2.6), OAK, 60 + row, dark=0.5)
    for x in (left, right - 4):
        board(painter, QRectF(x, 0, 4, 158), OAK, 66, upright=True, dark=0.5)
    board(painter, QRectF(left - 2, 156, width + 4, 3.2), OAK, 68)
