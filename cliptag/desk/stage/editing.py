"""Changes to marks, each a step that can be taken back, named in plain words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

import msgspec

from cliptag.desk.stage.handles import handles_of, shifted, with_handle
from cliptag.desk.stage.surety import Placements, Surety
from cliptag.desk.stage.words import handle_words, mark_words
from cliptag.desk.state import DeskState
from cliptag.errors import ReviewError
from cliptag.review import Mark, Note, Point, Review, edit

_NEW_NOTE_US: Final = 1_000_000
_COPY_OFFSET: Final = 0.02
"""How far a copy on its own frame is put off, as a part of the picture's short side."""


class MarkEditor:
    """Changes the desk's document where marks are concerned."""

    def __init__(
        self, state: DeskState, new_hold_us: Callable[[], int | None], surety: Surety
    ) -> None:
        """``new_hold_us`` tells the hold of a note that is started for a mark."""
        self._state = state
        self._new_hold_us = new_hold_us
        self._placements = Placements(surety)

    def add(self, mark: Mark, index: int) -> None:
        """Put a mark onto the note of a frame, and choose it."""
        mark = self._placements.measured(mark)
        review, note = self._with_note_on(index)
        if self._do(lambda: edit.with_mark(review, note.id, mark), f"draw {mark_words(mark)}"):
            self._state.choose(note.id, mark.id)

    def put_handle(
        self, which: int, to: Point, run: str | None, sd_px: float | None = None
    ) -> None:
        """Put one handle of the chosen mark somewhere else.

        ``sd_px`` is how surely it lies there, if that is known otherwise than from the picture.
        """
        self._change(
            lambda mark: self._placements.moved(mark, with_handle(mark, which, to), which, sd_px),
            lambda mark: f"move {handle_words(mark, which)}",
            run,
        )

    def shift(self, of: Mark, by_x: float, by_y: float, run: str) -> None:
        """Put the chosen mark where ``of``, itself as it was, is when moved by so much."""
        self._change(
            lambda mark: mark if mark.follows else shifted(of, by_x, by_y),
            lambda mark: f"move {mark_words(mark)}",
            run,
        )

    def nudge(self, which: int, by_x: float, by_y: float) -> None:
        """Move one handle of the chosen mark by picture pixels; a spell of it is one step."""
        mark = self._state.chosen_mark
        if mark is not None:
            at = handles_of(mark)[which]
            to = Point(at.x + by_x, at.y + by_y)
            self.put_handle(which, to, f"nudge {mark.id} {which}")

    def follow(self, names: tuple[str, ...]) -> None:
        """Let the chosen mark go with followed points, or with none: let it stay."""
        self._change(
            lambda mark: msgspec.structs.replace(mark, follows=names),
            lambda mark: f"let the {mark_words(mark)} {'follow its points' if names else 'stay'}",
            run=None,
        )

    def restyle(self, **fields: Any) -> None:
        """Give the chosen mark another colour, weight, label, joint, segment or axis."""
        chosen = self._state.chosen_mark
        if chosen is not None:
            self._change(
                lambda mark: msgspec.structs.replace(mark, **fields),
                lambda mark: f"{_style_words(fields)} {mark_words(mark)}",
                run=f"label {chosen.id}" if "label" in fields else None,
            )

    def delete(self) -> None:
        """Take the chosen mark away."""
        note, mark = self._state.chosen_note, self._state.chosen_mark
        if note is not None and mark is not None:
            words = f"delete {mark_words(mark)}"
            self._do(lambda: edit.without_mark(self._review, note.id, mark.id), words)
            self._state.choose(note.id)

    def copy(self, index: int) -> None:
        """Copy the chosen mark onto the last note of a frame, or onto a new one there."""
        note, mark = self._state.chosen_note, self._state.chosen_mark
        if note is None or mark is None:
            return
        copied = msgspec.structs.replace(mark, id=edit.new_id())
        if self.is_on(note, index):
            clip = self._review.clip
            off = _COPY_OFFSET * min(clip.width, clip.height)
            review, target = self._review, note
            copied = shifted(copied, off, off)
        else:
            there = [other for other in self._review.notes if self.is_on(other, index)]
            review, target = (self._review, there[-1]) if there else self._with_note_on(index)
        words = f"copy {mark_words(mark)}"
        if self._do(lambda: edit.with_mark(review, target.id, copied), words):
            self._state.choose(target.id, copied.id)

    def set_reference(self, words: str, **fields: Any) -> None:
        """Set or clear the review's ``scale`` or ``plumb``."""
        self._do(lambda: edit.with_fields(self._review, **fields), words)

    def end_run(self) -> None:
        """The hand lets go: what follows is a step of its own."""
        if self._state.document is not None:
            self._state.document.end_run()

    @property
    def _review(self) -> Review:
        assert self._state.document is not None
        return self._state.document.review

    def _do(self, change: Callable[[], Review], words: str, run: str | None = None) -> bool:
        """Take a step; where it isn't possible the bar says why, and False is given."""
        assert self._state.document is not None
        try:
            review = change()
        except ReviewError as error:
            self._state.warned.emit(str(error))
            return False
        self._state.document.do(review, words, run=run)
        return True

    def _change(
        self, change: Callable[[Mark], Mark], words: Callable[[Mark], str], run: str | None
    ) -> None:
        note, mark = self._state.chosen_note, self._state.chosen_mark
        if note is not None and mark is not None:
            changed = change(mark)
            self._do(lambda: edit.with_mark(self._review, note.id, changed), words(changed), run)

    def _with_note_on(self, index: int) -> tuple[Review, Note]:
        """The review with a note on a frame: the chosen one, or a new one."""
        chosen = self._state.chosen_note
        if chosen is not None and self.is_on(chosen, index):
            return self._review, chosen
        note = self._new_note(index)
        return edit.with_note(self._review, note), note

    def _new_note(self, index: int) -> Note:
        clip = self._state.clip
        assert clip is not None
        start_us = int(clip.times_us[index])
        return Note(
            id=edit.new_id(),
            region=self._state.rung,
            kind="seen",
            start_us=start_us,
            end_us=max(start_us, min(start_us + _NEW_NOTE_US, clip.duration_us)),
            hold_us=self._new_hold_us(),
        )

    def is_on(self, note: Note, index: int) -> bool:
        """Whether a note's marks are placed on that very frame."""
        assert self._state.clip is not None
        return self._state.clip.index_at(note.start_us) == index


def _style_words(fields: dict[str, Any]) -> str:
    if "colour" in fields:
        return "colour"
    if "weight" in fields:
        return "set weight of"
    return "label" if "label" in fields else "change to"
