"""How often an exercise is done."""

from __future__ import annotations

from PyQt6.QtWidgets import QLabel, QLineEdit, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.review import Note

_LONGEST = 200


class RepetitionsRow(QWidget):
    """Shown for exercises, and for a note that was one and still has its repetitions."""

    def __init__(self, edits: NoteEdits, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._edits = edits
        self.field = QLineEdit()
        self.field.setAccessibleName("Repetitions")
        self.field.setPlaceholderText("such as 2 × 8, morning and evening")
        self.field.setToolTip("How often the client does this exercise")
        self.field.setMaxLength(_LONGEST)
        self.field.textEdited.connect(self._set)
        self.field.editingFinished.connect(edits.end_run)
        label = QLabel("Repetitions")
        label.setProperty("role", "quiet")
        label.setBuddy(self.field)
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.addWidget(label)
        self._layout.addWidget(self.field)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def show_note(self, note: Note) -> None:
        """Show how often a note's exercise is done."""
        if self.field.text() != note.repetitions:
            self.field.setText(note.repetitions)
        self.setVisible(note.kind == "exercise" or bool(note.repetitions))

    def _set(self, text: str) -> None:
        note = self._edits.note
        if note is not None:
            self._edits.set("repetitions", run=f"repetitions {note.id}", repetitions=text)

    def _restyle(self) -> None:
        self._layout.setSpacing(look.space(0.15))
