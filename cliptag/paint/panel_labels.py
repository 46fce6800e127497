"""What stands on a sheet of several pictures all the time: which picture is which."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRectF, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPainterPath

from cliptag.paint.colours import PALETTE, PLATE_TEXT, plate_colour
from cliptag.paint.overlay import rgba_of
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import clean_line, lay_out
from cliptag.paint.typefaces import REGULAR, STRONG
from cliptag.review import MarkColour

_NAME_UNITS: Final = 3.4
_ABOUT_UNITS: Final = 2.3
_PAD_UNITS: Final = 1.2
_STRIP_UNITS: Final = 0.9


@dataclass(frozen=True, slots=True)
class PanelLabel:
    """A plate in a corner of the rectangle (left, top, width, height), with a strip of a colour.

    ``name`` stands large, ``about`` small beneath it; an empty one is left out.
    """

    name: str
    about: str
    box: tuple[float, float, float, float]
    corner: Literal["left", "right"] = "left"
    colour: MarkColour | None = None


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
    left, top, width, _ = label.box
    room = width - 4.0 * pad - strip
    rows = ((label.name, _NAME_UNITS, STRONG), (label.about, _ABOUT_UNITS, REGULAR))
    blocks = [
        lay_out(clean_line(text), sizes.text_px(units), room, weight=weight, max_lines=2)
        for text, units, weight in rows
        if text
    ]
    if not blocks:
        return
    inner = max(block.ink_width for block in blocks)
    plate = QRectF(
        left + pad,
        top + pad,
        inner + 2.0 * pad + strip,
        sum(block.height for block in blocks) + 1.1 * pad,
    )
    if label.corner == "right":
        plate.moveRight(left + width - pad)
    outline = QPainterPath()
    outline.addRoundedRect(plate, 0.5 * pad, 0.5 * pad)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.fillPath(outline, plate_colour())
    if label.colour:
        painter.save()
        painter.setClipRect(QRectF(plate.left(), plate.top(), strip, plate.height()))
        painter.fillPath(outline, QColor(PALETTE.get(label.colour, PLATE_TEXT)))
        painter.restore()
    y = plate.top() + 0.55 * pad
    for block in blocks:
        block.paint(painter, plate.left() + strip + pad, y, QColor(PLATE_TEXT))
        y += block.height
