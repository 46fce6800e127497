"""A pointer that presses, drags and lets go of any widget with real mouse events."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QPoint, QPointF, Qt
from PyQt6.QtGui import QMouseEvent, QWheelEvent
from PyQt6.QtWidgets import QApplication, QWidget

_LEFT, _NONE = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
PLAIN = Qt.KeyboardModifier.NoModifier
CTRL = Qt.KeyboardModifier.ControlModifier


class Pointer:
    """Points at places of one widget."""

    def __init__(self, widget: QWidget) -> None:
        self._widget = widget
        self.at = QPointF()

    def hover(self, x: float, y: float) -> None:
        self._send(QEvent.Type.MouseMove, x, y, _NONE, _NONE)

    def press(self, x: float, y: float) -> None:
        self._send(QEvent.Type.MouseButtonPress, x, y, _LEFT, _LEFT)

    def drag(self, x: float, y: float) -> None:
        """Move while the button is held."""
        self._send(QEvent.Type.MouseMove, x, y, _NONE, _LEFT)

    def release(self) -> None:
        self._send(QEvent.Type.MouseButtonRelease, self.at.x(), self.at.y(), _LEFT, _NONE)

    def click(self, x: float, y: float) -> None:
        self.press(x, y)
        self.release()

    def pull(self, start: QPointF, end: QPointF, steps: int = 5) -> None:
        """Press, move in steps, and let go."""
        self.press(start.x(), start.y())
        for step in range(1, steps + 1):
            at = start + (end - start) * (step / steps)
            self.drag(at.x(), at.y())
        self.release()

    def turn_wheel(
        self, x: float, y: float, notches: float, keys: Qt.KeyboardModifier = PLAIN
    ) -> None:
        where = QPointF(x, y)
        QApplication.sendEvent(
            self._widget,
            QWheelEvent(
                where,
                self._widget.mapToGlobal(where),
                QPoint(),
                QPoint(0, round(120 * notches)),
                _NONE,
                keys,
                Qt.ScrollPhase.NoScrollPhase,
                False,
            ),
        )

    def _send(
        self,
        kind: QEvent.Type,
        x: float,
        y: float,
        button: Qt.MouseButton,
        buttons: Qt.MouseButton,
    ) -> None:
        self.at = QPointF(x, y)
        QApplication.sendEvent(
            self._widget,
            QMouseEvent(kind, self.at, self._widget.mapToGlobal(self.at), button, buttons, PLAIN),
        )
