"""Tooltips that tell the key of a command, as the desk's table has it now."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject
from PyQt6.QtGui import QAction, QKeySequence
from PyQt6.QtWidgets import QWidget


class KeyedTip(QObject):
    """Keeps a widget's tooltip: words, and the key of the command that does the same."""

    def __init__(self, widget: QWidget, words: str, command: str) -> None:
        super().__init__(widget)
        self._widget, self._command = widget, command
        self.words = words
        widget.setToolTip(words)
        widget.installEventFilter(self)

    def say(self, words: str) -> None:
        """Change the words."""
        self.words = words
        self._widget.setToolTip(words)

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        if event is not None and event.type() == QEvent.Type.ToolTip:
            self._widget.setToolTip(self.words + self._key())
        return False

    def _key(self) -> str:
        window = self._widget.window()
        action = None if window is None else window.findChild(QAction, self._command)
        if action is None or action.shortcut().isEmpty():
            return ""
        return f" ({action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)})"
