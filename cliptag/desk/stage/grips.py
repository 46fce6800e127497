"""What is painted over the marks while one of them can be changed: its handles, the aim."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QPainter, QPen

from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.viewport import Viewport
from cliptag.review import Mark, Point, points_of

_DARK = QColor(13, 18, 22, 190)


def paint_grips(
    painter: QPainter, mark: Mark, chosen: int | None, view: Viewport, size: float, accent: QColor
) -> None:
    """Paint hollow rings on a mark's handles, so that the place in them is seen.

    ``size`` is the text's height. A mark that is only moved as a whole gets a box round it.
    """
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    handles = handles_of(mark)
    for which, handle in enumerate(handles):
        at = QPointF(*view.to_area(handle.x, handle.y))
        is_chosen = which == chosen
        radius = size * (0.48 if is_chosen else 0.36)
        _ring(painter, at, radius, accent if is_chosen else QColor("white"), is_chosen)
    if not handles:
        _box(painter, points_of(mark), view, 0.6 * size)
    painter.restore()


def paint_aim(painter: QPainter, at: QPointF, size: float) -> None:
    """Paint the fine cross of a place that is looked for or moved; its middle stays free."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    gap, arm = 0.25 * size, 1.1 * size
    lines = [
        QLineF(at + QPointF(dx, dy) * gap, at + QPointF(dx, dy) * arm)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))
    ]
    for colour, width in ((_DARK, 3.2), (QColor("white"), 1.4)):
        painter.setPen(QPen(colour, width))
        painter.drawLines(*lines)
    painter.restore()


def _ring(painter: QPainter, at: QPointF, radius: float, colour: QColor, is_chosen: bool) -> None:
    painter.setPen(QPen(_DARK, 4.2))
    painter.drawEllipse(at, radius, radius)
    painter.setPen(QPen(colour, 2.0))
    painter.drawEllipse(at, radius, radius)
    if is_chosen:
        painter.setPen(QPen(QColor("white"), 1.0))
        painter.drawEllipse(at, radius - 1.6, radius - 1.6)


def _box(painter: QPainter, points: Sequence[Point], view: Viewport, around: float) -> None:
    places = [view.to_area(point.x, point.y) for point in points]
    left, right = min(x for x, _ in places), max(x for x, _ in places)
    top, bottom = min(y for _, y in places), max(y for _, y in places)
    box = QRectF(left, top, right - left, bottom - top).adjusted(-around, -around, around, around)
    for colour, width in ((_DARK, 3.0), (QColor("white"), 1.4)):
        pen = QPen(colour, width)
        pen.setDashPattern([6.0 / width, 5.0 / width])
        painter.setPen(pen)
        painter.drawRoundedRect(box, 0.4 * around, 0.4 * around)
