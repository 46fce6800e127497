"""How long a card stands yet: a line at its foot that shrinks to the middle."""

from __future__ import annotations

from typing import Final

import numpy as np
from PyQt6.QtGui import QColor

from cliptag.paint.card_page import ACCENT
from cliptag.paint.overlay import PaintedBox

_THINNEST_PX: Final = 2
_SIDES_TO_A_LINE: Final = 160


def time_left_line(size: tuple[int, int], share: float) -> PaintedBox | None:
    """The line on a card of ``size`` (width, height), both even, while ``share`` of its time is
    left; None when it has shrunk to nothing.

    It shrinks from both ends, so it says the same in either direction of writing.
    """
    width, height = size
    half = int(share * width / 4.0) * 2
    if half <= 0:
        return None
    thick = max(_THINNEST_PX, min(size) // _SIDES_TO_A_LINE // 2 * 2)
    colour = QColor(ACCENT)
    left = max(0, width // 4 * 2 - half)
    rgba = np.empty((thick, min(2 * half, width - left), 4), np.uint8)
    rgba[...] = (colour.red(), colour.green(), colour.blue(), 255)
    return PaintedBox(left, height - thick, rgba)
