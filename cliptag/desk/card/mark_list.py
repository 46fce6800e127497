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
            row = self.rows.get(mark.id) or self._new_row(note.id, mark.id)
            is_chosen = chosen is not None and chosen.id == mark.id
            row.show_mark(mark, note.kind, numbers.get(mark.id, ""), is_chosen=is_chosen)

    def _new_row(self, note_id: str, mark_id: str) -> MarkRow:
        def choose(which: str) -> None:
            chosen = self._state.chosen_mark
            is_chosen = chosen is not None and chosen.id == which
            self._state.choose(note_id, None if is_chosen else which)

        row = self.rows[mark_id] = MarkRow(self._edits, mark_id, choose)
        self._layout.addWidget(row)
        return row

    def _numbers(self, note: Note) -> dict[str, str]:
        document = self._state.document
        if document is None or not note.is_measured:
            return {}
        alone = msgspec.structs.replace(document.review, notes=(note,))
        return {reading.mark_id: reading.text for reading in readings_of(alone)}

    def _restyle(self) -> None:
        self._layout.setSpacing(look.space(0.15))
