"""The field in which clients and clips are looked for."""

from __future__ import annotations

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QLineEdit


class SearchField(QLineEdit):
    """Looks as one types; Down leads to what was found."""

    down = pyqtSignal()

    def __init__(self) -> None:
        super().__init__()
        self.setPlaceholderText("Find a client or clip")
        self.setAccessibleName("Find a client or clip")
        self.setToolTip("Find a client or clip (Ctrl+F)")
        self.setAcceptDrops(False)
        self.setClearButtonEnabled(True)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and event.key() == Qt.Key.Key_Down:
            self.down.emit()
            return
        super().keyPressEvent(event)
