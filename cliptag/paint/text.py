"""Text laid out in lines: wrapped, in its own direction, shrunk or cut short when it must be."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from typing import Final, Literal

from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QColor, QPainter, QPen, QTextLayout, QTextOption

from cliptag.paint.typefaces import REGULAR, font, metrics

Align = Literal["leading", "centre"]

_LINE_SEPARATOR: Final = "\u2028"
_LEAST_LEADING: Final = 1.3
_MOST_LEADING: Final = 1.6
_SHRINK_STEP: Final = 0.94


def clean_line(text: str) -> str:
    """The text as one line: NFC, without control characters or halves of characters."""
    return " ".join(_printable(text).split())


def clean_paragraphs(text: str) -> str:
    """The text with its line breaks kept, as Qt wants them; runs of empty lines become one."""
    lines = [" ".join(line.split()) for line in re.split(r"\r\n|[\n\r\u2028\u2029]", text)]
    joined = re.sub(r"\n{3,}", "\n\n", "\n".join(_printable(line) for line in lines).strip("\n"))
    return joined.replace("\n", _LINE_SEPARATOR)


def _printable(text: str) -> str:
    return "".join(
        " "
        if unicodedata.category(char) == "Cc"
        else "\ufffd"
        if "\ud800" <= char <= "\udfff"
        else char
        for char in unicodedata.normalize("NFC", text)
    )


def is_right_to_left(text: str) -> bool:
    """Whether the first letter with a direction is of a right-to-left script (UAX #9, P2-P3)."""
    for char in text:
        direction = unicodedata.bidirectional(char)
        if direction == "L":
            return False
        if direction in ("R", "AL"):
            return True
    return False


@dataclass(frozen=True, slots=True)
class TextBlock:
    """Lines of text in a box of ``width`` x ``height`` pixels, ready to paint.

    ``ink_width`` is the width of its widest line. ``is_whole`` is False when the text was cut
    short with an ellipsis.
    """

    layout: QTextLayout
    width: float
    height: float
    ink_width: float
    line_count: int
    px: int
    is_whole: bool

    def paint(self, painter: QPainter, x: float, y: float, colour: QColor) -> None:
        """Paint with the box's top left corner at (x, y)."""
        painter.setPen(QPen(colour))
        self.layout.draw(painter, QPointF(x, y))


def lay_out(
    text: str,
    px: int,
    width: float,
    *,
    weight: int = REGULAR,
    align: Align = "leading",
    right_to_left: bool | None = None,
    max_lines: int | None = None,
) -> TextBlock:
    """Wrap cleaned text to a width; cut it short with an ellipsis after ``max_lines``.

    ``right_to_left`` None: as the text itself begins.
    """
    rtl = is_right_to_left(text) if right_to_left is None else right_to_left
    layout, height, starts = _wrapped(text, px, width, weight, align, rtl)
    is_whole = max_lines is None or len(starts) <= max_lines
    if not is_whole and max_lines is not None:
        head, rest = split_utf16(text, starts[max_lines - 1])
        rest = metrics(px, weight).elidedText(
            rest.replace(_LINE_SEPARATOR, " ") + "…", Qt.TextElideMode.ElideRight, width
        )
        layout, height, starts = _wrapped(head + rest, px, width, weight, align, rtl)
    lines = [layout.lineAt(i) for i in range(layout.lineCount())]
    ink_width = max((line.naturalTextWidth() for line in lines), default=0.0)
    return TextBlock(layout, width, height, ink_width, len(lines), px, is_whole)


def fit(
    text: str,
    px: int,
    least_px: int,
    width: float,
    height: float,
    *,
    weight: int = REGULAR,
    align: Align = "leading",
    right_to_left: bool | None = None,
) -> TextBlock:
    """The largest text between two sizes that fits a box; the smallest is cut short to fit."""
    size = px
    while True:
        block = lay_out(text, size, width, weight=weight, align=align, right_to_left=right_to_left)
        if block.height <= height or size <= least_px:
            break
        size = max(least_px, min(size - 1, math.floor(size * _SHRINK_STEP)))
    if block.height <= height:
        return block
    lines = max(1, math.floor(height / (block.height / block.line_count)))
    return lay_out(
        text, size, width, weight=weight, align=align, right_to_left=right_to_left, max_lines=lines
    )


def split_utf16(text: str, units: int) -> tuple[str, str]:
    """Split where Qt counts: an emoji is two of its units."""
    raw = text.encode("utf-16-le")
    return raw[: 2 * units].decode("utf-16-le"), raw[2 * units :].decode("utf-16-le")


def _wrapped(
    text: str, px: int, width: float, weight: int, align: Align, rtl: bool
) -> tuple[QTextLayout, float, list[int]]:
    leading = Qt.AlignmentFlag.AlignRight if rtl else Qt.AlignmentFlag.AlignLeft
    option = QTextOption(
        Qt.AlignmentFlag.AlignHCenter
        if align == "centre"
        else leading | Qt.AlignmentFlag.AlignAbsolute
    )
    option.setTextDirection(
        Qt.LayoutDirection.RightToLeft if rtl else Qt.LayoutDirection.LeftToRight
    )
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout = QTextLayout(text, font(px, weight))
    layout.setTextOption(option)
    layout.beginLayout()
    y = 0.0
    starts: list[int] = []
    while (line := layout.createLine()).isValid():
        line.setLineWidth(width)
        # Some scripts' fonts claim more height than a line of captions can spare.
        advance = min(max(line.height(), _LEAST_LEADING * px), _MOST_LEADING * px)
        line.setPosition(QPointF(0.0, y + (advance - line.height()) / 2.0))
        starts.append(line.textStart())
        y += advance
    layout.endLayout()
    return layout, y, starts
