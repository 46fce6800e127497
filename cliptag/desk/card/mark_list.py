"""The marks of the note, one row each."""

from __future__ import annotations

import msgspec
from PyQt6.QtWidgets import QLabel, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.card.mark_row import MarkRow
from cliptag.desk.state import DeskState
from cliptag.measure import readings_of
from cliptag.review import Note


class MarkList(QWidget):
    """Rows stay as they are while their marks do, so that what is typed into is not lost."""

    def __init__(self, state: DeskState, edits: NoteEdits, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state, self._edits = state, edits
        self.rows: dict[str, MarkRow] = {}
        self._heading = QLabel()
        self._heading.setProperty("role", "quiet")
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.addWidget(self._heading)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def show_note(self, note: Note) -> None:
        """Show a note's marks."""
        self.setVisible(bool(note.marks))
        self._heading.setText("Mark" if len(note.marks) == 1 else f"{len(note.marks)} marks")
        kept = {mark.id for mark in note.marks}
        for mark_id in [mark_id for mark_id in self.rows if mark_id not in kept]:
            row = self.rows.pop(mark_id)
            self._layout.removeWidget(row)
            row.hide()
            row.deleteLater()
        chosen, numbers = self._state.chosen_mark, self._numbers(note)
        for mark in note.marks:
            row = self.rows.get(mark.id) or self._new_row(mark.id)
            is_chosen = chosen is not None and chosen.id == mark.id
            row.show_mark(mark, note.kind, numbers.get(mark.id, ""), is_chosen=is_chosen)

    def _new_row(self, mark_id: str) -> MarkRow:
        row = self.rows[mark_id] = MarkRow(self._edits, mark_id, self._choose)
        self._layout.addWidget(row)
        return row

    def _choose(self, mark_id: str) -> None:
        note, chosen = self._edits.note, self._state.chosen_mark
        if note is not None:
            is_chosen = chosen is not None and chosen.id == mark_id
            self._state.choose(note.id, None if is_chosen else mark_id)

    def _numbers(self, note: Note) -> dict[str, str]:
        document = self._state.document
        if document is None or not note.is_measured:
            return {}
        alone = msgspec.structs.replace(document.review, notes=(note,))
        return {reading.mark_id: reading.text for reading in readings_of(alone)}

    def _restyle(self) -> None:
        self._layout.setSpacing(look.space(0.15))
