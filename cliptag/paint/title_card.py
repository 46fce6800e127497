"""The first picture that a client sees."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QSize
from PyQt6.QtGui import QColor, QImage

from cliptag.paint.card_page import (
    ACCENT,
    CAUTION_UNITS,
    INK,
    LEAST_CAUTION_UNITS,
    QUIET_INK,
    Page,
    painter_on,
)
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import (
    TextBlock,
    clean_line,
    clean_paragraphs,
    fit,
    is_right_to_left,
    lay_out,
)
from cliptag.paint.typefaces import REGULAR, STRONG

_SCALES: Final = (1.0, 0.93, 0.86, 0.8, 0.74, 0.68, 0.62)
_CAUTION_SHARE: Final = 0.4


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
    """A picture of width x height pixels; text that is too long shrinks, wraps, is cut short."""
    width, height = (size.width(), size.height()) if isinstance(size, QSize) else size
    rows = _rows(text)
    page = Page(Sizes(width, height), is_right_to_left(" ".join(row.text for row in rows)))
    caution = _caution(page, text.caution)
    room = page.text
    if caution is not None:
        room.setBottom(page.caution_panel(caution).top() - 4.0 * page.unit)
    scale, blocks = _fitted(rows, page, room.width(), room.height())
    image = page.blank()
    painter = painter_on(image)
    total = _height(rows, blocks, scale * page.unit)
    y = room.top() + 0.42 * max(0.0, room.height() - total)
    page.paint_ground(painter, y + total)
    for row, block in zip(rows, blocks, strict=True):
        y += row.space_before * scale * page.unit
        block.paint(painter, room.left(), y, QColor(row.colour))
        y += block.height
    if caution is not None:
        page.paint_caution(painter, caution)
    painter.end()
    return image


def _rows(text: TitleText) -> list[_Row]:
    when = " · ".join(filter(None, (clean_line(text.date), clean_line(text.week))))
    rows = [
        _Row(clean_line(text.heading), 3.6, STRONG, ACCENT, 0.0),
        _Row(clean_line(text.client), 11.0, STRONG, INK, 1.0),
        _Row(clean_line(text.movement), 5.6, REGULAR, INK, 0.5),
        _Row(when, 4.0, REGULAR, QUIET_INK, 3.5),
        _Row(clean_line(text.coach), 4.0, REGULAR, QUIET_INK, 0.3),
    ]
    return [row for row in rows if row.text]


def _fitted(
    rows: list[_Row], page: Page, width: float, height: float
) -> tuple[float, list[TextBlock]]:
    """The rows at the largest scale that fits; at the smallest, each cut to its fair share."""
    for scale in _SCALES:
        blocks = [_laid_out(row, page, scale, width) for row in rows]
        if _height(rows, blocks, scale * page.unit) <= height:
            return scale, blocks
    spare = height - sum(row.space_before for row in rows) * scale * page.unit
    lines = 1
    best = [_laid_out(row, page, scale, width, lines) for row in rows]
    while True:
        lines += 1
        blocks = [_laid_out(row, page, scale, width, lines) for row in rows]
        if sum(block.height for block in blocks) > spare:
            return scale, best
        best = blocks


def _laid_out(
    row: _Row, page: Page, scale: float, width: float, max_lines: int | None = None
) -> TextBlock:
    return lay_out(
        row.text,
        page.sizes.text_px(scale * row.units),
        width,
        weight=row.weight,
        right_to_left=page.right_to_left,
        max_lines=max_lines,
    )


def _height(rows: list[_Row], blocks: list[TextBlock], unit: float) -> float:
    spaces = sum(row.space_before for row in rows) * unit
    return spaces + sum(block.height for block in blocks)


def _caution(page: Page, caution: str) -> TextBlock | None:
    words = clean_paragraphs(caution)
    if not words:
        return None
    return fit(
        words,
        page.sizes.text_px(CAUTION_UNITS),
        page.sizes.text_px(LEAST_CAUTION_UNITS),
        page.caution_width,
        _CAUTION_SHARE * page.sizes.picture_height,
        right_to_left=page.right_to_left,
    )
