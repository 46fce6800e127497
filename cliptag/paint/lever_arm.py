"""The lever-arm lesson as a picture: the same load far and near, and what each asks of the back.

It is drawn from numbers alone and reads tall, for a phone, or wide.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPen

from cliptag.paint.card_page import (
    ACCENT,
    INK,
    PANEL,
    QUIET_INK,
    Page,
    blank,
    paint_caution,
    painter_on,
)
from cliptag.paint.lever_arm_figure import (
    BODY,
    LOAD,
    At,
    Figure,
    extent,
    paint_figure,
    view_of,
)
from cliptag.paint.text import TextBlock, clean_line, clean_paragraphs, fit, lay_out
from cliptag.paint.typefaces import STRONG

TALL: Final = (1080, 1920)
WIDE: Final = (1920, 1080)

_BAR: Final = 5.0
"""How thick a bar is, in units of the page."""
_KEY: Final = 3.6
"""A patch of colour and the gap after it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """What one way to hold the load asks of the low back; ``sd`` is a standard uncertainty.

    ``body`` is the part of ``total`` that the body's own weight has; ``text`` tells the total.
    """

    words: str
    body: float
    total: float
    sd: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeverArmText:
    """All words of the picture, as they should read."""

    headline: str
    far: str
    near: str
    bars: str
    body: str
    load: str
    sureness: str
    caution: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeverArm:
    """A lesson to draw: places in metres (x forward, y up), moments in one unit."""

    figure: Figure
    far_load: At
    near_load: At
    far_bar: Bar
    near_bar: Bar
    text: LeverArmText


def lever_arm(size: QSize | tuple[int, int], lesson: LeverArm) -> QImage:
    """The picture, ``width`` x ``height`` pixels; call ``ensure_painter_ready`` before."""
    width, height = (size.width(), size.height()) if isinstance(size, QSize) else size
    page = _Sheet(width, height, right_to_left=False)
    image = blank(page)
    painter = painter_on(image)
    try:
        _paint(painter, page, lesson)
    finally:
        painter.end()
    return image


class _Sheet(Page):
    """A page whose caution lies across its foot, tall or wide."""

    __slots__ = ()

    @property
    def is_upright(self) -> bool:
        return True


def _paint(painter: QPainter, page: Page, lesson: LeverArm) -> None:
    inside, unit, text = page.inside, page.unit, lesson.text
    caution = page.caution_block(clean_paragraphs(text.caution), 0.2 * page.height)
    paint_caution(painter, page, caution)
    is_wide = page.width > page.height
    head = fit(
        _kept_together(text.headline),
        page.text_px(6.0),
        page.text_px(3.4),
        inside.width(),
        most_height=0.15 * page.height,
        most_lines=1 if is_wide else None,
        weight=STRONG,
    ).balanced()
    head.paint(painter, inside.left(), inside.top(), QColor(ACCENT))
    top = inside.top() + head.height + 3.5 * unit
    low = page.caution_panel(caution).top() - 4 * unit
    room = QRectF(inside.left(), top, inside.width(), low - top)
    if is_wide:
        bars = QRectF(room)
        bars.setLeft(room.left() + 0.54 * room.width())
        room.setRight(bars.left() - 4 * unit)
        chart = _chart(page, lesson, bars.width())
        bars.setTop(max(top, bars.center().y() - chart.height / 2))
    else:
        chart = _chart(page, lesson, room.width())
        bars = QRectF(room)
        bars.setTop(low - chart.height)
        room.setBottom(bars.top() - 4 * unit)
    _paint_figures(painter, page, lesson, room)
    _paint_chart(painter, page, bars, lesson, chart)


def _kept_together(headline: str) -> str:
    """Numbers with their units and uncertainty, which no line break may part."""
    return re.sub(
        r"(?<=\d) (?=%|cm)|(?<=%) (?=±)|(?<=±) ", "\N{NO-BREAK SPACE}", clean_line(headline)
    )


