"""A field for sentences whose undo is the desk's, not its own."""

from __future__ import annotations

import math
from typing import Final

from PyQt6.QtCore import QEvent, QSize, Qt, QTimer, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QKeyEvent, QKeySequence, QResizeEvent, QTextCursor
from PyQt6.QtWidgets import QPlainTextEdit, QSizePolicy, QWidget

from cliptag.desk import look

PAUSE_MS: Final = 1000
"""A pause in typing of this length ends a step that undo takes back."""
_MARGIN: Final = 4


class TypingText(QPlainTextEdit):
    """Tells what is typed, and when typing rests; grows with its text up to a height."""

    typed = pyqtSignal(str)
    rested = pyqtSignal()

    def __init__(self, parent: QWidget | None = None, *, lines: tuple[int, int] = (3, 8)) -> None:
        super().__init__(parent)
        self._least, self._most = lines
        self._is_showing = False
        self.setUndoRedoEnabled(False)
        document = self.document()
        assert document is not None
        document.setDocumentMargin(_MARGIN)
        self.setTabChangesFocus(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._pause = QTimer(self)
        self._pause.setSingleShot(True)
        self._pause.setInterval(PAUSE_MS)
        self._pause.timeout.connect(self.rested)
        self.textChanged.connect(self._changed)

    def text(self) -> str:
        """What is written. ``toPlainText`` would turn no-break spaces into plain ones."""
        document = self.document()
        assert document is not None
        return document.toRawText().replace("\u2029", "\n").replace("\u2028", "\n")

    def show_text(self, text: str) -> None:
        """Show a text without telling anyone; the cursor goes where the two texts differ."""
        before = self.text()
        if text == before:
            return
        common = _common_end(before, text)
        self._is_showing = True
        self.setPlainText(text)
        self._is_showing = False
        cursor = self.textCursor()
        cursor.setPosition(_utf16_length(text[: len(text) - common]))
        self.setTextCursor(cursor)
        self._fit()

    def replace_before_cursor(self, count: int, text: str) -> None:
        """Put a text in the place of the last ``count`` characters before the cursor."""
        cursor = self.textCursor()
        before = self.before_cursor()
        units = _utf16_length(before[len(before) - count :])
        cursor.movePosition(QTextCursor.MoveOperation.Left, QTextCursor.MoveMode.KeepAnchor, units)
        cursor.insertText(text)
        self.setTextCursor(cursor)

    def before_cursor(self) -> str:
        """The text from its start to the cursor."""
        raw = self.text().encode("utf-16-le")
        return raw[: 2 * self.textCursor().position()].decode("utf-16-le", "ignore")

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        lines = min(max(self._line_count, self._least), self._most)
        frame = 2 * self.frameWidth() + 2 * _MARGIN
        return QSize(look.space(16), lines * self.fontMetrics().lineSpacing() + frame)

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(8), self.sizeHint().height())

    def event(self, event: QEvent | None) -> bool:
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and _is_undoing(event)
        ):
            event.ignore()
            return False
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and _is_undoing(event):
            event.ignore()
            return
        super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusOutEvent(event)
        if event is not None and event.reason() != Qt.FocusReason.PopupFocusReason:
            self._pause.stop()
            self.rested.emit()

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        self._fit()

    @property
    def _line_count(self) -> int:
        document = self.document()
        assert document is not None
        # A plain text's document counts its height in lines.
        return math.ceil(document.size().height())

    def _fit(self) -> None:
        policy = Qt.ScrollBarPolicy
        is_long = self._line_count > self._most
        self.setVerticalScrollBarPolicy(
            policy.ScrollBarAsNeeded if is_long else policy.ScrollBarAlwaysOff
        )
        self.updateGeometry()

    def _changed(self) -> None:
        self._fit()
        if not self._is_showing:
            self._pause.start()
            self.typed.emit(self.text())


def _is_undoing(event: QKeyEvent) -> bool:
    return event.matches(QKeySequence.StandardKey.Undo) or event.matches(
        QKeySequence.StandardKey.Redo
    )


def _common_end(a: str, b: str) -> int:
    count = 0
    while count < min(len(a), len(b)) and a[-1 - count] == b[-1 - count]:
        count += 1
    return count


def _utf16_length(text: str) -> int:
    """The length in Qt's units: an emoji is two of them."""
    return len(text.encode("utf-16-le")) // 2
