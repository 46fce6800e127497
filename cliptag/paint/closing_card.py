"""The last pictures: the exercises, and the caution again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QRectF, QSize
from PyQt6.QtGui import QColor, QImage, QPainter

from cliptag.paint.card_page import (
    ACCENT,
    INK,
    QUIET_INK,
    Page,
    blank,
    paint_caution,
    paint_ground,
    painter_on,
)
from cliptag.paint.flow import Piece, Placed, flow
from cliptag.paint.shapes import paint_kind
from cliptag.paint.text import (
    TextBlock,
    clean_line,
    clean_paragraphs,
    is_right_to_left,
    lay_out,
)
from cliptag.paint.typefaces import REGULAR, STRONG

_CAUTION_SHARE: Final = 0.34
_CAUTION_SHARE_ACROSS: Final = 0.75
_SCALES: Final = (1.0, 0.93, 0.87)
_HEADING_UNITS: Final = 7.4
_LONG_CAUTION_UNITS: Final = 4.0


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise: what to do, and how often ('3 x 8, every second day')."""

    text: str
    repetitions: str = ""


@dataclass(frozen=True, slots=True)
class ClosingText:
    """What the closing cards say, as it should read; what is empty is left out.

    ``caution_heading`` heads the cards of a caution that is too long to stand with the exercises.
    ``right_to_left`` None: as the exercises begin.
    """

    exercises: tuple[Exercise, ...] = ()
    caution: str = ""
    coach: str = ""
    heading: str = "Your exercises"
    caution_heading: str = "Please read this"
    right_to_left: bool | None = None


@dataclass(frozen=True, slots=True)
class _Sheet:
    """One card before it is painted."""

    heading: TextBlock
    room: QRectF
    placed: list[Placed]
    caution: TextBlock | None


def closing_card(size: QSize | tuple[int, int], text: ClosingText) -> tuple[QImage, ...]:
    """Cards of width x height pixels; text that doesn't fit one goes on on the next, whole.

    A short caution stands on every card; one that is too long for that has cards of its own at
    the end.
    """
    page, sheets = _compose(
        (size.width(), size.height()) if isinstance(size, QSize) else size, text
    )
    count = len(sheets)
    return tuple(
        _painted(page, sheet, f"{number} / {count}" if count > 1 else "")
        for number, sheet in enumerate(sheets, start=1)
    )


def _compose(size: tuple[int, int], text: ClosingText) -> tuple[Page, list[_Sheet]]:
    words = clean_paragraphs(text.caution)
    pieces = _pieces(text)
    guess = is_right_to_left(" ".join(piece.text for piece in pieces) or words)
    page = Page(*size, guess if text.right_to_left is None else text.right_to_left)
    share = _CAUTION_SHARE if page.is_upright else _CAUTION_SHARE_ACROSS
    caution = page.caution_block(words, share * page.height) if words else None
    if caution is None or caution.is_whole:
        return page, _sheets(page, text.heading, pieces, caution)
    long_caution = [Piece(words, _LONG_CAUTION_UNITS, REGULAR, INK, 0.0)]
    first = _sheets(page, text.heading, pieces, None) if pieces else []
    return page, [*first, *_sheets(page, text.caution_heading, long_caution, None)]


def _pieces(text: ClosingText) -> list[Piece]:
    pieces: list[Piece] = []
    for exercise in text.exercises:
        words, often = clean_paragraphs(exercise.text), clean_line(exercise.repetitions)
        if words or often:
            pieces.append(
                Piece(
                    words or often,
                    4.7,
                    REGULAR,
                    INK,
                    3.6,
                    is_first=True,
                    keep_with_next=bool(words and often),
                )
            )
        if words and often:
            pieces.append(Piece(often, 4.3, STRONG, ACCENT, 0.5))
    if coach := clean_line(text.coach):
        pieces.append(Piece(coach, 4.3, REGULAR, QUIET_INK, 5.0))
    return pieces


def _sheets(
    page: Page, heading: str, pieces: Sequence[Piece], caution: TextBlock | None
) -> list[_Sheet]:
    """One card if a slightly smaller text allows it, else as many as it takes at full size."""
    room = page.text(caution)
    head = lay_out(
        clean_line(heading) or " ",
        page.text_px(_HEADING_UNITS),
        room.width(),
        weight=STRONG,
        right_to_left=page.right_to_left,
        max_lines=2,
    ).balanced()
    room.setTop(room.top() + head.height + 2.4 * page.unit)
    placed = flow(pieces, page, room, 1.0)
    for scale in _SCALES:
        smaller = flow(pieces, page, room, scale)
        if len(smaller) == 1:
            placed = smaller
            break
    return [_Sheet(head, room, on_this, caution) for on_this in placed]


def _painted(page: Page, sheet: _Sheet, number: str) -> QImage:
    image = blank(page)
    painter = painter_on(image)
    bottom = max([sheet.room.top(), *(one.bottom for one in sheet.placed)])
    paint_ground(painter, page, bottom)
    sheet.heading.paint(painter, sheet.room.left(), page.inside.top(), QColor(INK))
    for one in sheet.placed:
        if one.piece.is_first:
            _paint_bullet(painter, page, one)
        one.block.paint(painter, sheet.room.left(), one.top, QColor(one.piece.colour))
    if sheet.caution is not None:
        paint_caution(painter, page, sheet.caution)
    _paint_number(painter, page, number)
    painter.end()
    return image


def _paint_bullet(painter: QPainter, page: Page, placed: Placed) -> None:
    side = 1.05 * placed.block.px
    line = placed.block.height / placed.block.line_count
    middle = placed.top + line / 2.0
    paint_kind(
        painter, "exercise", QRectF(page.plumb_x - side / 2.0, middle - side / 2.0, side, side)
    )


def _paint_number(painter: QPainter, page: Page, number: str) -> None:
    if not number:
        return
    block = lay_out(number, page.text_px(3.4), page.width)
    inside = page.inside
    x = inside.left() if page.right_to_left else inside.right() - block.ink_width
    y = (inside.top() - block.height) / 2.0 + 0.8 * page.unit
    block.paint(painter, x, y, QColor(QUIET_INK))
