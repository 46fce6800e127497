"""Followed points over the picture: a small sign and a name for each, thin lines between them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Final

from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPixmap, QPolygonF

from cliptag.desk.stage.points.names import JOINED, words_of
from cliptag.desk.stage.points.seen import SeenPoint
from cliptag.desk.stage.viewport import Viewport

_DARK: Final = QColor(13, 18, 22, 200)
_PALE: Final = QColor(255, 255, 255, 150)
_PLATE: Final = QColor(13, 18, 22, 175)
_WAYS: Final = ((1, 0), (-1, 0), (1, -1), (-1, -1), (1, 1), (-1, 1), (0, -1), (0, 1))
"""Where a name may stand from its point: right, left, then aslant, above, below."""


class PointLayer:
    """Paints points; what is written of a name is kept as a picture."""

    def __init__(self) -> None:
        self._plates: dict[tuple[str, str, float], QPixmap] = {}

    def paint(
        self,
        painter: QPainter,
        points: Mapping[str, SeenPoint],
        chosen: str | None,
        view: Viewport,
        ratio: float,
        font: QFont,
        accent: QColor,
        keep_clear: Sequence[QRectF] = (),
    ) -> None:
        """Paint in the area's coordinates; a placed point is a diamond, a followed one a dot.

        Names stay off the boxes of ``keep_clear`` where they can.
        """
        size = QFontMetricsF(font).height()
        places = {name: QPointF(*view.to_area(one.at.x, one.at.y)) for name, one in points.items()}
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        _paint_lines(painter, places)
        for name, at in places.items():
            if name == chosen:
                _paint_ring(painter, at, 0.55 * size, accent)
            _paint_sign(painter, at, 0.24 * size, points[name].is_placed)
        area = QRectF(0.0, 0.0, *view.area)
        self._paint_names(painter, places, size, ratio, font, area, keep_clear)
        painter.restore()

    def _paint_names(
        self,
        painter: QPainter,
        places: Mapping[str, QPointF],
        size: float,
        ratio: float,
        font: QFont,
        area: QRectF,
        keep_clear: Sequence[QRectF],
    ) -> None:
        gap = 0.42 * size
        taken = [QRectF(p.x() - gap, p.y() - gap, 2 * gap, 2 * gap) for p in places.values()]
        taken += keep_clear
        for name, at in places.items():
            plate = self._plate(name, ratio, font)
            width, height = plate.width() / ratio, plate.height() / ratio
            boxes = list(_boxes(at, width, height, gap))
            box = next(
                (b for b in boxes if area.contains(b) and not any(b.intersects(t) for t in taken)),
                boxes[0],
            )
            taken.append(box)
            painter.drawPixmap(box.topLeft(), plate)

    def _plate(self, name: str, ratio: float, font: QFont) -> QPixmap:
        key = (name, font.key(), ratio)
        if key not in self._plates:
            self._plates[key] = _write(words_of(name), ratio, font)
        return self._plates[key]


def _boxes(at: QPointF, width: float, height: float, gap: float) -> Iterator[QRectF]:
    for across, down in _WAYS:
        beside = gap if across and not down else 0.6 * gap
        x = at.x() + across * (beside + width / 2.0) - width / 2.0
        y = at.y() + down * (gap + height / 2.0) - height / 2.0
        yield QRectF(x, y, width, height)


def _write(words: str, ratio: float, font: QFont) -> QPixmap:
    metrics = QFontMetricsF(font)
    width = metrics.horizontalAdvance(words) + 0.5 * metrics.height()
    plate = QPixmap(round(width * ratio), round(metrics.height() * ratio))
    plate.setDevicePixelRatio(ratio)
    plate.fill(Qt.GlobalColor.transparent)
    box = QRectF(0.0, 0.0, plate.width() / ratio, plate.height() / ratio)
    painter = QPainter(plate)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(_PLATE)
    painter.drawRoundedRect(box, 0.25 * box.height(), 0.25 * box.height())
    painter.setPen(QColor("white"))
    painter.setFont(font)
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
    painter.end()
    return plate


def _paint_lines(painter: QPainter, places: Mapping[str, QPointF]) -> None:
    lines = [QLineF(places[a], places[b]) for a, b in JOINED if a in places and b in places]
    if not lines:
        return
    for colour, width in ((QColor(13, 18, 22, 110), 2.6), (_PALE, 1.1)):
        painter.setPen(QPen(colour, width))
        painter.drawLines(*lines)


def _paint_sign(painter: QPainter, at: QPointF, radius: float, is_placed: bool) -> None:
    painter.setPen(QPen(_DARK, 1.6))
    painter.setBrush(QColor("white"))
    if is_placed:
        reach = 1.45 * radius
        corners = ((0, -reach), (reach, 0), (0, reach), (-reach, 0))
        painter.drawPolygon(QPolygonF([at + QPointF(dx, dy) for dx, dy in corners]))
    else:
        painter.drawEllipse(at, radius, radius)


def _paint_ring(painter: QPainter, at: QPointF, radius: float, accent: QColor) -> None:
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width, by in ((_DARK, 5.0, 0.0), (accent, 2.6, 0.0), (QColor("white"), 1.1, 1.7)):
        painter.setPen(QPen(colour, width))
        painter.drawEllipse(at, radius - by, radius - by)
