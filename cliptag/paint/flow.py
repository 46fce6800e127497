"""Pieces of text that flow down a column and on to the next page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from PyQt6.QtCore import QRectF

from cliptag.paint.card_page import Page
from cliptag.paint.text import TextBlock, is_right_to_left, lay_out, split_utf16


@dataclass(frozen=True, slots=True)
class Piece:
    """Text of one look; its size and the space above it in the page's units.

    ``is_first`` is set where something new begins. ``keep_with_next`` is set on a piece that must
    not be parted from the one after it.
    """

    text: str
    units: float
    weight: int
    colour: str
    space_before: float
    is_first: bool = False
    keep_with_next: bool = False


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece in its place on a page, ``top`` in pixels."""

    piece: Piece
    block: TextBlock
    top: float

    @property
    def bottom(self) -> float:
        return self.top + self.block.height


def flow(pieces: Sequence[Piece], page: Page, room: QRectF, scale: float) -> list[list[Placed]]:
    """Place pieces in the room of as many pages as it takes; nothing is left out.

    A piece goes to the next page whole if a page can hold it, else it is broken between lines.
    """
    pages: list[list[Placed]] = [[]]
    y = room.top()
    waiting = list(reversed(pieces))
    while waiting:
        piece = waiting.pop()
        block = _laid_out(piece, page, scale, room.width())
        needed = block.height
        if piece.keep_with_next and waiting:
            after = _laid_out(waiting[-1], page, scale, room.width())
            needed += waiting[-1].space_before * page.unit + after.height
        top = y + (piece.space_before * page.unit if pages[-1] else 0.0)
        if top + needed <= room.bottom():
            pages[-1].append(Placed(piece, block, top))
            y = top + block.height
            continue
        lines = int((room.bottom() - top) / (block.height / block.line_count))
        if pages[-1] and (needed <= room.height() or lines < 2):
            waiting.append(piece)
        else:
            head, rest = _broken(piece, block, max(1, lines))
            pages[-1].append(Placed(head, _laid_out(head, page, scale, room.width()), top))
            if rest is not None:
                waiting.append(rest)
        pages.append([])
        y = room.top()
    return pages if pages[-1] or len(pages) == 1 else pages[:-1]


def _broken(piece: Piece, block: TextBlock, lines: int) -> tuple[Piece, Piece | None]:
    """The first lines of a piece, and what is left of it."""
    if piece.keep_with_next:
        lines = min(lines, block.line_count - 1)
    if lines >= block.line_count or lines < 1:
        return piece, None
    head, rest = split_utf16(piece.text, block.starts[lines])
    return (
        replace(piece, text=head.rstrip(), keep_with_next=False),
        replace(piece, text=rest, is_first=False, space_before=0.0),
    )


def _laid_out(piece: Piece, page: Page, scale: float, width: float) -> TextBlock:
    return lay_out(
        piece.text,
        page.text_px(scale * piece.units),
        width,
        weight=piece.weight,
        right_to_left=is_right_to_left(piece.text, page.right_to_left),
    )
