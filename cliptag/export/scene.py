"""What lies over each picture of the exported video, and when it changes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from cliptag.export.cues import Cue
from cliptag.export.mover import Mover
from cliptag.export.moves import Moves
from cliptag.export.timeline import Card, Hold, OutputFrame, Timeline
from cliptag.measure import camera_of
from cliptag.paint import CaptionText, Overlay, ShownMark, Sizes, caption_heading
from cliptag.review import Mark, Note, Review, is_measuring
from cliptag.words import ENGLISH, Words

Readings: TypeAlias = Mapping[tuple[str, str], str]
"""The number of each measuring mark as it should read, by note id and mark id."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What is on over a picture; pictures with equal ones have the same overlay.

    ``cue`` counts from 0. ``is_still``: the picture stands still for the note. ``frame``: the
    clip's, where some of the note's marks move.
    """

    note_id: str | None = None
    cue: int | None = None
    is_still: bool = False
    frame: int | None = None

    @property
    def at_rest(self) -> Shown:
        """The part that stays the same from frame to frame."""
        return replace(self, frame=None)


NOTHING = Shown()


class Scene:
    """Which marks and which caption are over each picture.

    Marks show as long as their note is on. Those that carry a number are true on their own frame
    only, so they show only while the picture stands still on it; those that follow tracked points
    go with them on every frame, each with the number of that frame.
    """

    def __init__(
        self,
        review: Review,
        timeline: Timeline,
        cues: Sequence[Cue],
        readings: Readings,
        words: Words = ENGLISH,
        moving: Mover | None = None,
        sizes: Sizes | None = None,
    ) -> None:
        """``sizes`` are those of what is painted, by default of the clip with usual captions.

        Without ``moving`` every mark stays where it was placed.
        """
        self._words = words
        self._notes = {note.id: note for note in review.notes}
        self._timeline = timeline
        self._cues = sorted(cues, key=lambda cue: cue.start_us)
        self._readings = readings
        self._plumb_deg = camera_of(review).upright_deg.value
        sizes = sizes or Sizes(review.clip.width, review.clip.height)
        self._moves = (
            None if moving is None else Moves(moving, timeline, sizes, words, self._plumb_deg)
        )

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
        moves = note_id is not None and any(map(self._moves_along, self._notes[note_id].marks))
        return Shown(note_id, self._cue_at(frame.out_us), is_still, frame.index if moves else None)

    def overlay(self, shown: Shown) -> Overlay:
        """What is painted for it and doesn't move: ``shown.at_rest`` has the same."""
        note = self._notes[shown.note_id] if shown.note_id is not None else None
        return Overlay(
            marks=self._marks(note, shown.is_still) if note else (),
            caption=None if shown.cue is None else self._caption(self._cues[shown.cue]),
            keep_clear=self._captions(note) if note else (),
            plumb_deg=self._plumb_deg,
        )

    def moving_overlay(self, shown: Shown) -> Overlay:
        """What goes with the body; it lies under the rest."""
        if self._moves is None or shown.note_id is None or shown.frame is None:
            return Overlay()
        note = self._notes[shown.note_id]
        self._moves.prepare(note, self._captions(note))
        return Overlay(marks=self._moves.at(note, shown.frame), plumb_deg=self._plumb_deg)

    def still(self, note_id: str) -> Overlay:
        """All marks of a note on its first frame, for a picture without captions."""
        note = self._notes[note_id]
        marks = self._marks(note, is_still=True)
        if self._moves is not None and any(map(self._moves_along, note.marks)):
            self._moves.prepare(note, self._captions(note))
            marks += self._moves.at(note, self._moves.first_frame(note))
        return Overlay(marks=marks, plumb_deg=self._plumb_deg)

    def _cue_at(self, out_us: int) -> int | None:
        number = bisect_right(self._cues, out_us, key=lambda cue: cue.start_us) - 1
        return number if number >= 0 and out_us < self._cues[number].end_us else None

    def _marks(self, note: Note, is_still: bool) -> tuple[ShownMark, ...]:
        return tuple(
            ShownMark(mark, note.kind, self._reading(note, mark))
            for mark in note.marks
            if (is_still or not is_measuring(mark)) and not self._moves_along(mark)
        )

    def _moves_along(self, mark: Mark) -> bool:
        return self._moves is not None and self._moves.has(mark)

    def _captions(self, note: Note) -> tuple[CaptionText, ...]:
        return tuple(self._caption(cue) for cue in self._cues if cue.note_id == note.id)

    def _reading(self, note: Note, mark: Mark) -> str | None:
        return self._readings.get((note.id, mark.id))

    def _caption(self, cue: Cue) -> CaptionText:
        heading = cue.heading or caption_heading(cue.kind, cue.region, self._words)
        return CaptionText(cue.lines, heading, cue.kind, cue.place)
