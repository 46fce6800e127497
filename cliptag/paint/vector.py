"""A kind's shape for a page: the same outline as on the picture, as an SVG path."""

from __future__ import annotations

from PyQt6.QtCore import QRectF
from PyQt6.QtGui import QPainterPath

from cliptag.paint.shapes import KIND_SHAPES, shape_path
from cliptag.review import Kind


def kind_svg_path(kind: Kind, side: float = 24.0) -> str:
    """The ``d`` of a path in a box of ``side`` x ``side``; filled by the even-odd rule."""
    path = shape_path(KIND_SHAPES[kind], QRectF(0.0, 0.0, side, side))
    said: list[str] = []
    to_come = 0
    for place in range(path.elementCount()):
        element = path.elementAt(place)
        at = f"{element.x:.2f} {element.y:.2f}"
        if element.type == QPainterPath.ElementType.MoveToElement:
            said.append(f"M{at}")
        elif element.type == QPainterPath.ElementType.LineToElement:
            said.append(f"L{at}")
        elif element.type == QPainterPath.ElementType.CurveToElement:
            said.append(f"C{at}")
            to_come = 2
        else:
            to_come -= 1
            said.append(at)
    return " ".join(said) + "Z"
