"""A caption: up to two lines on a plate, with the note's kind and region above them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from PyQt6.QtCore import QRectF, Qt
from PyQt6.QtGui import QColor, QPainter, QPainterPath

from cliptag.paint.colours import PLATE_TEXT, plate_colour
from cliptag.paint.shapes import paint_kind
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import TextBlock, clean_line, fit, is_right_to_left, lay_out
from cliptag.paint.typefaces import STRONG
from cliptag.review import Kind, Region
from cliptag.words import ENGLISH, Words

Place = Literal["top", "bottom"]

_ENDLESS: Final = 1e6
_LEAST_SHRINK: Final = 0.6
_HEADING_GAP: Final = 0.22
"""Between heading and text, in heights of the heading's font."""


@dataclass(frozen=True, slots=True)
class CaptionText:
    """What a caption says: ``heading`` as by ``caption_heading``; ``kind`` None: no shape."""

    lines: tuple[str, ...]
    heading: str
    kind: Kind | None
    place: Place


def caption_heading(kind: Kind | None, region: Region, words: Words = ENGLISH) -> str:
    """The words above a caption: 'Try this · Knees'; without a kind only the region's."""
    place = words.region(region)
    return place if kind is None else f"{words.kind(kind)} · {place}"


def line_fits(text: str, sizes: Sizes) -> bool:
    """Whether a line of a caption fits the plate at the full caption size."""
    return text_width_px(text, sizes) <= sizes.caption_text_width


def text_width_px(text: str, sizes: Sizes) -> float:
    """How wide a caption's line is at the full caption size, in picture pixels."""
    return _width(clean_line(text), sizes.caption_px)


@lru_cache(maxsize=20_000)
def _width(text: str, px: int) -> float:
    # Not the sum of advances: the last letter may reach out farther, and the line would wrap.
    return lay_out(text, px, _ENDLESS).ink_width


def caption_box(caption: CaptionText, sizes: Sizes) -> QRectF:
    """The rectangle of whole picture pixels that ``paint_caption`` touches."""
    plate = _Plate(caption, sizes).box
    return QRectF(plate.adjusted(-0.5, -0.5, 0.5, 0.5).toAlignedRect()).intersected(sizes.picture)


def paint_caption(painter: QPainter, caption: CaptionText, sizes: Sizes) -> None:
    """Paint a caption; the painter is in picture coordinates, at any scale."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.setClipRect(sizes.picture, Qt.ClipOperation.IntersectClip)
    _Plate(caption, sizes).paint(painter)
    painter.restore()


class _Plate:
    """A caption laid out: ``box`` is the plate, in picture pixels."""

    def __init__(self, caption: CaptionText, sizes: Sizes) -> None:
        texts = [line for line in map(clean_line, caption.lines) if line]
        rtl = is_right_to_left(" ".join(texts) or caption.heading)
        self._sizes = sizes
        self._heading = _Heading(caption, sizes, rtl)
        self._lines = [_line(text, sizes, rtl) for text in texts]
        inner = max([self._heading.width, *(line.ink_width for line in self._lines)])
        width = min(inner + 2.0 * sizes.plate_pad_x, sizes.caption_width)
        height = self._heading.height + sum(line.height for line in self._lines)
        height += 2.0 * sizes.plate_pad_y
        bottom = sizes.picture_height - sizes.margin_y
        top = sizes.margin_y if caption.place == "top" else bottom - height
        self.box = QRectF((sizes.picture_width - width) / 2.0, top, width, height)

    def paint(self, painter: QPainter) -> None:
        outline = QPainterPath()
        radius = 0.32 * self._sizes.caption_px
        outline.addRoundedRect(self.box, radius, radius)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.fillPath(outline, plate_colour())
        y = self.box.top() + self._sizes.plate_pad_y
        self._heading.paint(painter, self.box.center().x(), y)
        y += self._heading.height
        for line in self._lines:
            line.paint(painter, self.box.center().x() - line.width / 2.0, y, QColor(PLATE_TEXT))
            y += line.height


class _Heading:
    """The kind's shape and the words beside it, on the side where reading starts."""

    def __init__(self, caption: CaptionText, sizes: Sizes, right_to_left: bool) -> None:
        px, words = sizes.heading_px, clean_line(caption.heading)
        self._kind, self._right_to_left = caption.kind, right_to_left
        self._side = float(px) if caption.kind is not None else 0.0
        self._gap = 0.4 * self._side if words else 0.0
        self._words = lay_out(
            words,
            px,
            sizes.caption_text_width - self._side - self._gap,
            weight=STRONG,
            right_to_left=right_to_left,
            max_lines=1,
        )
        self.width = self._side + self._gap + self._words.ink_width
        self.height = self._words.height + _HEADING_GAP * px if words or self._side else 0.0

    def paint(self, painter: QPainter, middle_x: float, top: float) -> None:
        left, side = middle_x - self.width / 2.0, self._side
        right = left + self.width
        if self._kind is not None:
            x = right - side if self._right_to_left else left
            y = top + (self._words.height - side) / 2.0
            paint_kind(painter, self._kind, QRectF(x, y, side, side))
        # The block is as wide as it may be; its words stand at the side where reading starts.
        x = right - side - self._gap - self._words.width
        if not self._right_to_left:
            x = left + side + self._gap
        self._words.paint(painter, x, top, QColor(PLATE_TEXT))


def _line(text: str, sizes: Sizes, right_to_left: bool) -> TextBlock:
    """One line; a single word that is too long for it shrinks, and is cut short at the last."""
    px = sizes.caption_px
    return fit(
        text,
        px,
        round(_LEAST_SHRINK * px),
        # A hair more, or rounding would wrap a line that ``line_fits``.
        sizes.caption_text_width + 1.0,
        most_lines=1,
        align="centre",
        right_to_left=right_to_left,
    )
