"""Between numpy, complex numbers and Qt: the only helpers that know both sides."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPainterPath, QPolygonF


def image_of(rgb: NDArray[np.float32], alpha: NDArray[np.float32] | None = None) -> QImage:
    """A premultiplied QImage from RGB 0-255 and alpha 0-1, both height x width."""
    height, width = rgb.shape[:2]
    opaque = np.ones((height, width), np.float32) if alpha is None else alpha
    bgra = np.empty((height, width, 4), np.uint8)
    bgra[..., :3] = np.clip(rgb[..., ::-1] * opaque[..., None] + 0.5, 0, 255)
    bgra[..., 3] = np.clip(opaque * 255 + 0.5, 0, 255)
    held = QImage(
        bgra.tobytes(), width, height, 4 * width, QImage.Format.Format_ARGB32_Premultiplied
    )
    return held.copy()


def pixels_of(image: QImage) -> NDArray[np.uint8]:
    """The bytes of a 32-bit QImage as height x width x 4 (blue, green, red, alpha); not a copy."""
    bits = image.constBits()
    assert bits is not None
    bits.setsize(image.sizeInBytes())
    flat: NDArray[np.uint8] = np.frombuffer(cast(memoryview, bits), np.uint8)
    return flat.reshape(image.height(), image.width(), 4)


def clear_image(width: int, height: int) -> QImage:
    image = QImage(width, height, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(0)
    return image


def smooth_painter(image: QImage) -> QPainter:
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    return painter


def point(z: complex) -> QPointF:
    return QPointF(z.real, z.imag)


def polygon(points: Iterable[complex]) -> QPolygonF:
    return QPolygonF([point(complex(z)) for z in points])


def outline(points: Iterable[complex]) -> QPainterPath:
    """A closed path with straight sides; overlapping parts stay filled."""
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    path.addPolygon(polygon(points))
    path.closeSubpath()
    return path


def rounded(corners: Sequence[complex], closed: bool = True) -> QPainterPath:
    """A smooth path (Catmull-Rom) through all points."""
    n = len(corners)
    path = QPainterPath(point(corners[0]))
    for i in range(n if closed else n - 1):
        if closed:
            before, a, b, after = (corners[(i + k) % n] for k in (-1, 0, 1, 2))
        else:
            before, a, b, after = (corners[min(max(i + k, 0), n - 1)] for k in (-1, 0, 1, 2))
        path.cubicTo(point(a + (b - before) / 6), point(b - (after - a) / 6), point(b))
    if closed:
        path.closeSubpath()
    return path


def colour(rgb: tuple[float, float, float], alpha: float = 1.0) -> QColor:
    red, green, blue = (int(min(255, max(0, c)) + 0.5) for c in rgb)
    return QColor(red, green, blue, int(alpha * 255 + 0.5))
