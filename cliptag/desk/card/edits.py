"""What the card does to its note; each is a step with words for undo."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import msgspec

from cliptag.desk.state import DeskState
from cliptag.errors import ReviewError
from cliptag.review import Mark, Note, Review, edit


class NoteEdits:
    """Changes the note that is chosen on the desk; what can't be is said in the bar."""

    def __init__(self, state: DeskState) -> None:
        self._state = state

    @property
    def note(self) -> Note | None:
        """The chosen note."""
        return self._state.chosen_note

    def set(self, words: str, *, run: str | None = None, **fields: Any) -> bool:
        """Replace fields of the note; tells whether that could be done."""
        note = self.note
        if note is None:
            return False
        return self._do(lambda r: edit.with_note_fields(r, note.id, **fields), words, run)

    def write(self, text: str) -> bool:
        """Let the note say this; whoever writes in a draft has read it."""
        note = self.note
        if note is None:
            return False
        return self._do(lambda r: edit.with_text_read(r, note.id, text), "write", f"text {note.id}")

    def set_mark(self, mark_id: str, words: str, *, run: str | None = None, **fields: Any) -> bool:
        """Replace fields of one of the note's marks; tells whether that could be done."""
        note = self.note
        if note is None:
            return False

        def change(review: Review) -> Review:
            mark: Mark = edit.mark_of(review, note.id, mark_id)
            return edit.with_mark(review, note.id, msgspec.structs.replace(mark, **fields))

        return self._do(change, words, run)

    def drop_mark(self, mark_id: str, what: str) -> None:
        """Take a mark away."""
        note = self.note
        if note is not None:
            self._do(lambda r: edit.without_mark(r, note.id, mark_id), f"delete {what}")

    def duplicate(self) -> None:
        """Put a copy of the note, with fresh ids, right after it; the copy is chosen."""
        note, document = self.note, self._state.document
        if note is None or document is None:
            return
        marks = tuple(msgspec.structs.replace(mark, id=edit.new_id()) for mark in note.marks)
        copy = msgspec.structs.replace(note, id=edit.new_id(), marks=marks)

        def change(review: Review) -> Review:
            ids = [other.id for other in review.notes]
            ids.insert(ids.index(note.id) + 1, copy.id)
            return edit.with_note_order(edit.with_note(review, copy), ids)

        if self._do(change, "duplicate note"):
            self._state.choose(copy.id)

    def delete(self, words: str = "delete note") -> None:
        """Take the note away, with its marks."""
        note = self.note
        if note is not None:
            self._do(lambda r: edit.without_note(r, note.id), words)
            self._state.choose(None)

    def end_run(self) -> None:
        """End a spell of typing."""
        if self._state.document is not None:
            self._state.document.end_run()

    def _do(self, change: Callable[[Review], Review], words: str, run: str | None = None) -> bool:
        document = self._state.document
        if document is None:
            return False
        try:
            document.do(change(document.review), words, run=run)
        except ReviewError as error:
            self._state.warned.emit(str(error))
            return False
        return True
