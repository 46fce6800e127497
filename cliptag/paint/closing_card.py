"""The last pictures: the exercises, and the caution again."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from PyQt6.QtCore import QRectF, QSize
from PyQt6.QtGui import QColor, QImage, QPainter

from cliptag.paint.card_page import ACCENT, CAUTION_UNITS, INK, QUIET_INK, Page, painter_on
from cliptag.paint.shapes import paint_kind
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import (
    TextBlock,
    clean_line,
    clean_paragraphs,
    is_right_to_left,
    lay_out,
    split_utf16,
)
from cliptag.paint.typefaces import REGULAR, STRONG

_CAUTION_SHARE: Final = 0.34
_SCALES: Final = (1.0, 0.92, 0.85)


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise: what to do, and how often ('3 x 8, every second day')."""

    text: str
    repetitions: str = ""


@dataclass(frozen=True, slots=True)
class ClosingText:
    """What the closing cards say, as it should read; what is empty is left out."""

    exercises: tuple[Exercise, ...] = ()
    caution: str = ""
    coach: str = ""
    heading: str = "Your exercises"


@dataclass(frozen=True, slots=True)
class _Piece:
    """A run of lines that stands together; ``starts`` is set on an exercise's first one."""

    text: str
    units: float
    weight: int
    colour: str
    space_before: float
    starts: bool = False


_Placed = tuple[_Piece, TextBlock, float]


def closing_card(size: QSize | tuple[int, int], text: ClosingText) -> tuple[QImage, ...]:
    """Pages of width x height pixels; text that doesn't fit one page goes on on the next.

    A caution that is short enough stands at the foot of every page; a long one is carried on to
    pages of its own, whole.
    """
    width, height = (size.width(), size.height()) if isinstance(size, QSize) else size
    pieces = _pieces(text)
    words = clean_paragraphs(text.caution)
    rtl = is_right_to_left(" ".join(piece.text for piece in pieces if piece.starts) or words)
    page = Page(Sizes(width, height), rtl)
    foot = _foot(page, words)
    if words and foot is None:
        pieces.append(_Piece(words, CAUTION_UNITS, REGULAR, INK, 4.0))
    heading = lay_out(
        clean_line(text.heading) or " ",
        page.sizes.text_px(7.0),
        page.text.width(),
        weight=STRONG,
        right_to_left=rtl,
        max_lines=2,
    )
    room = page.text
    room.setTop(room.top() + heading.height + 3.0 * page.unit)
    if foot is not None:
        room.setBottom(page.caution_panel(foot).top() - 3.0 * page.unit)
    pages = _paged(pieces, page, room)
    return tuple(
        _painted(page, heading, room, placed, foot, f"{number} / {len(pages)}")
        for number, placed in enumerate(pages, start=1)
    )


def _pieces(text: ClosingText) -> list[_Piece]:
    pieces: list[_Piece] = []
    for exercise in text.exercises:
        words, often = clean_paragraphs(exercise.text), clean_line(exercise.repetitions)
        if words or often:
            pieces.append(_Piece(words or often, 4.4, REGULAR, INK, 3.4, starts=True))
        if words and often:
            pieces.append(_Piece(often, 4.0, STRONG, ACCENT, 0.4))
    if coach := clean_line(text.coach):
        pieces.append(_Piece(coach, 4.0, REGULAR, QUIET_INK, 4.0))
    return pieces


def _foot(page: Page, words: str) -> TextBlock | None:
    if not words:
        return None
    block = lay_out(
        words,
        page.sizes.text_px(CAUTION_UNITS),
        page.caution_width,
        right_to_left=page.right_to_left,
    )
    return block if block.height <= _CAUTION_SHARE * page.sizes.picture_height else None


def _paged(pieces: list[_Piece], page: Page, room: QRectF) -> list[list[_Placed]]:
    """One page if a slightly smaller text allows it, else as many as it takes at full size."""
    for scale in _SCALES:
        pages = _flowed(pieces, page, room, scale)
        if len(pages) == 1:
            return pages
    return _flowed(pieces, page, room, 1.0)


def _flowed(pieces: list[_Piece], page: Page, room: QRectF, scale: float) -> list[list[_Placed]]:
    pages: list[list[_Placed]] = [[]]
    y = room.top()
    waiting = list(reversed(pieces))
    while waiting:
        piece = waiting.pop()
        block = _laid_out(piece, page, scale, room.width())
        top = y + (piece.space_before * page.unit if pages[-1] else 0.0)
        if top + block.height <= room.bottom():
            pages[-1].append((piece, block, top))
            y = top + block.height
        elif pages[-1] and block.height <= room.height():
            waiting.append(piece)
            pages.append([])
            y = room.top()
        else:
            advance = block.height / block.line_count
            lines = (
                max(1, int((room.bottom() - top) / advance))
                if not pages[-1]
                else int((room.bottom() - top) / advance)
            )
            if lines < 1:
                waiting.append(piece)
            else:
                head, rest = split_utf16(piece.text, block.layout.lineAt(lines).textStart())
                first = replace(piece, text=head.rstrip())
                pages[-1].append((first, _laid_out(first, page, scale, room.width()), top))
                waiting.append(replace(piece, text=rest, starts=False))
            pages.append([])
            y = room.top()
    return pages


def _laid_out(piece: _Piece, page: Page, scale: float, width: float) -> TextBlock:
    return lay_out(
        piece.text,
        page.sizes.text_px(scale * piece.units),
        width,
        weight=piece.weight,
        right_to_left=page.right_to_left,
    )


def _painted(
    page: Page,
    heading: TextBlock,
    room: QRectF,
    placed: list[_Placed],
    foot: TextBlock | None,
    number: str,
) -> QImage:
    image = page.blank()
    painter = painter_on(image)
    bottom = max([room.top(), *(top + block.height for _, block, top in placed)])
    page.paint_ground(painter, bottom)
    heading.paint(painter, page.text.left(), page.text.top(), QColor(INK))
    for piece, block, top in placed:
        if piece.starts:
            _paint_bullet(painter, page, block, top)
        block.paint(painter, room.left(), top, QColor(piece.colour))
    if foot is not None:
        page.paint_caution(painter, foot)
    if not number.endswith("/ 1"):
        mark = lay_out(number, page.sizes.text_px(3.2), page.text.width())
        x = page.sizes.picture_width - page.margin_x - mark.ink_width
        if page.right_to_left:
            x = page.margin_x
        mark.paint(painter, x, 0.35 * page.margin_y, QColor(QUIET_INK))
    painter.end()
    return image


def _paint_bullet(painter: QPainter, page: Page, block: TextBlock, top: float) -> None:
    side = 1.05 * block.px
    line = block.height / block.line_count
    x = page.margin_x + 1.2 * page.unit
    if page.right_to_left:
        x = page.sizes.picture_width - x
    paint_kind(painter, "exercise", QRectF(x - side / 2.0, top + (line - side) / 2.0, side, side))
