"""The first picture that a client sees."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QSize
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
_CAUTION_SHARE: Final = 0.36
_ABOVE: Final = 0.45
"""The share of the free height that stays above the text."""


@dataclass(frozen=True, slots=True)
class TitleText:
    """What the title card says, as it should read; what is empty is left out.

    ``client`` is the name that the client chose to be called by.
    """

    client: str = ""
    movement: str = ""
    date: str = ""
    week: str = ""
    coach: str = ""
    caution: str = ""
    heading: str = "Movement review"


@dataclass(frozen=True, slots=True)
class _Row:
    text: str
    units: float
    weight: int
    colour: str
    space_before: float


def title_card(size: QSize | tuple[int, int], text: TitleText) -> QImage:
    """A card of width x height pixels.

    Text that is too long shrinks, then wraps, and is cut short with an ellipsis at the last; the
    closing cards carry the whole caution.
    """
    width, height = (size.width(), size.height()) if isinstance(size, QSize) else size
    rows = _rows(text)
    caution = clean_paragraphs(text.caution)
    page = Page(width, height, is_right_to_left(_own_words(text) or caution))
    share = _CAUTION_SHARE if page.is_upright else 0.8
    block = page.caution_block(caution, share * height) if caution else None
    room = page.text(block)
    scale, blocks = _fitted(rows, page, room.width(), room.height())
    total = _height(rows, blocks, scale * page.unit)
    y = room.top() + _ABOVE * max(0.0, room.height() - total)
    image = blank(page)
    painter = painter_on(image)
    paint_ground(painter, page, y + total)
    for row, laid_out in zip(rows, blocks, strict=True):
        y += row.space_before * scale * page.unit
        laid_out.paint(painter, room.left(), y, QColor(row.colour))
        y += laid_out.height
    if block is not None:
        paint_caution(painter, page, block)
    painter.end()
    return image


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
    """The rows at the largest scale at which they fit; at the smallest one cut to fit."""
    for scale in _SCALES:
        blocks = [_laid_out(row, page, scale, width) for row in rows]
        fits = _height(rows, blocks, scale * page.unit) <= height
        if fits and not any(block.breaks_a_word for block in blocks):
            break
    # What is too long even so loses its last lines.
    lines = max((block.line_count for block in blocks), default=0)
    while lines > 1 and _height(rows, blocks, scale * page.unit) > height:
        lines -= 1
        blocks = [_laid_out(row, page, scale, width, lines) for row in rows]
    return scale, [block.balanced() for block in blocks]


def _laid_out(
    row: _Row, page: Page, scale: float, width: float, max_lines: int | None = None
) -> TextBlock:
    return lay_out(
        row.text,
        page.text_px(scale * row.units),
        width,
        weight=row.weight,
        right_to_left=page.right_to_left,
        max_lines=max_lines,
    )


def _height(rows: list[_Row], blocks: list[TextBlock], unit: float) -> float:
    spaces = sum(row.space_before for row in rows) * unit
    return spaces + sum(block.height for block in blocks)
