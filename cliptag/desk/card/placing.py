"""Where the card opens: beside the place that its note speaks of."""

from __future__ import annotations

from PyQt6.QtCore import QRect, QSize


def place_beside(room: QRect, avoid: QRect, size: QSize, margin: int) -> QRect:
    """A box of ``size``, or smaller, in ``room``: at its right, unless that covers ``avoid``.

    Then at the left; where both sides cover something of it, the side that covers less. It stands
    as high as ``avoid`` does, as far as the room allows. Without a place to avoid: right, at the
    top.
    """
    inside = room.adjusted(margin, margin, -margin, -margin)
    width, height = min(size.width(), inside.width()), min(size.height(), inside.height())
    middle = avoid.center().y() if avoid.isValid() else inside.top() + height // 2
    top = min(max(middle - height // 2, inside.top()), inside.top() + inside.height() - height)
    right = QRect(inside.left() + inside.width() - width, top, width, height)
    left = QRect(inside.left(), top, width, height)
    return min((right, left), key=lambda box: _shared(box, avoid))


def _shared(a: QRect, b: QRect) -> int:
    both = a.intersected(b)
    return both.width() * both.height() if both.isValid() else 0
