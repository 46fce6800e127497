"""The marks that are seen on a frame, found anew only when something about them has changed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from cliptag.desk.stage.captions import caption_boxes
from cliptag.desk.stage.moving import Moving
from cliptag.desk.stage.references import FAINT, plumb_line, scale_line
from cliptag.desk.stage.shown import NoteMarks, NotesByFrame, marks_at
from cliptag.desk.state import DeskState
from cliptag.export import ExportOptions
from cliptag.measure import camera_of
from cliptag.paint import ShownMark
from cliptag.review import Mark, Review


class Seen:
    """Looks the marks of the desk's review up."""

    def __init__(self, state: DeskState, export_options: Callable[[], ExportOptions]) -> None:
        self._state = state
        self._export_options = export_options
        self._notes = NotesByFrame((), np.zeros(1, np.int64))
        self._moving = Moving(state)
        self._kept: list[NoteMarks] = []
        self._kept_for: tuple[Review, int, str | None, ExportOptions] | None = None
        self.upright_deg = 0.0
        """How far the true vertical is turned from the picture's, clockwise."""

    def forget(self) -> None:
        """The marks that follow points are elsewhere."""
        self._kept_for = None

    def renew(self) -> None:
        """The review is another one."""
        clip, review = self._state.clip, self._review
        notes = review.notes if review else ()
        times_us = clip.times_us if clip else np.zeros(1, np.int64)
        self._notes = NotesByFrame(notes, times_us)
        self.upright_deg = camera_of(review).upright_deg.value if review else 0.0

    def at(self, index: int) -> list[NoteMarks]:
        """What is seen on a frame, in the order in which it is painted."""
        clip, review = self._state.clip, self._review
        if clip is None or review is None:
            return []
        note = self._state.chosen_note
        options = self._export_options()
        key = (review, index, note.id if note else None, options)
        kept = self._kept_for
        # A long review takes long to compare, and is never changed in place.
        if kept is None or kept[0] is not review or kept[1:] != key[1:]:
            moving = self._moving.of(review)
            self._kept = [
                replace(seen, keep_clear=caption_boxes(review, note, clip, options, moving))
                if note is not None and seen.note_id == note.id
                else seen
                for seen in marks_at(review, self._notes, index, key[2], moving)
            ]
            self._kept_for = key
        return self._kept

    def references(self, is_all: bool) -> list[NoteMarks]:
        """The scale and the true vertical: both, or the one whose tool is in hand."""
        review, tool = self._review, self._state.tool
        marks: list[Mark] = []
        if review and review.scale and (is_all or tool == "scale"):
            marks.append(scale_line(review.scale))
        if review and review.plumb and (is_all or tool == "plumb_line"):
            marks.append(plumb_line(review.plumb))
        shown = tuple(ShownMark(mark, "seen") for mark in marks)
        return [NoteMarks("", shown, FAINT)] if shown else []

    @property
    def _review(self) -> Review | None:
        return self._state.document.review if self._state.document else None
