"""What lies over each picture of the exported video, and when it changes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from cliptag.export.cues import Cue
from cliptag.export.timeline import Card, Hold, OutputFrame, Timeline
from cliptag.measure import camera_of
from cliptag.paint import CaptionText, Overlay, ShownMark, caption_heading
from cliptag.review import Mark, Note, Review, is_measuring
from cliptag.words import ENGLISH, Words

Readings: TypeAlias = Mapping[tuple[str, str], str]
"""The number of each measuring mark as it should read, by note id and mark id."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What is on over a picture; pictures with equal ones have the same overlay.

    ``cue`` counts from 0. ``is_still``: the picture stands still for the note.
    """

    note_id: str | None = None
    cue: int | None = None
    is_still: bool = False


NOTHING = Shown()


class Scene:
    """Which marks and which caption are over each picture.

    Marks show as long as their note is on. Those that carry a number are true on their own frame
    only, so they show only while the picture stands still on it.
    """

    def __init__(
        self,
        review: Review,
        timeline: Timeline,
        cues: Sequence[Cue],
        readings: Readings,
        words: Words = ENGLISH,
    ) -> None:
        self._words = words
        self._notes = {note.id: note for note in review.notes}
        self._timeline = timeline
        self._cues = sorted(cues, key=lambda cue: cue.start_us)
        self._readings = readings
        self._plumb_deg = camera_of(review).upright_deg.value

    @property
    def changes_us(self) -> tuple[int, ...]:
        """The output times at which captions come or go."""
        return tuple(sorted({time for cue in self._cues for time in (cue.start_us, cue.end_us)}))

    def shown_at(self, frame: OutputFrame) -> Shown:
        """What is on over a picture of the video."""
        if isinstance(frame.span, Card):
            return NOTHING
        window = self._timeline.window_at(frame.out_us)
        note_id = window.note_id if window and window.note_id in self._notes else None
        is_still = isinstance(frame.span, Hold) and frame.span.note_id == note_id
        return Shown(note_id, self._cue_at(frame.out_us), is_still)

    def overlay(self, shown: Shown) -> Overlay:
        """What is painted for it."""
        note = self._notes[shown.note_id] if shown.note_id is not None else None
        return Overlay(
            marks=self._marks(note, shown.is_still) if note else (),
            caption=None if shown.cue is None else self._caption(self._cues[shown.cue]),
            keep_clear=tuple(
                self._caption(cue) for cue in self._cues if note and cue.note_id == note.id
            ),
            plumb_deg=self._plumb_deg,
        )

    def _cue_at(self, out_us: int) -> int | None:
        number = bisect_right(self._cues, out_us, key=lambda cue: cue.start_us) - 1
        return number if number >= 0 and out_us < self._cues[number].end_us else None

    def _marks(self, note: Note, is_still: bool) -> tuple[ShownMark, ...]:
        return tuple(
            ShownMark(mark, note.kind, self._reading(note, mark))
            for mark in note.marks
            if is_still or not is_measuring(mark)
        )

    def _reading(self, note: Note, mark: Mark) -> str | None:
        return self._readings.get((note.id, mark.id))

    def _caption(self, cue: Cue) -> CaptionText:
        heading = caption_heading(cue.kind, cue.region, self._words)
        return CaptionText(cue.lines, heading, cue.kind, cue.place)
