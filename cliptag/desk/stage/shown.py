"""Which marks are on over a frame, as the exported video shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

import msgspec
import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRectF

from cliptag.errors import MeasureError
from cliptag.measure import reading_of
from cliptag.paint import ShownMark
from cliptag.review import Mark, Note, Review, is_measuring

if TYPE_CHECKING:
    from cliptag.measure import MovingMarks


class NotesByFrame:
    """Finds the notes that are on at a frame without going through them all.

    A note is on from the frame that is shown at its start up to the frame that is shown at its
    end, which is left out unless the note starts there too: so it is in the exported video.
    """

    def __init__(self, notes: Sequence[Note], times_us: NDArray[np.int64]) -> None:
        self._notes = notes
        starts_us = np.fromiter((note.start_us for note in notes), np.int64, len(notes))
        ends_us = np.fromiter((note.end_us for note in notes), np.int64, len(notes))
        self._first = _frames_at(times_us, starts_us)
        self._stop = np.maximum(_frames_at(times_us, ends_us), self._first + 1)

    def on_at(self, index: int) -> list[Note]:
        """The notes that are on at a frame, in the document's order."""
        found = np.nonzero((self._first <= index) & (index < self._stop))[0]
        return [self._notes[int(place)] for place in found]

    def placed_on(self, index: int) -> list[Note]:
        """The notes whose marks were placed on that very frame, in the document's order."""
        return [self._notes[int(place)] for place in np.nonzero(self._first == index)[0]]


QUIET: Final = 0.42
"""How strongly the marks of other notes are painted beside those of the chosen one."""


@dataclass(frozen=True, slots=True)
class NoteMarks:
    """The marks of one note that are seen on a frame."""

    note_id: str
    marks: tuple[ShownMark, ...]
    strength: float = 1.0
    """How strongly they are painted."""
    keep_clear: tuple[QRectF, ...] = ()
    """Where the labels of the marks should not stand, in picture pixels."""


def marks_at(
    review: Review,
    notes: NotesByFrame,
    index: int,
    chosen_id: str | None,
    moving: MovingMarks | None = None,
) -> list[NoteMarks]:
    """What is seen on a frame, note by note; the chosen note's marks last, so they lie on top.

    Marks that carry a number are true on their own frame only, but those that follow points are
    where these are, with the number of that frame; where one isn't known, they are left out.
    Beside a chosen note that is on, all others are quiet: thin, and without numbers and labels.
    """
    placed = {note.id for note in notes.placed_on(index)}
    on = sorted(notes.on_at(index), key=lambda note: note.id == chosen_id)
    is_beside = bool(on) and on[-1].id == chosen_id
    seen = []
    for note in on:
        shown = _shown(review, note, index, note.id in placed, moving)
        is_quiet = is_beside and note.id != chosen_id
        if is_quiet:
            shown = [ShownMark(_without_words(one.mark), note.kind) for one in shown]
        if shown:
            seen.append(NoteMarks(note.id, tuple(shown), QUIET if is_quiet else 1.0))
    return seen


def _shown(
    review: Review, note: Note, index: int, is_placed_here: bool, moving: MovingMarks | None
) -> list[ShownMark]:
    shown = []
    for mark in note.marks:
        if mark.follows and moving is not None:
            moved = moving.at(mark, index)
            if moved is not None:
                reading = moving.reading(note.id, mark, index)
                shown.append(ShownMark(moved, note.kind, reading.text if reading else None))
        elif is_placed_here or not (is_measuring(mark) or mark.follows):
            number = number_of(review, note.id, note.start_us, mark)
            shown.append(ShownMark(mark, note.kind, number))
    return shown


def number_of(review: Review, note_id: str, at_us: int, mark: Mark) -> str | None:
    """A mark's number with its uncertainty, in words; None where there is none (yet)."""
    if not is_measuring(mark):
        return None
    try:
        return reading_of(review, note_id, at_us, mark).text
    except MeasureError:
        return None


def _without_words(mark: Mark) -> Mark:
    return msgspec.structs.replace(mark, label="") if mark.label else mark


def _frames_at(times_us: NDArray[np.int64], wanted_us: NDArray[np.int64]) -> NDArray[np.int64]:
    after: NDArray[np.int64] = np.searchsorted(times_us, wanted_us, side="right").astype(np.int64)
    return np.maximum(after - 1, 0)
