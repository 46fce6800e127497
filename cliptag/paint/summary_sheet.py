"""Blocks on A4 sheets, written as a PDF with real text in embedded fonts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PyQt6.QtCore import QMarginsF, QPointF, Qt
from PyQt6.QtGui import QColor, QPageSize, QPainter, QPainterPath, QPdfWriter, QPen

from cliptag.paint.card_page import ACCENT, QUIET_INK
from cliptag.paint.pdf_times import take_times_out
from cliptag.paint.summary_blocks import DPI, Block, mm, pt
from cliptag.paint.text import clean_line, lay_out

_WIDTH: Final = mm(210.0)
_HEIGHT: Final = mm(297.0)
_MARGIN_X: Final = mm(18.0)
_TOP: Final = mm(16.0)
_BOTTOM: Final = mm(18.0)
_ROOM: Final = _HEIGHT - _TOP - _BOTTOM
_PLUMB_INDENT: Final = mm(8.0)
_LEAST_ROOM: Final = mm(30.0)
"""A heading isn't left alone at the foot of a page."""


@dataclass(frozen=True, slots=True)
class SheetFacts:
    """What a document tells of itself. ``page_words`` are those at the foot of each page."""

    title: str
    language: str
    right_to_left: bool
    page_words: Callable[[int, int], str]


@dataclass(frozen=True, slots=True)
class _Placed:
    block: Block
    y: float


def write_sheets(path: Path, head: Block, blocks: Sequence[Block], facts: SheetFacts) -> int:
    """Write a PDF of as many A4 pages as it takes, nothing left out; gives their number.

    ``head`` stands beside the plumb line on the first page. Raises OSError.
    """
    head_height = head.height(_text_width() - _PLUMB_INDENT)
    pages = flow_blocks(blocks, _text_width(), _ROOM, head_height)
    writer = QPdfWriter(str(path))
    writer.setResolution(DPI)
    writer.setPageSize(QPageSize(QPageSize.PageSizeId.A4))
    writer.setPageMargins(QMarginsF(0.0, 0.0, 0.0, 0.0))
    writer.setTitle(facts.title)
    writer.setCreator("cliptag")
    painter = QPainter()
    if not painter.begin(writer):
        raise OSError(f"{path.name} can't be written")
    for number, page in enumerate(pages, start=1):
        if number > 1:
            writer.newPage()
        else:
            _paint_head(painter, head, head_height, facts.right_to_left)
        for placed in page:
            placed.block.paint(painter, _MARGIN_X, _TOP + placed.y, _text_width())
        _paint_foot(painter, facts.page_words(number, len(pages)))
    painter.end()
    tell_language(path, facts)
    take_times_out(path)
    return len(pages)


def flow_blocks(
    blocks: Sequence[Block], width: float, room: float, y: float = 0.0
) -> list[list[_Placed]]:
    """Place blocks on pages of ``room``, from ``y`` on the first; nothing is left out.

    A block goes to the next page whole if a page can hold it, else it is broken.
    """
    pages: list[list[_Placed]] = [[]]
    waiting = list(reversed(blocks))
    while waiting:
        block = waiting.pop()
        top = y + (block.space_before if y else 0.0)
        height = block.height(width)
        if top + height <= room:
            pages[-1].append(_Placed(block, top))
            y = top + height
            continue
        pair = None
        if height > room or room - top > _LEAST_ROOM:
            pair = block.parts(width, room - top)
        if pair is None and y == 0.0:
            pages[-1].append(_Placed(block, top))  # higher than a page and can't be parted
        elif pair is None:
            waiting.append(block)
        else:
            pages[-1].append(_Placed(pair[0], top))
            waiting.append(pair[1])
        if waiting:
            pages.append([])
        y = 0.0
    return pages


def _text_width() -> float:
    return _WIDTH - 2.0 * _MARGIN_X


def _paint_head(painter: QPainter, head: Block, height: float, right_to_left: bool) -> None:
    """The head beside a plumb line that hangs from the upper edge."""
    width = _text_width() - _PLUMB_INDENT
    head.paint(painter, _MARGIN_X + (0.0 if right_to_left else _PLUMB_INDENT), _TOP, width)
    x = _WIDTH - _MARGIN_X - mm(1.0) if right_to_left else _MARGIN_X + mm(1.0)
    bottom = _TOP + height - mm(2.0)
    painter.setPen(QPen(QColor(ACCENT), mm(0.5)))
    painter.drawLine(QPointF(x, 0.0), QPointF(x, bottom))
    bob = QPainterPath(QPointF(x, bottom + mm(2.2)))
    for side in (-1.0, 1.0):
        bob.moveTo(QPointF(x, bottom + mm(2.2)))
        bob.cubicTo(
            QPointF(x + side * mm(2.0), bottom + mm(0.4)),
            QPointF(x + side * mm(1.2), bottom - mm(0.7)),
            QPointF(x, bottom - mm(0.7)),
        )
    painter.setPen(Qt.PenStyle.NoPen)
    painter.fillPath(bob, QColor(ACCENT))


def _paint_foot(painter: QPainter, words: str) -> None:
    block = lay_out(clean_line(words) or " ", pt(8.5), _text_width(), align="centre")
    block.paint(painter, _MARGIN_X, _HEIGHT - mm(12.0), QColor(QUIET_INK))


def tell_language(path: Path, facts: SheetFacts) -> None:
    """Add what Qt's writer can't tell: the language, for whoever reads the text aloud.

    W3C, Techniques for WCAG, PDF16 (the document's language) and PDF18 (its title is shown).
    """
    # Loaded here because it takes a tenth of a second that the desk's start need not wait for.
    from pypdf import PdfWriter
    from pypdf.generic import (
        BooleanObject,
        DictionaryObject,
        NameObject,
        PdfObject,
        TextStringObject,
    )

    document = PdfWriter(clone_from=path)
    root = document.root_object
    root[NameObject("/Lang")] = TextStringObject(facts.language)
    preferences: dict[PdfObject, PdfObject] = {NameObject("/DisplayDocTitle"): BooleanObject(True)}
    if facts.right_to_left:
        preferences[NameObject("/Direction")] = NameObject("/R2L")
    root[NameObject("/ViewerPreferences")] = DictionaryObject(preferences)
    document.write(path)
