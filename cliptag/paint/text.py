"""Text laid out in lines: wrapped, in its own direction, shrunk or cut short when it must be."""

from __future__ import annotations

import math
import re
import unicodedata
from dataclasses import dataclass
from typing import Final, Literal

from PyQt6.QtCore import QPointF, Qt, QTextBoundaryFinder
from PyQt6.QtGui import QColor, QPainter, QPen, QTextLayout, QTextOption

from cliptag.paint.typefaces import REGULAR, font, metrics

Align = Literal["leading", "centre"]

_ISOLATES: Final = ("LRI", "RLI", "FSI")
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


def is_right_to_left(text: str, usual: bool = False) -> bool:
    """Whether the first letter with a direction is of a right-to-left script (UAX #9, P2-P3).

    A text without any such letter goes the ``usual`` way.
    """
    depth = 0
    for char in text:
        direction = unicodedata.bidirectional(char)
        if direction in _ISOLATES:
            depth += 1
        elif direction == "PDI":
            depth = max(0, depth - 1)
        elif depth == 0 and direction in ("L", "R", "AL"):
            return direction != "L"
    return usual


@dataclass(frozen=True, slots=True)
class _Look:
    """Everything but the width that a layout follows from."""

    px: int
    weight: int
    align: Align
    right_to_left: bool


@dataclass(frozen=True, slots=True)
class TextBlock:
    """Lines of text in a box of ``width`` x ``height`` pixels, ready to paint.

    No line is wider than ``line_width``, which is ``width`` unless the lines were balanced.
    ``starts`` tells where in the text each line starts, in UTF-16 units. ``is_whole`` is False
    when the text was cut short with an ellipsis.
    """

    text: str
    look: _Look
    layout: QTextLayout
    width: float
    line_width: float
    height: float
    starts: tuple[int, ...]
    is_whole: bool

    @property
    def px(self) -> int:
        return self.look.px

    @property
    def line_count(self) -> int:
        return len(self.starts)

    @property
    def ink_width(self) -> float:
        """The width of the widest line."""
        return max(
            (self.layout.lineAt(i).naturalTextWidth() for i in range(self.line_count)), default=0.0
        )

    @property
    def breaks_a_word(self) -> bool:
        """Whether a word was too long for a line and goes on on the next."""
        finder = QTextBoundaryFinder(QTextBoundaryFinder.BoundaryType.Line, self.text)
        for start in self.starts:
            finder.setPosition(start)
            if not finder.isAtBoundary():
                return True
        return False

    def balanced(self) -> TextBlock:
        """The same lines, as equal in width as they can be without becoming more."""
        low, high = self.width / 2.0, self.width
        best = self
        while self.line_count > 1 and high - low > 0.02 * self.width:
            middle = (low + high) / 2.0
            tried = _wrapped(self.text, self.look, self.width, self.is_whole, middle)
            if tried.line_count > self.line_count or tried.breaks_a_word:
                low = middle
            else:
                high, best = middle, tried
        return best

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
    look = _Look(px, weight, align, rtl)
    block = _wrapped(text, look, width, is_whole=True)
    if max_lines is None or block.line_count <= max_lines:
        return block
    head, rest = split_utf16(text, block.starts[max_lines - 1])
    rest = metrics(px, weight).elidedText(
        rest.replace(_LINE_SEPARATOR, " ") + "…", Qt.TextElideMode.ElideRight, width
    )
    return _wrapped(head + rest, look, width, is_whole=False)


def fit(
    text: str,
    px: int,
    least_px: int,
    width: float,
    *,
    most_height: float = math.inf,
    most_lines: int | None = None,
    weight: int = REGULAR,
    align: Align = "leading",
    right_to_left: bool | None = None,
) -> TextBlock:
    """The largest text between two sizes that fits; at the smallest one it is cut short to fit."""
    size = px
    while True:
        block = lay_out(text, size, width, weight=weight, align=align, right_to_left=right_to_left)
        lines = most_lines or block.line_count
        if block.height > most_height:
            lines = min(lines, max(1, math.floor(most_height * block.line_count / block.height)))
        if block.line_count <= lines:
            return block
        if size <= least_px:
            break
        size = max(least_px, min(size - 1, math.floor(size * _SHRINK_STEP)))
    return lay_out(
        text, size, width, weight=weight, align=align, right_to_left=right_to_left, max_lines=lines
    )


def split_utf16(text: str, units: int) -> tuple[str, str]:
    """Split where Qt counts: an emoji is two of its units."""
    raw = text.encode("utf-16-le")
    return raw[: 2 * units].decode("utf-16-le"), raw[2 * units :].decode("utf-16-le")


def _wrapped(
    text: str, look: _Look, width: float, is_whole: bool, line_width: float | None = None
) -> TextBlock:
    line_width = width if line_width is None else line_width
    spare = width - line_width
    left = spare / 2.0 if look.align == "centre" else spare if look.right_to_left else 0.0
    leading = Qt.AlignmentFlag.AlignRight if look.right_to_left else Qt.AlignmentFlag.AlignLeft
    option = QTextOption(
        Qt.AlignmentFlag.AlignHCenter
        if look.align == "centre"
        else leading | Qt.AlignmentFlag.AlignAbsolute
    )
    option.setTextDirection(
        Qt.LayoutDirection.RightToLeft if look.right_to_left else Qt.LayoutDirection.LeftToRight
    )
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout = QTextLayout(text, font(look.px, look.weight))
    layout.setTextOption(option)
    layout.beginLayout()
    y = 0.0
    starts: list[int] = []
    while (line := layout.createLine()).isValid():
        line.setLineWidth(line_width)
        # Some scripts' fonts claim more height than a line of captions can spare.
        advance = min(max(line.height(), _LEAST_LEADING * look.px), _MOST_LEADING * look.px)
        line.setPosition(QPointF(left, y + (advance - line.height()) / 2.0))
        starts.append(line.textStart())
        y += advance
    layout.endLayout()
    return TextBlock(text, look, layout, width, line_width, y, tuple(starts), is_whole)
