"""A figure beside the ladder: where on the body each rung is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainter, QPainterPath, QPen, QPolygonF

from cliptag.desk.look import Palette
from cliptag.review import Facing, Region

# Seen from the side, facing right, standing on y = 0; the height is 100. Sketched by eye.
_OUTLINE: Final = (
    *((-5.2, 1.2), (-5.0, 0.0), (3.0, 0.0), (10.5, 0.0), (11.3, 1.6), (7.0, 3.2), (3.6, 6.0)),
    *((3.0, 12.0), (3.4, 20.0), (4.2, 27.5), (4.6, 33.0), (5.8, 42.0), (6.2, 50.0)),
    *((6.6, 57.0), (6.6, 64.0), (7.4, 71.0), (6.0, 77.5), (3.2, 81.5), (2.8, 84.0)),
    *((5.4, 85.4), (6.6, 88.0), (8.0, 90.4), (6.6, 92.0), (6.4, 96.0), (3.0, 99.6)),
    *((-1.6, 100.0), (-5.8, 97.4), (-6.8, 93.0), (-5.4, 88.6), (-3.6, 85.6), (-4.6, 81.8)),
    *((-7.0, 77.0), (-7.8, 70.0), (-6.4, 63.0), (-5.4, 58.0), (-8.0, 52.0), (-8.2, 47.5)),
    *((-5.8, 41.0), (-4.2, 33.0), (-3.2, 27.5), (-5.0, 20.5), (-3.6, 12.0), (-2.6, 6.6)),
)
_ARM: Final = ((-0.6, 77.0), (-1.8, 68.0), (-1.2, 60.5), (1.0, 53.0), (2.6, 46.5), (3.6, 42.5))
_PLACES: Final[dict[Region, tuple[float, float]]] = {
    "feet": (5.0, 2.2),
    "ankles": (0.2, 6.0),
    "knees": (1.0, 28.0),
    "hips": (0.0, 50.5),
    "pelvis": (-2.6, 55.0),
    "low_back": (-3.2, 60.0),
    "mid_back": (-5.2, 69.5),
    "shoulders": (-0.6, 77.0),
    "arms": (-1.4, 61.0),
    "wrists": (2.4, 47.0),
    "neck": (-0.8, 84.4),
    "head": (-1.0, 94.5),
    "gaze": (5.4, 92.6),
}
_HALF_WIDTH: Final = 10.5
_MIDDLE: Final = 1.5
"""The middle between toes and back."""


def figure_width(height: float) -> float:
    """How wide a figure of this height is."""
    return 2 * _HALF_WIDTH * height / 100.0


def paint_figure(
    painter: QPainter,
    colours: Palette,
    box: QRectF,
    facing: Facing | None,
    done: Iterable[Region],
    here: Region | None,
) -> None:
    """The figure standing on the box's lower edge; dots where done, a ring at ``here``."""
    unit = box.height() / 100.0
    flip = -1.0 if facing == "left" else 1.0

    def place(point: tuple[float, float]) -> QPointF:
        return QPointF(
            box.center().x() + flip * (point[0] - _MIDDLE) * unit, box.bottom() - point[1] * unit
        )

    body = colours.colour("hairline")
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(body)
    painter.drawPath(_smooth([place(point) for point in _OUTLINE]))
    pen = QPen(colours.colour("ground"), max(1.0, 0.5 * unit))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawPath(_arm([place(point) for point in _ARM]))
    radius = max(1.6, 1.1 * unit)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(colours.colour("accent"))
    for region in done:
        if region in _PLACES:
            painter.drawEllipse(place(_PLACES[region]), radius, radius)
    if here in _PLACES:
        painter.setBrush(colours.colour("plate"))
        painter.setPen(QPen(colours.colour("accent"), max(2.0, 0.9 * unit)))
        painter.drawEllipse(place(_PLACES[here]), 2.0 * radius, 2.0 * radius)


def _smooth(points: list[QPointF]) -> QPainterPath:
    """A closed curve through the points (Catmull & Rom, 1974, as Bézier pieces)."""
    path = QPainterPath(points[0])
    count = len(points)
    for i in range(count):
        before, here, after, beyond = (points[(i + k) % count] for k in (-1, 0, 1, 2))
        path.cubicTo(here + (after - before) / 6.0, after - (beyond - here) / 6.0, after)
    path.closeSubpath()
    return path


def _arm(points: list[QPointF]) -> QPainterPath:
    path = QPainterPath()
    path.addPolygon(QPolygonF(points))
    return path
