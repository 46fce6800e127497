"""The small plate that carries a mark's number and its label."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from PyQt6.QtCore import QRectF, QSizeF, Qt
from PyQt6.QtGui import QColor, QPainter, QPainterPath

from cliptag.paint.colours import PLATE_TEXT, plate_colour
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import TextBlock, clean_line, is_right_to_left, lay_out
from cliptag.paint.typefaces import REGULAR, STRONG

_MOST_LABEL_LINES = 4
_MOST_WIDTH = 0.46

_Texts: TypeAlias = tuple[tuple[str, int], ...]
"""What stands on a plate, with its weight."""


@dataclass(frozen=True, slots=True)
class LabelPlate:
    """A mark's number above its label, on a plate with a strip of the mark's colour."""

    blocks: tuple[TextBlock, ...]
    size: QSizeF
    pad: float
    strip: float
    right_to_left: bool

    @property
    def area(self) -> float:
        return self.size.width() * self.size.height()

    def paint(self, painter: QPainter, at: QRectF, colour: QColor) -> None:
        """Paint the plate into the rectangle that was found for it."""
        plate = QPainterPath()
        radius = 0.55 * self.pad
        plate.addRoundedRect(at, radius, radius)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.fillPath(plate, plate_colour())
        edge = QRectF(at.left(), at.top(), self.strip, at.height())
        if self.right_to_left:
            edge.moveRight(at.right())
        painter.save()
        painter.setClipRect(edge, Qt.ClipOperation.IntersectClip)
        painter.fillPath(plate, colour)
        painter.restore()
        x = at.left() + self.pad + (0.0 if self.right_to_left else self.strip)
        y = at.top() + 0.45 * self.pad
        for block in self.blocks:
            block.paint(painter, x, y, QColor(PLATE_TEXT))
            y += block.height


def _unbroken(reading: str) -> str:
    """A number stays on one line with its uncertainty."""
    return clean_line(reading).replace(" ± ", "\u00a0±\u00a0")


def label_plate(
    label: str, reading: str | None, sizes: Sizes, roomiest: str | None = None
) -> LabelPlate | None:
    """The plate for a mark's texts, or None when there is nothing to say.

    It has room for the reading ``roomiest`` too, so that it keeps its size while a number changes.
    """
    texts = _texts(label, reading)
    if not texts:
        return None
    roomy = _texts(label, roomiest) if reading and roomiest else texts
    px = sizes.label_px
    pad, strip = 0.55 * px, max(2.0, 0.16 * px)
    room = max(4.0 * px, _MOST_WIDTH * sizes.picture_width)
    room = min(room, sizes.picture_width - 2.0 * pad - strip)
    rtl = is_right_to_left(texts[-1][0])

    def blocks(texts: _Texts, width: float) -> tuple[TextBlock, ...]:
        return tuple(
            lay_out(text, px, width, weight=weight, right_to_left=rtl, max_lines=_MOST_LABEL_LINES)
            for text, weight in texts
        )

    # A hair more than the widest line, or rounding would wrap it once more.
    width = max(block.ink_width for block in blocks(texts, room) + blocks(roomy, room))
    width = min(room, width + 0.04 * px)
    height = max(sum(block.height for block in blocks(said, width)) for said in (texts, roomy))
    height += 0.9 * pad
    size = QSizeF(width + 2.0 * pad + strip, height)
    return LabelPlate(blocks(texts, width), size, pad, strip, rtl)


def _texts(label: str, reading: str | None) -> _Texts:
    texts = ((_unbroken(reading or ""), STRONG), (clean_line(label), REGULAR))
    return tuple((text, weight) for text, weight in texts if text)
