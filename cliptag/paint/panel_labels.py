"""What stands on a sheet of several pictures all the time: which picture is which."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPainterPath

from cliptag.paint.colours import PALETTE, PLATE_TEXT, plate_colour
from cliptag.paint.overlay import rgba_of
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import TextBlock, clean_line, fit
from cliptag.paint.typefaces import REGULAR, STRONG
from cliptag.review import MarkColour

_NAME_UNITS: Final = 3.4
_ABOUT_UNITS: Final = 2.3
_PAD_UNITS: Final = 1.2
_STRIP_UNITS: Final = 0.9
_LEAST_SHRINK: Final = 0.6


@dataclass(frozen=True, slots=True)
class PanelLabel:
    """A plate in a corner of the rectangle (left, top, width, height), with a strip of a colour.

    ``name`` stands large, ``about`` small beneath it, or in a row beside it on the middle of the
    rectangle's height; an empty one is left out. ``most_width`` keeps the plate narrower than the
    rectangle.
    """

    name: str
    about: str
    box: tuple[float, float, float, float]
    corner: Literal["left", "right"] = "left"
    colour: MarkColour | None = None
    is_row: bool = False
    most_width: float | None = None


def panel_labels(size: tuple[int, int], labels: Sequence[PanelLabel]) -> NDArray[np.uint8]:
    """(H, W, 4) premultiplied RGBA of a picture of ``size`` (width, height) with the labels."""
    image = QImage(*size, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    sizes = Sizes(*size)
    for label in labels:
        _paint(painter, label, sizes)
    painter.end()
    return rgba_of(image)


def _paint(painter: QPainter, label: PanelLabel, sizes: Sizes) -> None:
    unit = sizes.unit
    pad, strip = _PAD_UNITS * unit, _STRIP_UNITS * unit if label.colour else 0.0
    left, top, width, height = label.box
    room = min(width, label.most_width or width) - 4.0 * pad - strip
    lines = 1 if label.is_row else 3
    name = _block(label.name, _NAME_UNITS, STRONG, room, sizes, lines)
    about_room = room - name.ink_width - pad if label.is_row else room
    about = _block(label.about, _ABOUT_UNITS, REGULAR, about_room, sizes, lines)
    if label.is_row:
        inner = name.ink_width + pad + about.ink_width
        tall = max(name.height, about.height)
        plate = QRectF(left, top + (height - tall) / 2.0, inner + 2.0 * pad + strip, tall)
        second = QPointF(name.ink_width + pad, (tall - about.height) / 2.0)
    else:
        inner = max(name.ink_width, about.ink_width)
        tall = name.height + (about.height if label.about else 0.0) + 1.1 * pad
        plate = QRectF(left + pad, top + pad, inner + 2.0 * pad + strip, tall)
        second = QPointF(0.0, name.height)
    if label.corner == "right":
        plate.moveRight(left + width - pad)
    _paint_plate(painter, plate, label.colour, strip, 0.5 * pad)
    start = plate.topLeft() + QPointF(strip + pad, 0.0 if label.is_row else 0.55 * pad)
    name.paint(painter, start.x(), start.y(), QColor(PLATE_TEXT))
    if label.about:
        about.paint(painter, start.x() + second.x(), start.y() + second.y(), QColor(PLATE_TEXT))


def _paint_plate(
    painter: QPainter, plate: QRectF, colour: MarkColour | None, strip: float, radius: float
) -> None:
    outline = QPainterPath()
    outline.addRoundedRect(plate, radius, radius)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.fillPath(outline, plate_colour())
    if colour:
        painter.save()
        painter.setClipRect(QRectF(plate.left(), plate.top(), strip, plate.height()))
        painter.fillPath(outline, QColor(PALETTE.get(colour, PLATE_TEXT)))
        painter.restore()


def _block(
    text: str, units: float, weight: int, room: float, sizes: Sizes, most_lines: int
) -> TextBlock:
    px = sizes.text_px(units)
    least_px = round(_LEAST_SHRINK * px)
    return fit(clean_line(text), px, least_px, max(room, 1.0), weight=weight, most_lines=most_lines)
