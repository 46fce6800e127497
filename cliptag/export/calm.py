"""The numbers of marks that go with the body, calm enough to be read while they run."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from cliptag.export.mover import Mover
from cliptag.export.timeline import Hold, Play, Timeline
from cliptag.measure import COVERAGE_FACTOR, Reading
from cliptag.review import Mark, Note
from cliptag.times import frame_at

LEAST_SD_DEG: Final = 1.0 / COVERAGE_FACTOR
"""As little is shown at least, ± 1° in whole degrees: running tenths could not be read."""


def calmed(reading: Reading) -> Reading:
    """The number of a mark that goes with the body, as it is shown while it moves."""
    sd = max(reading.sd, LEAST_SD_DEG) if reading.unit == "°" else reading.sd
    # Which way nothing leans would change from frame to frame.
    return replace(reading, sd=sd, sense=reading.sense if abs(reading.value) >= sd else "")


class CalmReadings:
    """What each moving mark reads; on the picture and in the transcript it is the same.

    All through its note a mark shows the largest uncertainty that the note's frames have, so that
    its digits don't hop about.
    """

    def __init__(self, marks: Mover, timeline: Timeline) -> None:
        self._marks, self._timeline = marks, timeline
        self._sds: dict[tuple[str, str], float] = {}

    def at(self, note: Note, mark: Mark, frame: int) -> Reading | None:
        """A mark's number on a frame of the clip; None where it isn't known, or it has none."""
        reading = self._marks.reading(note.id, mark, frame)
        if reading is None:
            return None
        return calmed(replace(reading, sd=max(reading.sd, self._largest_sd(note, mark))))

    def at_start(self, note: Note, mark: Mark) -> Reading | None:
        """The number on the frame on which the note was made."""
        return self.at(note, mark, self.first_frame(note))

    def first_frame(self, note: Note) -> int:
        """The frame on which the note was made."""
        return frame_at(self._marks.times_us, note.start_us)

    def frames_of(self, note: Note) -> list[int]:
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

    def _largest_sd(self, note: Note, mark: Mark) -> float:
        key = note.id, mark.id
        if key not in self._sds:
            found = (self._marks.reading(note.id, mark, at) for at in self.frames_of(note))
            self._sds[key] = max((one.sd for one in found if one is not None), default=0.0)
        return self._sds[key]