def _paint_figures(painter: QPainter, page: Page, lesson: LeverArm, room: QRectF) -> None:
    """Both at one size and in one place of their panels, so that they can be compared."""
    loads = (lesson.far_load, lesson.near_load)
    box, gap = extent(lesson.figure, loads), 2 * page.unit
    panel = QRectF(room.left(), room.top(), (room.width() - gap) / 2, room.height())
    words = (lesson.text.far, lesson.text.near)
    for load, told in zip(loads, words, strict=True):
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(PANEL))
        painter.drawRoundedRect(panel, 1.6 * page.unit, 1.6 * page.unit)
        pad = 2.5 * page.unit
        view = view_of(box, panel.adjusted(pad, pad, -pad, -pad))
        paint_figure(painter, view, lesson.figure, load, told, page.text_px(3.7))
        panel.translate(panel.width() + gap, 0.0)


@dataclass(frozen=True, slots=True)
class _Chart:
    """The words of the bars, laid out; ``bar`` is the height of one with its words."""

    title: TextBlock
    key: tuple[TextBlock, TextBlock]
    is_one_row: bool
    note: TextBlock
    bar: float
    height: float


def _chart(page: Page, lesson: LeverArm, width: float) -> _Chart:
    unit, text = page.unit, lesson.text
    title = lay_out(clean_line(text.bars), page.text_px(3.7), width, weight=STRONG)
    room = width - _KEY * unit
    body, load = (
        lay_out(clean_line(words), page.text_px(3.3), room, max_lines=1)
        for words in (text.body, text.load)
    )
    is_one_row = body.ink_width + load.ink_width + (2 * _KEY + 2.5) * unit <= width
    note = lay_out(clean_line(text.sureness), page.text_px(3.3), width)
    bar = 1.5 * page.text_px(3.5) + _BAR * unit + 3 * unit
    key = body.height if is_one_row else body.height + load.height
    height = title.height + 2.5 * unit + key + 2 * bar + note.height
    return _Chart(title, (body, load), is_one_row, note, bar, height)


def _paint_chart(
    painter: QPainter, page: Page, room: QRectF, lesson: LeverArm, chart: _Chart
) -> None:
    unit, y = page.unit, room.top()
    chart.title.paint(painter, room.left(), y, QColor(INK))
    y += chart.title.height + unit
    x, side = room.left(), (_KEY - 1.0) * unit
    for colour, block in zip((BODY, LOAD), chart.key, strict=True):
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(colour))
        painter.drawRect(QRectF(x, y + (block.height - side) / 2, side, side))
        block.paint(painter, x + side + unit, y, QColor(INK))
        if chart.is_one_row:
            x += side + 3.5 * unit + block.ink_width
        else:
            y += block.height
    y += 1.5 * unit + (chart.key[0].height if chart.is_one_row else 0.0)
    bars = (lesson.far_bar, lesson.near_bar)
    most = max(bar.total + 2 * bar.sd for bar in bars)
    for bar in bars:
        _paint_bar(painter, page, QRectF(room.left(), y, room.width(), chart.bar), bar, most)
        y += chart.bar
    chart.note.paint(painter, room.left(), y, QColor(QUIET_INK))


def _paint_bar(painter: QPainter, page: Page, room: QRectF, bar: Bar, most: float) -> None:
    unit = page.unit
    words = lay_out(clean_line(bar.words), page.text_px(3.5), room.width())
    value = lay_out(clean_line(bar.text), page.text_px(3.5), room.width(), weight=STRONG)
    words.paint(painter, room.left(), room.top(), QColor(INK))
    value.paint(painter, room.right() - value.ink_width, room.top(), QColor(INK))
    top = room.top() + words.height + 0.6 * unit
    scale = room.width() / most
    body = scale * min(max(0.0, bar.body), bar.total)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(BODY))
    painter.drawRect(QRectF(room.left(), top, body, _BAR * unit))
    painter.setBrush(QColor(LOAD))
    rest = scale * bar.total - body
    painter.drawRect(QRectF(room.left() + body, top, rest, _BAR * unit))
    middle = top + _BAR / 2 * unit
    low, high = (room.left() + scale * (bar.total + k * bar.sd) for k in (-2, 2))
    line = 0.45 * unit
    painter.setPen(QPen(QColor(INK), line))
    painter.drawLine(QPointF(low, middle), QPointF(high - line, middle))
    for x in (low, high - line):
        painter.drawLine(QPointF(x, middle - 1.4 * unit), QPointF(x, middle + 1.4 * unit))
