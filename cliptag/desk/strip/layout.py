"""Which note's bar lies on which lane of the strip, so that bars cover each other least.

A review may hold thousands of notes: what is asked for each redraw is kept in arrays.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from cliptag.review import Note


@dataclass(frozen=True, slots=True)
class Layout:
    """All bars by start; in the document's order where notes start together.

    All arrays are (N,), in the order of ``notes``; times in microseconds.
    """

    notes: tuple[Note, ...]
    lanes: NDArray[np.int64]
    """Counted from 0 at the top."""
    lane_count: int
    starts_us: NDArray[np.float64]
    ends_us: NDArray[np.float64]
    worded_us: NDArray[np.float64]
    """How long a bar with its words is."""
    room_us: NDArray[np.float64]
    """How long it may be until the next bar on its lane begins."""
    latest_us: NDArray[np.float64]
    """Up to when any bar until this one may reach."""

    def between(self, start_us: float, end_us: float) -> range:
        """The places of the bars that may be seen between two times (and perhaps a few more)."""
        first = int(np.searchsorted(self.latest_us, start_us))
        return range(first, int(np.searchsorted(self.starts_us, end_us, side="right")))

    def place_of(self, note_id: str) -> int | None:
        """The place of a note; None if there is none with this id."""
        return next((place for place, n in enumerate(self.notes) if n.id == note_id), None)

    def fits(
        self,
        ordered: Sequence[Note],
        starts_us: NDArray[np.float64],
        ends_us: NDArray[np.float64],
        worded_us: NDArray[np.float64],
    ) -> bool:
        """Whether the same notes are as long and as wide as these."""
        return (
            np.array_equal(self.starts_us, starts_us)
            and np.array_equal(self.ends_us, ends_us)
            and np.array_equal(self.worded_us, worded_us)
            and [note.id for note in self.notes] == [note.id for note in ordered]
        )

    def lanes_by_id(self) -> dict[str, int]:
        """The lane of each note."""
        return {note.id: int(lane) for note, lane in zip(self.notes, self.lanes, strict=True)}


def lay_out(
    notes: Sequence[Note],
    bare_us: float,
    worded_us: Sequence[float],
    most_lanes: int,
    frozen: Mapping[str, int] | None = None,
    before: Layout | None = None,
) -> Layout:
    """Give each note a lane of its own for as long as it needs it, or as nearly so as there is.

    ``bare_us`` is how long a bar must be to be seen at all, ``worded_us`` how long each must be to
    be seen with its words. A note gets the first lane that leaves all words readable, else a new
    lane, else the one that hides the fewest words; at the last the one that gets free first, where
    the bars overlap. ``frozen`` keeps notes on their lanes. ``before`` is a layout for the same
    lanes: it is taken over if it still fits, as it does while somebody writes.
    """
    order = sorted(range(len(notes)), key=lambda place: notes[place].start_us)
    ordered = tuple(notes[place] for place in order)
    starts = np.array([note.start_us for note in ordered], np.float64)
    ends = np.array([note.end_us for note in ordered], np.float64)
    worded = np.array([worded_us[place] for place in order], np.float64)
    if before is not None and not frozen and before.fits(ordered, starts, ends, worded):
        return replace(before, notes=ordered)
    bare_until = np.maximum(ends, starts + bare_us)
    worded_until = np.maximum(ends, starts + worded)
    lanes = _lanes(
        ordered, starts.tolist(), bare_until.tolist(), worded_until.tolist(), most_lanes, frozen
    )
    return Layout(
        notes=ordered,
        lanes=np.array(lanes, np.int64),
        lane_count=1 + max(lanes, default=-1),
        starts_us=starts,
        ends_us=ends,
        worded_us=worded,
        room_us=_rooms(starts.tolist(), lanes) - starts,
        latest_us=np.maximum.accumulate(worded_until) if len(lanes) else worded_until,
    )


def _lanes(
    ordered: Sequence[Note],
    starts: Sequence[float],
    bare_until: Sequence[float],
    worded_until: Sequence[float],
    most: int,
    frozen: Mapping[str, int] | None,
) -> list[int]:
    bare: list[float] = []
    worded: list[float] = []
    lanes = []
    for place, start in enumerate(starts):
        lane = frozen.get(ordered[place].id) if frozen else None
        if lane is None:
            lane = _best(bare, worded, start, most)
        while lane >= len(bare):
            bare.append(0.0)
            worded.append(0.0)
        bare[lane] = max(bare[lane], bare_until[place])
        worded[lane] = max(worded[lane], worded_until[place])
        lanes.append(lane)
    return lanes


def _best(bare: Sequence[float], worded: Sequence[float], start: float, most: int) -> int:
    for lane, until in enumerate(worded):
        if until <= start:
            return lane
    if len(worded) < most:
        return len(worded)
    seen = [lane for lane, until in enumerate(bare) if until <= start]
    return min(seen, key=worded.__getitem__) if seen else bare.index(min(bare))


def _rooms(starts: Sequence[float], lanes: Sequence[int]) -> NDArray[np.float64]:
    """When the next bar on each one's lane begins."""
    following: dict[int, float] = {}
    rooms = np.full(len(starts), np.inf)
    for place in reversed(range(len(starts))):
        rooms[place] = following.get(lanes[place], np.inf)
        following[lanes[place]] = starts[place]
    return rooms
