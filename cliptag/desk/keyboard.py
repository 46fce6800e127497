"""Who gets a key: what is being typed into, or the desk's table of commands."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, QObject, Qt
from PyQt6.QtGui import QKeyEvent, QKeySequence
from PyQt6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSlider,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QPlainTextEdit,
    QTextEdit,
    QWidget,
)

_Key = Qt.Key
_PRESSING: Final = frozenset((_Key.Key_Space, _Key.Key_Return, _Key.Key_Enter))
_ARROWS: Final = frozenset((_Key.Key_Left, _Key.Key_Right, _Key.Key_Up, _Key.Key_Down))
_MOVING: Final = _ARROWS | {_Key.Key_Home, _Key.Key_End, _Key.Key_PageUp, _Key.Key_PageDown}
_STRONG: Final = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)
_DESKS_OWN: Final = frozenset(
    (_Key.Key_Escape, *(getattr(_Key, f"Key_F{n}") for n in range(1, 13)))
)
_UNDOING: Final = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)


class KeyManners(QObject):
    """Qt would give every key of the table to its command, also while a person types.

    A field that is typed into keeps all keys without Ctrl or Alt; a button keeps those that press
    it; a list or slider those that move in it. Undo is always the desk's: it takes back a spell of
    typing like every other step.
    """

    def __init__(self, window: QWidget) -> None:
        super().__init__(window)
        self._window = window
        application = QApplication.instance()
        assert isinstance(application, QApplication)
        application.focusChanged.connect(self._follow)

    def _follow(self, old: QWidget | None, now: QWidget | None) -> None:
        # A filter on the whole application would be asked about every event there is.
        if old is not None:
            old.removeEventFilter(self)
        if now is not None and self._window.isAncestorOf(now):
            now.installEventFilter(self)

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        if not isinstance(event, QKeyEvent) or not isinstance(watched, QWidget):
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            return _decide(watched, event)
        is_return = event.key() in (_Key.Key_Return, _Key.Key_Enter)
        is_press = event.type() == QEvent.Type.KeyPress and not event.isAutoRepeat()
        if is_press and is_return and isinstance(watched, QAbstractButton):
            watched.click()
            return True
        return False


def _decide(widget: QWidget, event: QKeyEvent) -> bool:
    """Accept the key for the widget, or (True) keep it from the widget."""
    if any(event.matches(key) for key in _UNDOING) or _is_redo(event):
        event.ignore()
        return True
    if _belongs_to(widget, event):
        event.accept()
        return True
    return False


def _belongs_to(widget: QWidget, event: QKeyEvent) -> bool:
    key = Qt.Key(event.key())
    if key == _Key.Key_Escape and QApplication.mouseButtons() != Qt.MouseButton.NoButton:
        return True  # what is being dragged goes back
    if key in _DESKS_OWN or event.modifiers() & _STRONG:
        return False
    if isinstance(widget, QLineEdit | QPlainTextEdit | QTextEdit | QAbstractSpinBox):
        return True
    if isinstance(widget, QAbstractButton):
        return key in _PRESSING or (key in _ARROWS and _is_one_of_several(widget))
    if isinstance(widget, QComboBox | QAbstractItemView):
        return key in _PRESSING or key in _MOVING or bool(event.text().strip())
    return isinstance(widget, QAbstractSlider) and key in _MOVING


def _is_one_of_several(button: QAbstractButton) -> bool:
    group = button.group()
    return button.autoExclusive() or (group is not None and group.exclusive())


def _is_redo(event: QKeyEvent) -> bool:
    # Redo is Ctrl+Y on one system and Ctrl+Shift+Z on another; the desk takes both.
    sequence = QKeySequence(event.keyCombination())
    return sequence in (QKeySequence("Ctrl+Y"), QKeySequence("Ctrl+Shift+Z"))
