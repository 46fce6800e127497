"""The shot guide on paper: each step a drawing with its words, two beside each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from PyQt6.QtCore import QByteArray, QRectF
from PyQt6.QtGui import QPainter
from PyQt6.QtSvg import QSvgRenderer

from cliptag.paint.card_page import ACCENT, INK, QUIET_INK
from cliptag.paint.ready import ensure_painter_ready
from cliptag.paint.summary_blocks import Block, Columns, Panel, Stack, Text, mm
from cliptag.paint.summary_sheet import SheetFacts, write_sheets
from cliptag.paint.text import clean_line, clean_paragraphs
from cliptag.paint.typefaces import REGULAR, STRONG

_SKETCH_HEIGHT: Final = mm(26.5)


@dataclass(frozen=True, slots=True)
class GuideStep:
    """``sketch`` is a drawing as SVG."""

    title: str
    text: str
    sketch: str


@dataclass(frozen=True, slots=True)
class GuideText:
    """What the guide says, as it should read."""

    heading: str
    about: str
    steps: tuple[GuideStep, ...]
    caution_heading: str
    caution: str
    closing: str
    language: str
    right_to_left: bool
    page_words: Callable[[int, int], str]


@dataclass(frozen=True, slots=True)
class _Drawing:
    """An SVG, as high as a step's drawings are, in the middle of its place."""

    svg: str
    space_before: float = 0.0

    def height(self, width: float) -> float:
        return _SKETCH_HEIGHT

    def paint(self, painter: QPainter, x: float, y: float, width: float) -> None:
        renderer = QSvgRenderer(QByteArray(self.svg.encode("utf-8")))
        size = renderer.defaultSize()
        wide = _SKETCH_HEIGHT * size.width() / size.height()
        renderer.render(painter, QRectF(x + (width - wide) / 2, y, wide, _SKETCH_HEIGHT))

    def parts(self, width: float, room: float) -> tuple[Block, Block] | None:
        return None


def write_guide_sheet(path: Path, text: GuideText) -> int:
    """Write the guide as a PDF; gives how many pages it takes. Raises OSError."""
    ensure_painter_ready()
    facts = SheetFacts(clean_line(text.heading), text.language, text.right_to_left, text.page_words)
    return write_sheets(path, _head(text), list(_blocks(text)), facts)


def _head(text: GuideText) -> Block:
    rows = [_say(text, text.heading, 21, strong=True)]
    if text.about:
        rows.append(_say(text, clean_line(text.about), 10.5, colour=QUIET_INK))
    return Stack((*rows, _say(text, " ", 3)))


def _blocks(text: GuideText) -> Iterator[Block]:
    closing = _say(text, text.closing, 9.5, colour=QUIET_INK, before=3.0)
    last = Stack((_caution(text), closing))
    cells = [*(_step(text, step) for step in text.steps), last]
    for place in range(0, len(cells), 2):
        pair: tuple[Block | None, ...] = tuple(cells[place : place + 2])
        pair += (None,) * (2 - len(pair))
        yield Columns(pair, (1.0, 1.0), mm(9.0), text.right_to_left, mm(4.0))


def _caution(text: GuideText) -> Block:
    return Panel(
        Stack(
            (
                _say(text, text.caution_heading, 11, strong=True, colour=ACCENT),
                _say(text, text.caution, 9.5, before=0.8),
            )
        )
    )


def _step(text: GuideText, step: GuideStep) -> Block:
    return Stack(
        (
            _Drawing(step.sketch),
            _say(text, step.title, 11.5, strong=True, before=1.0),
            _say(text, step.text, 9.5, before=0.4),
        )
    )


def _say(
    text: GuideText,
    words: str,
    points: float,
    *,
    strong: bool = False,
    colour: str = INK,
    before: float = 0.0,
) -> Text:
    return Text(
        clean_paragraphs(words),
        points,
        STRONG if strong else REGULAR,
        colour,
        mm(before),
        text.right_to_left,
    )
