"""All that lies over one picture of a video, painted on transparent ground for blending."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRect, QRectF
from PyQt6.QtGui import QImage, QPainter

from cliptag.paint.captions import CaptionText, caption_box, paint_caption
from cliptag.paint.marks import ShownMark, marks_box, paint_marks
from cliptag.paint.sizes import Sizes


@dataclass(frozen=True, slots=True)
class Overlay:
    """The marks and the caption over a picture.

    Labels of marks stay off all captions in ``keep_clear``, so that they don't jump when one
    caption follows another. ``plumb_deg`` is as for ``paint_marks``.
    """

    marks: tuple[ShownMark, ...] = ()
    caption: CaptionText | None = None
    keep_clear: tuple[CaptionText, ...] = ()
    plumb_deg: float = 0.0


@dataclass(frozen=True, slots=True, eq=False)
class PaintedBox:
    """A painted part: (H, W, 4) premultiplied RGBA whose corner lies at (``left``, ``top``)."""

    left: int
    top: int
    rgba: NDArray[np.uint8]


def paint_overlay(
    overlay: Overlay, sizes: Sizes, scale: tuple[float, float], size: tuple[int, int]
) -> PaintedBox | None:
    """Paint an overlay for a picture of ``size`` (width, height), both even.

    ``scale`` (across, down) leads from the coordinates of ``sizes`` to that picture's pixels.
    The box lies on even pixels and has even sizes; None when there is nothing in the picture.
    """
    keep_clear = [caption_box(caption, sizes) for caption in overlay.keep_clear]
    touched = marks_box(
        overlay.marks, sizes, plumb_deg=overlay.plumb_deg, keep_clear=keep_clear
    ).united(caption_box(overlay.caption, sizes) if overlay.caption else QRectF())
    box = _even_box(touched, scale, size)
    if box.isEmpty():
        return None
    image = QImage(box.size(), QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    painter = QPainter(image)
    painter.translate(-box.left(), -box.top())
    painter.scale(*scale)
    paint_marks(painter, overlay.marks, sizes, plumb_deg=overlay.plumb_deg, keep_clear=keep_clear)
    if overlay.caption is not None:
        paint_caption(painter, overlay.caption, sizes)
    painter.end()
    return PaintedBox(box.left(), box.top(), rgba_of(image))


def rgba_of(image: QImage) -> NDArray[np.uint8]:
    """(H, W, 4) premultiplied RGBA of a painted picture, as a copy."""
    image = image.convertToFormat(QImage.Format.Format_RGBA8888_Premultiplied)
    bits = image.constBits()
    assert bits is not None
    rows = np.frombuffer(bits.asstring(image.sizeInBytes()), np.uint8)
    width, height = image.width(), image.height()
    return rows.reshape(height, image.bytesPerLine())[:, : 4 * width].reshape(height, width, 4)


def _even_box(box: QRectF, scale: tuple[float, float], size: tuple[int, int]) -> QRect:
    """The box on the picture, grown to even pixels; scaled antialiasing may reach a pixel out."""
    if box.isEmpty():
        return QRect()
    across, down = scale
    left = max(0, math.floor(box.left() * across) - 1) // 2 * 2
    top = max(0, math.floor(box.top() * down) - 1) // 2 * 2
    right = min(size[0], math.ceil(box.right() * across) + 2) // 2 * 2
    bottom = min(size[1], math.ceil(box.bottom() * down) + 2) // 2 * 2
    return QRect(left, top, right - left, bottom - top)
