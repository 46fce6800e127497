"""Pictures as Qt paints them quickest."""

from __future__ import annotations

from typing import cast

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtGui import QImage
from PyQt6.sip import voidptr


def as_image(rgb: NDArray[np.uint8]) -> QImage:
    """A picture (H, W, 3) for Qt, with memory of its own, 32 bits a pixel."""
    height, width, _ = rgb.shape
    # Qt takes a buffer of any kind, which its stubs don't tell.
    data = cast(bytes, voidptr(rgb.ctypes.data))
    packed = QImage(data, width, height, rgb.strides[0], QImage.Format.Format_RGB888)
    # Painters are several times quicker on these; the conversion costs no more than a copy.
    return packed.convertToFormat(QImage.Format.Format_RGB32)


def as_overlay(rgba: NDArray[np.uint8]) -> QImage:
    """A premultiplied picture (H, W, 4) for Qt, to be painted over another one."""
    height, width, _ = rgba.shape
    data = cast(bytes, voidptr(rgba.ctypes.data))
    form = QImage.Format.Format_RGBA8888_Premultiplied
    packed = QImage(data, width, height, rgba.strides[0], form)
    return packed.convertToFormat(QImage.Format.Format_ARGB32_Premultiplied)
