"""The loupe: the picture round a point, magnified, with a fine cross at the exact place."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final

from PyQt6.QtCore import QLineF, QPointF, QRectF, QSizeF, Qt
from PyQt6.QtGui import QColor, QFont, QFontMetricsF, QImage, QPainter, QPainterPath, QPen

from cliptag.review import Arrow, Between, Joint, Line, Mark, Point, Span, Tilt, points_of

MAGNIFICATION: Final = 4.0
"""How much larger the loupe shows what the stage shows."""
LEAST_SCALE: Final = 2.0
"""The least size of a picture pixel in the loupe, so that a small view still shows the pixels."""
_CLOSE_SCALE: Final = 8.0
_CLOSE_MAGNIFICATION: Final = 1.5
"""Where the stage itself shows the pixels, more would show only one of them."""
_FACING_DEG: Final = 50.0
_LEAST_TRAVEL: Final = 6.0
_DIRECTIONS: Final = ((1, -1), (-1, -1), (1, 1), (-1, 1), (0, -1), (0, 1), (1, 0), (-1, 0))
"""Where the loupe may stand from the pointer: right above, left above, right below, left below;
on a narrow stage straight above, below, right or left."""
_SLANTED: Final = 0.54
_STRAIGHT: Final = 0.74
"""How far its middle is from the pointer, across and down, in parts of its side."""
_LARGEST_PART: Final = 0.42


@dataclass(frozen=True, slots=True)
class Sight:
    """What the loupe looks at: a place of the picture, fine lines through it, the live number."""

    at: Point
    lines: tuple[tuple[Point, ...], ...] = ()
    number: str | None = None
    colour: QColor = field(default_factory=lambda: QColor("white"))
    """Of the lines."""


def scale_in_loupe(zoom: float) -> float:
    """How many stage pixels a picture pixel is wide in the loupe."""
    enough = max(_CLOSE_SCALE, _CLOSE_MAGNIFICATION * zoom)
    return min(max(MAGNIFICATION * zoom, LEAST_SCALE), enough)


def side_of_loupe(area: QRectF, wanted: float) -> float:
    """The loupe's side: as wanted, but no large part of a small stage."""
    return min(wanted, _LARGEST_PART * min(area.width(), area.height()))


def fine_lines(mark: Mark | None) -> tuple[tuple[Point, ...], ...]:
    """The lines of a mark that its points are placed by."""
    if isinstance(mark, Between):
        return (mark.a, mark.b), (mark.c, mark.d)
    return (points_of(mark),) if isinstance(mark, Joint | Tilt | Span | Line | Arrow) else ()


class LoupePlace:
    """Where the loupe stands: beside the pointer, and never where the hand is going."""

    def __init__(self) -> None:
        self._direction = _DIRECTIONS[0]
        self._from: tuple[float, float] | None = None

    def forget(self) -> None:
        """Start anew: the pointer was elsewhere meanwhile."""
        self._from = None

    def next(self, x: float, y: float, area: QRectF, side: float) -> QRectF:
        """The loupe's square for a pointer at (x, y) in the area.

        It stays on its side of the pointer unless the hand moves towards it or it would leave the
        area.
        """
        travel = self._travel(x, y)
        if not self._is_good(self._direction, x, y, area, side, travel):
            fitting = [d for d in _DIRECTIONS if area.contains(_square(d, x, y, side))]
            good = [d for d in fitting if self._is_good(d, x, y, area, side, travel)]
            self._direction = next(iter(good or fitting), self._direction)
        return _square(self._direction, x, y, side)

    def _travel(self, x: float, y: float) -> tuple[float, float] | None:
        """The direction of the hand since it last went a few pixels; None while it rests."""
        if self._from is None:
            self._from = (x, y)
            return None
        way = x - self._from[0], y - self._from[1]
        if math.hypot(*way) < _LEAST_TRAVEL:
            return None
        self._from = (x, y)
        return way

    @staticmethod
    def _is_good(
        direction: tuple[int, int],
        x: float,
        y: float,
        area: QRectF,
        side: float,
        travel: tuple[float, float] | None,
    ) -> bool:
        if not area.contains(_square(direction, x, y, side)):
            return False
        if travel is None:
            return True
        along = direction[0] * travel[0] + direction[1] * travel[1]
        facing = along / (math.hypot(*direction) * math.hypot(*travel))
        return facing < math.cos(math.radians(_FACING_DEG))


