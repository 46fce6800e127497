"""What a printed sheet is built of: text, pictures, and ways to set them beside each other.

Sizes are in the sheet's own pixels (see ``summary_sheet``). A block knows how high it is at a width
and how to paint itself; where one page ends and the next begins is not its concern.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, Protocol

from PyQt6.QtCore import QRectF, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPainterPath, QPen

from cliptag.paint.card_page import INK, PANEL
from cliptag.paint.shapes import paint_kind
from cliptag.paint.text import TextBlock, lay_out, split_utf16
from cliptag.paint.typefaces import REGULAR
from cliptag.review import Kind

DPI: Final = 300
LINE: Final = "#B9B2A3"


def mm(length: float) -> float:
    """Millimetres on paper in pixels."""
    return length * DPI / 25.4


def pt(size: float) -> int:
    """A font size in points in whole pixels."""
    return round(size * DPI / 72.0)


class Block(Protocol):
    """Something that fills the width it is given; ``space_before`` stays free above it."""

    @property
    def space_before(self) -> float: ...

    def height(self, width: float) -> float:
        """How high it is at that width."""

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        """Paint it with its top left corner at (x, y)."""

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        """What of it fits into ``room`` and the rest; None when it should not be parted there."""


@dataclass(frozen=True, slots=True)
class Text:
    """Cleaned text (see ``clean_paragraphs``), broken between lines where a page ends."""

    text: str
    points: float = 10.0
    weight: int = REGULAR
    colour: str = INK
    space_before: float = 0.0
    right_to_left: bool = False

    def height(self, width: float) -> float:
        return self._block(width).height

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        self._block(width).paint(painter, x, y, QColor(self.colour))

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        block = self._block(width)
        lines = int(room / (block.height / block.line_count))
        if lines < 2 or lines > block.line_count - 1:
            return None
        head, rest = split_utf16(self.text, block.starts[lines])
        return replace(self, text=head.rstrip()), replace(self, text=rest, space_before=0.0)

    def _block(self, width: float) -> TextBlock:
        return lay_out(
            self.text or " ",
            pt(self.points),
            width,
            weight=self.weight,
            right_to_left=self.right_to_left,
        )


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """A picture as wide as its place, with round corners."""

    image: QImage
    space_before: float = 0.0

    def height(self, width: float) -> float:
        return width * self.image.height() / self.image.width()

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        box = QRectF(x, y, width, self.height(width))
        outline = QPainterPath()
        outline.addRoundedRect(box, mm(1.2), mm(1.2))
        painter.save()
        painter.setClipPath(outline)
        painter.drawImage(box, self.image)
        painter.restore()

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        return None


@dataclass(frozen=True, slots=True)
class Stack:
    """Blocks under each other that stay on one page if it can hold them."""

    blocks: tuple[Block, ...]
    space_before: float = 0.0

    def height(self, width: float) -> float:
        spaces = sum(block.space_before for block in self.blocks[1:])
        return spaces + sum(block.height(width) for block in self.blocks)

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        for place, block in enumerate(self.blocks):
            y += block.space_before if place else 0.0
            block.paint(painter, x, y, width)
            y += block.height(width)

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        y = 0.0
        for place, block in enumerate(self.blocks):
            y += block.space_before if place else 0.0
            if y + block.height(width) > room:
                return self._parted(place, block.parts(width, room - y))
            y += block.height(width)
        return None

    def _parted(self, place: int, broken: tuple[Block, Block] | None) -> tuple[Block, Block] | None:
        before, after = self.blocks[:place], self.blocks[place:]
        if broken is not None:
            before, after = (*before, broken[0]), (broken[1], *after[1:])
        if not before:
            return None
        return replace(self, blocks=before), Stack(after)


@dataclass(frozen=True, slots=True)
class Columns:
    """Blocks beside each other, from the side where reading starts.

    ``shares`` are of the width less the gaps; a block of None leaves its column free.
    """

    blocks: tuple[Block | None, ...]
    shares: tuple[float, ...]
    gap: float
    right_to_left: bool = False
    space_before: float = 0.0

    def height(self, width: float) -> float:
        return max(
            (
                block.height(wide)
                for block, wide in zip(self.blocks, self._widths(width), strict=True)
                if block is not None
            ),
            default=0.0,
        )

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        at = x + width if self.right_to_left else x
        for block, wide in zip(self.blocks, self._widths(width), strict=True):
            if block is not None:
                block.paint(painter, at - wide if self.right_to_left else at, y, wide)
            step = wide + self.gap
            at += -step if self.right_to_left else step

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        broken: list[tuple[Block | None, Block | None]] = []
        for block, wide in zip(self.blocks, self._widths(width), strict=True):
            if block is None or block.height(wide) <= room:
                broken.append((block, None))
                continue
            pair = block.parts(wide, room)
            if pair is None:
                return None
            broken.append(pair)
        head, rest = tuple(zip(*broken, strict=True))
        return replace(self, blocks=head), replace(self, blocks=rest, space_before=0.0)

    def _widths(self, width: float) -> Sequence[float]:
        free = width - self.gap * (len(self.shares) - 1)
        return [share * free / sum(self.shares) for share in self.shares]


@dataclass(frozen=True, slots=True)
class Marked:
    """A block with a kind's shape before its first line."""

    kind: Kind
    block: Block
    points: float = 10.0
    right_to_left: bool = False
    space_before: float = 0.0

    def height(self, width: float) -> float:
        return self.block.height(width - self._indent)

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        side = 1.1 * pt(self.points)
        left = x + width - side if self.right_to_left else x
        box = QRectF(left, y + 0.16 * pt(self.points), side, side)
        paint_kind(painter, self.kind, box)
        inner = x if self.right_to_left else x + self._indent
        self.block.paint(painter, inner, y, width - self._indent)

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        pair = self.block.parts(width - self._indent, room)
        return None if pair is None else (replace(self, block=pair[0]), pair[1])

    @property
    def _indent(self) -> float:
        return 1.7 * pt(self.points)


@dataclass(frozen=True, slots=True)
class Panel:
    """A block on a plate of its own."""

    block: Block
    colour: str = PANEL
    space_before: float = 0.0

    def height(self, width: float) -> float:
        return self.block.height(width - 2.0 * self._pad) + 2.0 * self._pad

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        outline = QPainterPath()
        outline.addRoundedRect(QRectF(x, y, width, self.height(width)), mm(2.0), mm(2.0))
        painter.fillPath(outline, QColor(self.colour))
        painter.setPen(QPen(QColor(LINE), mm(0.2)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawPath(outline)
        self.block.paint(painter, x + self._pad, y + self._pad, width - 2.0 * self._pad)

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        pair = self.block.parts(width - 2.0 * self._pad, room - 2.0 * self._pad)
        if pair is None:
            return None
        return replace(self, block=pair[0]), replace(self, block=pair[1], space_before=0.0)

    @property
    def _pad(self) -> float:
        return mm(4.0)


@dataclass(frozen=True, slots=True)
class Boxes:
    """Empty boxes in a row, to be ticked by hand."""

    count: int = 7
    right_to_left: bool = False
    space_before: float = 0.0

    def height(self, width: float) -> float:
        return mm(4.0)

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        painter.setPen(QPen(QColor(INK), mm(0.25)))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        side, step = mm(3.6), mm(6.0)
        for place in range(self.count):
            left = x + width - side - place * step if self.right_to_left else x + place * step
            painter.drawRoundedRect(QRectF(left, y + mm(0.2), side, side), mm(0.5), mm(0.5))

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        return None
