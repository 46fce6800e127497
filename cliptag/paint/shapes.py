"""The shape of each kind, drawn as a path so that no font is needed for it."""

from __future__ import annotations

import math
from typing import Final, Literal

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

from cliptag.paint.colours import kind_colour
from cliptag.review import Kind

ShapeName = Literal["circle", "square", "triangle", "diamond", "octagon"]

KIND_SHAPES: Final[dict[Kind, ShapeName]] = {
    "seen": "circle",
    "good": "square",
    "try": "triangle",
    "exercise": "diamond",
    "care": "octagon",
}

# Corners, the angle of the first one (clockwise from the top), and the circumradius, in 0.4 of the
# box's side, at which the shapes look equally large.
_POLYGONS: Final[dict[ShapeName, tuple[int, float, float]]] = {
    "square": (4, 45.0, 1.25),
    "triangle": (3, 0.0, 1.38),
    "diamond": (4, 0.0, 1.22),
    "octagon": (8, 22.5, 1.16),
}


def shape_path(shape: ShapeName, box: QRectF) -> QPainterPath:
    """The outline of a shape, centred in a box and as large as fits its shorter side."""
    path = QPainterPath()
    centre, side = box.center(), min(box.width(), box.height())
    if shape == "circle":
        path.addEllipse(centre, 0.42 * side, 0.42 * side)
        return path
    corners, first_deg, stretch = _POLYGONS[shape]
    radius = 0.4 * side * stretch
    # A triangle's circumcentre lies below the middle of its height.
    drop = radius / 4.0 if shape == "triangle" else 0.0
    points = []
    for corner in range(corners):
        turn = math.radians(first_deg + 360.0 * corner / corners)
        points.append(
            QPointF(
                centre.x() + radius * math.sin(turn), centre.y() + drop - radius * math.cos(turn)
            )
        )
    path.addPolygon(QPolygonF(points))
    path.closeSubpath()
    if shape == "octagon":
        _cut_exclamation_mark(path, centre, radius)
    return path


def _cut_exclamation_mark(path: QPainterPath, centre: QPointF, radius: float) -> None:
    """Without it an octagon a few pixels high could be taken for the circle."""
    half, long = 0.15 * radius, 0.62 * radius
    bar = QRectF(centre.x() - half, centre.y() - long, 2.0 * half, 1.2 * long)
    path.addRoundedRect(bar, half, half)
    path.addEllipse(QPointF(centre.x(), centre.y() + 0.5 * radius), 1.15 * half, 1.15 * half)


def paint_kind(painter: QPainter, kind: Kind, box: QRectF, edge: QColor | None = None) -> None:
    """The kind's shape in the kind's colour; ``edge`` gives it a thin line of that colour."""
    painter.setBrush(QBrush(kind_colour(kind)))
    if edge is None:
        painter.setPen(QPen(QColor(0, 0, 0, 0), 0.0))
    else:
        painter.setPen(QPen(edge, 0.08 * box.height()))
    painter.drawPath(shape_path(KIND_SHAPES[kind], box))