def paint_loupe(
    painter: QPainter,
    image: QImage,
    sight: Sight,
    square: QRectF,
    scale: float,
) -> None:
    """Paint the loupe into a square.

    ``image`` is the whole frame; places are in its pixels. A picture pixel is ``scale`` wide.
    """
    round_path = QPainterPath()
    round_path.addEllipse(square)
    centre = square.center()
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    painter.fillPath(round_path, QColor("#0D1216"))
    painter.setClipPath(round_path)
    half = square.width() / 2.0 / scale
    source = QRectF(sight.at.x - half, sight.at.y - half, 2.0 * half, 2.0 * half)
    seen = source & QRectF(image.rect())
    painter.drawImage(
        QRectF(
            centre + QPointF(seen.left() - sight.at.x, seen.top() - sight.at.y) * scale,
            QSizeF(seen.width() * scale, seen.height() * scale),
        ),
        image,
        seen,
    )
    for line in sight.lines:
        places = [centre + QPointF(p.x - sight.at.x, p.y - sight.at.y) * scale for p in line]
        _fine(painter, [QLineF(a, b) for a, b in pairwise(places)], sight.colour)
    _cross(painter, centre, square.width())
    painter.setClipping(False)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((QColor(13, 18, 22, 200), 5.0), (QColor("white"), 2.5)):
        painter.setPen(QPen(colour, width))
        painter.drawEllipse(square.adjusted(1.0, 1.0, -1.0, -1.0))
    painter.restore()


def paint_number(
    painter: QPainter, text: str, square: QRectF, pointer: QPointF, area: QRectF, font: QFont
) -> None:
    """Paint the live number at the loupe's rim, on the side away from the pointer."""
    metrics = QFontMetricsF(font)
    height = 1.5 * metrics.height()
    plate = QRectF(0.0, 0.0, metrics.horizontalAdvance(text) + metrics.height(), height)
    is_above = square.center().y() < pointer.y()
    rim = square.top() + 0.4 * height if is_above else square.bottom() - 0.4 * height
    plate.moveCenter(QPointF(square.center().x(), rim))
    plate.moveLeft(min(max(plate.left(), area.left()), area.right() - plate.width()))
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QPen(QColor(255, 255, 255, 90), 1.0))
    painter.setBrush(QColor(13, 18, 22, 235))
    painter.drawRoundedRect(plate, 0.3 * height, 0.3 * height)
    painter.setFont(font)
    painter.setPen(QColor("#FBFAF7"))
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, text)
    painter.restore()


def _cross(painter: QPainter, centre: QPointF, size: float) -> None:
    """A cross that leaves the place itself free, and a dot of one pixel on it."""
    gap, arm = 0.045 * size, 0.5 * size
    lines = [
        QLineF(centre + QPointF(dx, dy) * gap, centre + QPointF(dx, dy) * arm)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))
    ]
    _fine(painter, lines, QColor("white"))
    painter.fillRect(QRectF(centre.x() - 1.5, centre.y() - 1.5, 3.0, 3.0), QColor(13, 18, 22, 170))
    painter.fillRect(QRectF(centre.x() - 0.75, centre.y() - 0.75, 1.5, 1.5), QColor("white"))


def _fine(painter: QPainter, lines: list[QLineF], colour: QColor) -> None:
    for pen_colour, width in ((QColor(13, 18, 22, 150), 3.0), (colour, 1.2)):
        pen = QPen(pen_colour, width)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLines(*lines)


def _square(direction: tuple[int, int], x: float, y: float, side: float) -> QRectF:
    away = side * (_SLANTED if all(direction) else _STRAIGHT)
    centre = QPointF(x + direction[0] * away, y + direction[1] * away)
    return QRectF(centre.x() - side / 2.0, centre.y() - side / 2.0, side, side)
