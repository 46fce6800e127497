"""Where a question is seated on the stage: in the foot's line, else off the picture."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import QRect, QSize


def seat(
    wanted: QSize,
    least_width: int,
    height_at: Callable[[int], int],
    line: QRect,
    area: QRect,
    picture: QRect,
    gap: int,
) -> tuple[QRect, bool]:
    """The place of a question of a ``wanted`` size, and whether it floats on the stage.

    It stands in ``line``, the free part of the foot's line, if it fits in one row there; else at
    the left of the picture, if there are ``least_width`` pixels; else at the lower edge of the
    area, where a picture that is wider than high leaves room.
    """
    if wanted.width() <= line.width():
        top = line.top() + (line.height() - wanted.height()) // 2
        return QRect(line.left(), top, wanted.width(), wanted.height()), False
    beside = picture.left() - area.left() - 2 * gap
    width = beside if beside >= least_width else area.width() - 2 * gap
    width = min(width, wanted.width())
    height = height_at(width)
    return QRect(area.left() + gap, area.bottom() + 1 - gap - height, width, height), True
