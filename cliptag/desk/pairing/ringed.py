"""A part of the view that shows when the keyboard speaks to it, and not when a hand clicked it."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QRectF, Qt
from PyQt6.QtGui import QFocusEvent, QPainter, QPen
from PyQt6.QtWidgets import QWidget

from cliptag.desk import look

_KEYBOARD_REASONS: Final = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


class Ringed(QWidget):
    """Takes the keyboard; whoever paints it ends with ``paint_ring``."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._has_ring = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def focusInEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusInEvent(event)
        self._has_ring = event is not None and event.reason() in _KEYBOARD_REASONS
        self.update()

    def paint_ring(self, painter: QPainter) -> None:
        """The ring along the edge, if the keyboard came here by itself."""
        if self.hasFocus() and self._has_ring:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(look.palette().colour("focus"), 2.0))
            painter.drawRect(QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -1.0))
