"""The first picture that a client sees."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QRectF, QSize
from PyQt6.QtGui import QColor, QImage

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
from cliptag.paint.text import (
    TextBlock,
    clean_line,
    clean_paragraphs,
    is_right_to_left,
    lay_out,
)
from cliptag.paint.typefaces import REGULAR, STRONG

_SCALES: Final = (1.0, 0.94, 0.88, 0.82, 0.76)
_OWN_SCALES: Final = (1.0, 0.88, 0.76, 0.64, 0.54)
_CAUTION_SHARE: Final = 0.3
_CAUTION_SHARE_ACROSS: Final = 0.75
_ABOVE: Final = 0.45
"""The share of the free height that stays above the text."""


@dataclass(frozen=True, slots=True)
class TitleText:
    """What the title card says, as it should read; what is empty is left out.

    ``client`` is the name that the client chose to be called by. ``right_to_left`` None: as the
    coach's own words begin.
    """

    client: str = ""
    movement: str = ""
    date: str = ""
    week: str = ""
    coach: str = ""
    caution: str = ""
    heading: str = "Movement review"
    right_to_left: bool | None = None


@dataclass(frozen=True, slots=True)
class _Row:
    text: str
    units: float
    weight: int
    colour: str
    space_before: float


@dataclass(frozen=True, slots=True)
class _PlacedRow:
    row: _Row
    block: TextBlock
    box: QRectF


@dataclass(frozen=True, slots=True)
class _Title:
    """The card before it is painted."""

    page: Page
    rows: tuple[_PlacedRow, ...]
    caution: TextBlock | None


def title_card(size: QSize | tuple[int, int], text: TitleText) -> QImage:
    """A card of width x height pixels.

    Text that is too long shrinks, then wraps, and is cut short with an ellipsis at the last; the
    closing cards carry the whole caution.
    """
    title = _compose((size.width(), size.height()) if isinstance(size, QSize) else size, text)
    image = blank(title.page)
    painter = painter_on(image)
    lowest = title.rows[-1].box.bottom() if title.rows else title.page.inside.center().y()
    paint_ground(painter, title.page, lowest)
    for placed in title.rows:
        placed.block.paint(painter, placed.box.left(), placed.box.top(), QColor(placed.row.colour))
    if title.caution is not None:
        paint_caution(painter, title.page, title.caution)
    painter.end()
    return image


def _compose(size: tuple[int, int], text: TitleText) -> _Title:
    rows = _rows(text)
    words = clean_paragraphs(text.caution)
    guess = is_right_to_left(_own_words(text) or words)
    page = Page(*size, guess if text.right_to_left is None else text.right_to_left)
    share = _CAUTION_SHARE if page.is_upright else _CAUTION_SHARE_ACROSS
    caution = page.caution_block(words, share * page.height) if words else None
    room = page.text(caution)
    scale, blocks = _fitted(rows, page, room.width(), room.height())
    rows = rows[: len(blocks)]
    spare = room.height() - _height(rows, blocks, scale * page.unit)
    y = room.top() + _ABOVE * max(0.0, spare)
    placed = []
    for row, block in zip(rows, blocks, strict=True):
        y += row.space_before * scale * page.unit
        placed.append(_PlacedRow(row, block, QRectF(room.left(), y, block.width, block.height)))
        y += block.height
    return _Title(page, tuple(placed), caution)


def _own_words(text: TitleText) -> str:
    """The words that the coach wrote, not those that cliptag brings along."""
    return " ".join(filter(None, (text.client, text.coach, text.movement)))


def _rows(text: TitleText) -> list[_Row]:
    when = " · ".join(filter(None, (clean_line(text.date), clean_line(text.week))))
    rows = [
        _Row(clean_line(text.heading), 3.9, STRONG, ACCENT, 0.0),
        _Row(clean_line(text.client), 13.0, STRONG, INK, 1.2),
        _Row(clean_line(text.movement), 6.2, REGULAR, INK, 0.6),
        _Row(when, 4.3, REGULAR, QUIET_INK, 5.0),
        _Row(clean_line(text.coach), 4.3, REGULAR, QUIET_INK, 0.4),
    ]
    return [row for row in rows if row.text]


def _fitted(
    rows: list[_Row], page: Page, width: float, height: float
) -> tuple[float, list[TextBlock]]:
    """The rows at the largest scale at which they fit; at the smallest one cut to fit.

    On a picture of a few lines' height the last rows are left out.
    """
    for scale in _SCALES:
        blocks = [_laid_out(row, page, scale, width) for row in rows]
        if _height(rows, blocks, scale * page.unit) <= height:
            break
    # What is too long even so loses its last lines.
    lines = max((block.line_count for block in blocks), default=0)
    while lines > 1 and _height(rows, blocks, scale * page.unit) > height:
        lines -= 1
        blocks = [_laid_out(row, page, scale, width, lines) for row in rows]
    while len(blocks) > 1 and _height(rows[: len(blocks)], blocks, scale * page.unit) > height:
        blocks.pop()
    return scale, [block.balanced() for block in blocks]


def _laid_out(
    row: _Row, page: Page, scale: float, width: float, max_lines: int | None = None
) -> TextBlock:
    """A row at a scale; it shrinks further by itself rather than break a word."""
    for own_scale in _OWN_SCALES:
        block = lay_out(
            row.text,
            page.text_px(own_scale * scale * row.units),
            width,
            weight=row.weight,
            right_to_left=page.right_to_left,
            max_lines=max_lines,
        )
        if not block.breaks_a_word:
            break
    return block


def _height(rows: list[_Row], blocks: list[TextBlock], unit: float) -> float:
    spaces = sum(row.space_before for row in rows) * unit
    return spaces + sum(block.height for block in blocks)
