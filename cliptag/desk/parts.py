"""The parts of the window as keyboard and dropped files find them."""

from __future__ import annotations

from pathlib import Path

from PyQt6.QtCore import QMimeData, Qt
from PyQt6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget


def leave_files_to_the_window(part: QWidget) -> None:
    """A file that is dropped on a text would be written into it as words."""
    for text in part.findChildren(QLineEdit) + part.findChildren(QPlainTextEdit):
        text.setAcceptDrops(False)
        if isinstance(text, QPlainTextEdit) and (viewport := text.viewport()) is not None:
            viewport.setAcceptDrops(False)


def holds(part: QWidget, widget: QWidget) -> bool:
    """Whether a widget is a part of the desk or in it."""
    return part is widget or part.isAncestorOf(widget)


def give_keyboard(part: QWidget) -> bool:
    """To the part itself if it takes keys, else to the first thing in it that does."""
    for widget in (part, *part.findChildren(QWidget)):
        takes_keys = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
        if takes_keys and widget.isVisible() and widget.isEnabled():
            widget.setFocus(Qt.FocusReason.TabFocusReason)
            return True
    return False


def files_in(data: QMimeData | None) -> list[Path]:
    """The files of what is dragged or dropped."""
    urls = data.urls() if data is not None else []
    return [Path(url.toLocalFile()) for url in urls if url.isLocalFile()]
