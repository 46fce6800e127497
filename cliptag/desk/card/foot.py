"""The card's lower edge: copy, delete, done."""

from __future__ import annotations

from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QToolButton, QWidget

from cliptag.desk.card.edits import NoteEdits


class CardFoot(QWidget):
    """What is done with the note as a whole."""

    def __init__(self, edits: NoteEdits, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.duplicate = _quiet_button("Duplicate", "A copy of this note with all its marks")
        self.duplicate.clicked.connect(edits.duplicate)
        self.delete = _quiet_button("Delete", "Delete this note and its marks")
        self.delete.clicked.connect(lambda: edits.delete())
        self.done_button = QPushButton("Done")
        self.done_button.setProperty("role", "main")
        self.done_button.setAutoDefault(False)
        self.done_button.setToolTip("Put the card away; the note is kept (Ctrl+Enter)")
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addWidget(self.duplicate)
        layout.addWidget(self.delete)
        layout.addStretch(1)
        layout.addWidget(self.done_button)


def _quiet_button(words: str, tip: str) -> QToolButton:
    button = QToolButton()
    button.setText(words)
    button.setAccessibleName(f"{words} note")
    button.setToolTip(tip)
    return button
