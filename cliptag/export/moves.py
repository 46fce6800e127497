"""Marks that go with the body: what they look like on each picture while their note is on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

import numpy as np

from cliptag.export.numbers import reading_words
from cliptag.export.timeline import Hold, Play, Timeline
from cliptag.measure import COVERAGE_FACTOR
from cliptag.paint import CaptionText, LabelSpot, ShownMark, Sizes, caption_box, steady_spots
from cliptag.review import Mark, Note
from cliptag.times import frame_at
from cliptag.words import Words

if TYPE_CHECKING:
    from cliptag.measure import MovingMarks

_MOST_LOOKED_AT: Final = 24
"""So many pictures tell where a label has room all through a note."""

_CALM_SD_DEG: Final = 1.0 / COVERAGE_FACTOR
"""As little is shown at least, ± 1° in whole degrees: running tenths could not be read."""


@dataclass(frozen=True, slots=True)
class _NoteMoves:
    """How a note's labels stay calm: by mark id, their places and the uncertainty they show."""

    spots: dict[str, LabelSpot]
    sds: dict[str, float]


class Moves:
    """The moving marks of every note.

    A label keeps its place by its mark for the whole note, and shows the largest uncertainty that
    the note's frames have, so that neither it nor its digits hop about.
    """

    def __init__(
        self,
        marks: MovingMarks,
        timeline: Timeline,
        sizes: Sizes,
        words: Words,
        plumb_deg: float = 0.0,
    ) -> None:
        self._marks = marks
        self._timeline = timeline
        self._sizes = sizes
        self._words = words
        self._plumb_deg = plumb_deg
        self._notes: dict[str, _NoteMoves] = {}

    def has(self, mark: Mark) -> bool:
        """Whether a mark moves."""
        return self._marks.has(mark)

    def prepare(self, note: Note, captions: Sequence[CaptionText]) -> None:
        """Choose how the note's labels stay calm; they keep off these captions."""
        if note.id in self._notes:
            return
        frames = self._frames_of(note)
        sds = {
            mark.id: sd
            for mark in note.marks
            if (sd := self._largest_sd(note, mark, frames)) is not None
        }
        looked_at = frames[:: max(1, -(-len(frames) // _MOST_LOOKED_AT))]
        pictures = [self._shown(note, frame, {}, sds) for frame in looked_at]
        spots = steady_spots(
            [marks for marks in pictures if marks],
            self._sizes,
            plumb_deg=self._plumb_deg,
            keep_clear=[caption_box(caption, self._sizes) for caption in captions],
        )
        self._notes[note.id] = _NoteMoves(spots, sds)

    def at(self, note: Note, frame: int) -> tuple[ShownMark, ...]:
        """The note's moving marks on a frame of the clip; those with a hidden point are left out.

        The note was prepared.
        """
        known = self._notes[note.id]
        return self._shown(note, frame, known.spots, known.sds)

    def first_frame(self, note: Note) -> int:
        """The frame on which the note was made."""
        return frame_at(self._marks.times_us, note.start_us)

    def _shown(
        self, note: Note, frame: int, spots: dict[str, LabelSpot], sds: dict[str, float]
    ) -> tuple[ShownMark, ...]:
        shown = []
        for mark in note.marks:
            moved = self._marks.at(mark, frame)
            if moved is not None:
                text = self._text(note, mark, frame, sds.get(mark.id, 0.0))
                shown.append(ShownMark(moved, note.kind, text, spots.get(mark.id)))
        return tuple(shown)

    def _text(self, note: Note, mark: Mark, frame: int, sd: float) -> str | None:
        reading = self._marks.reading(note.id, mark, frame)
        if reading is None:
            return None
        if reading.unit == "°":
            sd = max(sd, _CALM_SD_DEG)
        return reading_words(replace(reading, sd=sd), self._words)

    def _largest_sd(self, note: Note, mark: Mark, frames: Sequence[int]) -> float | None:
        readings = [self._marks.reading(note.id, mark, frame) for frame in frames]
        return max((reading.sd for reading in readings if reading is not None), default=None)

    def _frames_of(self, note: Note) -> list[int]:
        """The clip's frames that the video shows in the note's time, the held one first."""
        times_us, window = self._marks.times_us, self._timeline.window_of(note.id)
        frames: dict[int, None] = {self.first_frame(note): None}
        for span in self._timeline.spans:
            if window is None or not window.start_us <= span.out_start_us < window.end_us:
                continue
            if isinstance(span, Hold):
                frames[frame_at(times_us, span.source_us)] = None
            elif isinstance(span, Play):
                ends = np.searchsorted(times_us, [span.source_start_us, span.source_end_us])
                frames.update(dict.fromkeys(range(int(ends[0]), int(ends[1]))))
        return list(frames)
