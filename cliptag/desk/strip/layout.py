"""Which note's bar lies on which lane of the strip, so that bars cover each other least."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cliptag.review import Note


@dataclass(frozen=True, slots=True)
class Bar:
    """A note on a lane, counted from 0 at the top; ``room_us`` is where the next bar begins."""

    note: Note
    lane: int
    room_us: float


@dataclass(frozen=True, slots=True)
class Layout:
    """All bars, by start; in the document's order where notes start together."""

    bars: tuple[Bar, ...]
    lane_count: int
    starts_us: NDArray[np.float64]
    latest_us: NDArray[np.float64]
    """The latest that any bar up to this one reaches to."""

    def between(self, start_us: float, end_us: float) -> Sequence[Bar]:
        """The bars that may be seen between two times (and perhaps a few more)."""
        first = int(np.searchsorted(self.latest_us, start_us))
        stop = int(np.searchsorted(self.starts_us, end_us, side="right"))
        return self.bars[first:stop]

    @property
    def lanes(self) -> dict[str, int]:
        """The lane of each note, by its id."""
        return {bar.note.id: bar.lane for bar in self.bars}


@dataclass(frozen=True, slots=True)
class Need:
    """Up to when a bar needs its lane: to be seen at all, and to be seen with its words."""

    bare_until_us: float
    worded_until_us: float


def lay_out(
    notes: Sequence[Note],
    need: Callable[[Note], Need],
    most_lanes: int,
    frozen: Mapping[str, int] | None = None,
) -> Layout:
    """Give each note a lane of its own for as long as it needs it, or as nearly so as there is.

    The first lane that leaves all words readable, else a new lane, else the one that hides the
    fewest words; at the last the one that gets free first, where the bars overlap. ``frozen``
    keeps notes on their lanes.
    """
    ordered = sorted(notes, key=lambda note: note.start_us)
    needs = [need(note) for note in ordered]
    lanes = _lanes(ordered, needs, most_lanes, frozen or {})
    room_us = _rooms(ordered, lanes)
    bars = tuple(
        Bar(note, lane, room) for note, lane, room in zip(ordered, lanes, room_us, strict=True)
    )
    starts = np.array([note.start_us for note in ordered], np.float64)
    ends = np.array([need.worded_until_us for need in needs], np.float64)
    latest = np.maximum.accumulate(ends) if len(ends) else ends
    return Layout(bars, 1 + max(lanes, default=-1), starts, latest)


def _lanes(
    ordered: Sequence[Note], needs: Sequence[Need], most: int, frozen: Mapping[str, int]
) -> list[int]:
    taken: list[Need] = []
    lanes = []
    for note, need in zip(ordered, needs, strict=True):
        lane = frozen.get(note.id)
        if lane is None:
            lane = _best(taken, note.start_us, most)
        taken.extend([Need(0.0, 0.0)] * (lane + 1 - len(taken)))
        before = taken[lane]
        taken[lane] = Need(
            max(before.bare_until_us, need.bare_until_us),
            max(before.worded_until_us, need.worded_until_us),
        )
        lanes.append(lane)
    return lanes


def _best(taken: Sequence[Need], start_us: float, most: int) -> int:
    for lane, need in enumerate(taken):
        if need.worded_until_us <= start_us:
            return lane
    if len(taken) < most:
        return len(taken)
    bare = [lane for lane, need in enumerate(taken) if need.bare_until_us <= start_us]
    if bare:
        return min(bare, key=lambda lane: taken[lane].worded_until_us)
    return min(range(len(taken)), key=lambda lane: taken[lane].bare_until_us)


def _rooms(ordered: Sequence[Note], lanes: Sequence[int]) -> list[float]:
    following: dict[int, float] = {}
    rooms = []
    for note, lane in zip(reversed(ordered), reversed(lanes), strict=True):
        rooms.append(following.get(lane, float("inf")))
        following[lane] = note.start_us
    return rooms[::-1]
