"""A caption: up to two lines on a plate, with the note's kind and region above them."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final, Literal

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QPainter, QPainterPath

from cliptag.paint.colours import PLATE_TEXT, plate_colour
from cliptag.paint.shapes import paint_kind
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import TextBlock, clean_line, fit, is_right_to_left, lay_out
from cliptag.paint.typefaces import REGULAR, STRONG, metrics
from cliptag.review import KIND_WORDS, REGION_WORDS, Kind, Region

Place = Literal["top", "bottom"]

_LEAST_SHRINK: Final = 0.6


@dataclass(frozen=True, slots=True)
class CaptionText:
    """What a caption says: ``heading`` as by ``caption_heading``; ``kind`` None: no shape."""

    lines: tuple[str, ...]
    heading: str
    kind: Kind | None
    place: Place


def caption_heading(kind: Kind | None, region: Region) -> str:
    """The words above a caption: 'Try this · Knees'; without a kind only the region's."""
    words = REGION_WORDS[region]
    return words if kind is None else f"{KIND_WORDS[kind]} · {words}"


def line_fits(text: str, sizes: Sizes) -> bool:
    """Whether a line of a caption fits the plate at the full caption size."""
    return text_width_px(text, sizes) <= sizes.caption_text_width


def text_width_px(text: str, sizes: Sizes) -> float:
    """How wide a caption's line is at the full caption size, in picture pixels."""
    return _width(clean_line(text), sizes.caption_px)


@lru_cache(maxsize=20_000)
def _width(text: str, px: int) -> float:
    return metrics(px, REGULAR).horizontalAdvance(text)


def caption_box(caption: CaptionText, sizes: Sizes) -> QRectF:
    """The rectangle of whole picture pixels that ``paint_caption`` touches."""
    plate = _compose(caption, sizes).plate
    return QRectF(plate.adjusted(-0.5, -0.5, 0.5, 0.5).toAlignedRect()).intersected(sizes.picture)


def paint_caption(painter: QPainter, caption: CaptionText, sizes: Sizes) -> None:
    """Paint a caption; the painter is in picture coordinates, at any scale."""
    parts = _compose(caption, sizes)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.setClipRect(sizes.picture, Qt.ClipOperation.IntersectClip)
    outline = QPainterPath()
    radius = 0.3 * sizes.caption_px
    outline.addRoundedRect(parts.plate, radius, radius)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.fillPath(outline, plate_colour())
    text = QColor(PLATE_TEXT)
    if caption.kind is not None:
        paint_kind(painter, caption.kind, parts.shape)
    if parts.heading is not None:
        parts.heading.paint(painter, parts.heading_at.x(), parts.heading_at.y(), text)
    y = parts.lines_top
    for block in parts.lines:
        block.paint(painter, parts.lines_left, y, text)
        y += block.height
    painter.restore()


@dataclass(frozen=True, slots=True)
class _Parts:
    plate: QRectF
    shape: QRectF
    heading: TextBlock | None
    heading_at: QPointF
    lines: tuple[TextBlock, ...]
    lines_left: float
    lines_top: float


def _compose(caption: CaptionText, sizes: Sizes) -> _Parts:
    texts = [line for line in map(clean_line, caption.lines) if line]
    rtl = is_right_to_left(" ".join(texts) or caption.heading)
    room = sizes.caption_text_width
    lines = tuple(_line(text, sizes, room, rtl) for text in texts)
    words = clean_line(caption.heading)
    side = sizes.heading_px if caption.kind is not None else 0.0
    gap = 0.4 * side
    heading = (
        lay_out(
            words,
            sizes.heading_px,
            room - side - gap,
            weight=STRONG,
            right_to_left=rtl,
            max_lines=1,
        )
        if words
        else None
    )
    heading_width = side + (gap + heading.ink_width if heading else 0.0)
    heading_height = heading.height if heading else 1.3 * side
    inner = max([heading_width, *(block.ink_width for block in lines)])
    height = heading_height + sum(block.height for block in lines) + 2.0 * sizes.plate_pad_y
    width = min(inner + 2.0 * sizes.plate_pad_x, sizes.caption_width)
    left = (sizes.picture_width - width) / 2.0
    top = (
        sizes.margin_y if caption.place == "top" else sizes.picture_height - sizes.margin_y - height
    )
    plate = QRectF(left, top, width, height)
    y = top + sizes.plate_pad_y
    start = plate.center().x() - heading_width / 2.0
    shape = QRectF(start, y + (heading_height - side) / 2.0, side, side)
    at = QPointF(start + side + gap, y)
    if rtl:
        shape.moveRight(start + heading_width)
        # The block is as wide as it may be and its text stands at its right edge.
        at.setX(shape.left() - gap - (heading.width if heading else 0.0))
    return _Parts(
        plate, shape, heading, at, lines, (sizes.picture_width - room) / 2.0, y + heading_height
    )


def _line(text: str, sizes: Sizes, room: float, rtl: bool) -> TextBlock:
    block = lay_out(text, sizes.caption_px, room + 1.0, align="centre", right_to_left=rtl)
    if block.line_count == 1:
        return block
    return fit(
        text,
        sizes.caption_px,
        max(1, round(_LEAST_SHRINK * sizes.caption_px)),
        room + 1.0,
        1.6 * sizes.caption_px,
        align="centre",
        right_to_left=rtl,
    )
