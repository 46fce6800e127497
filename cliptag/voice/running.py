"""One take over the whole clip: what was shown when, and the notes that come of it."""

from __future__ import annotations

import contextlib
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import msgspec

from cliptag.review import Region

_LONGEST_LINE: Final = 1 << 16
_OVER_PLAY_SHARE: Final = 0.5


class LogEntry(msgspec.Struct, frozen=True, kw_only=True):
    """From ``take_us`` of the take on, the clip stands at ``clip_us``, or plays on from there.

    ``speed`` is 0 while it stands still. ``region`` is the place of the climb that is looked at.
    """

    take_us: int
    clip_us: int
    speed: float
    region: Region


class PlayheadLog:
    """Written beside the take, line by line, so that a crash leaves what came before it."""

    def __init__(self, recording: Path) -> None:
        self._path = _log_path(recording)
        self._file = self._path.open("ab", buffering=0)
        self._last: LogEntry | None = None

    def add(self, entry: LogEntry) -> None:
        """Keep an entry, unless it tells nothing new. A full disk is told of by the take itself."""
        if self._last is None or not _follows_from(self._last, entry):
            self._last = entry
            with contextlib.suppress(OSError):
                self._file.write(msgspec.json.encode(entry) + b"\n")

    def close(self) -> None:
        self._file.close()


def read_log(take: Path) -> tuple[LogEntry, ...]:
    """What was shown during a take; empty when that was not kept. A torn last line is left out."""
    entries = []
    with contextlib.suppress(OSError), _log_path(take).open("rb") as file:
        while line := file.readline(_LONGEST_LINE):
            with contextlib.suppress(msgspec.MsgspecError):
                entries.append(msgspec.json.decode(line, type=LogEntry))
    return tuple(sorted(entries, key=lambda entry: entry.take_us))


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of a running take, and the part of the clip that it speaks of."""

    start_us: int
    end_us: int
    clip_start_us: int
    clip_end_us: int
    region: Region
    is_over_play: bool


def pieces_of(
    spans: Sequence[tuple[int, int]], log: Sequence[LogEntry], clip_length_us: int
) -> tuple[Piece, ...]:
    """Each spoken stretch with what was on the desk while it was spoken.

    The clip played under it when it did so for at least half of the stretch.
    """
    pieces = []
    for start_us, end_us in spans:
        first = _entry_at(log, start_us)
        if first is None:
            continue
        shown_us = _clip_at(first, start_us, clip_length_us)
        # What one jumps to while speaking is not what one began to speak of.
        until_us = next((e.take_us for e in log if e.take_us > start_us and _jumps(log, e)), end_us)
        last = _entry_at(log, min(until_us, end_us) - 1) or first
        to_us = max(shown_us, _clip_at(last, min(until_us, end_us), clip_length_us))
        share = _playing_us(log, start_us, end_us) / max(1, end_us - start_us)
        is_over_play = share >= _OVER_PLAY_SHARE
        pieces.append(Piece(start_us, end_us, shown_us, to_us, first.region, is_over_play))
    return tuple(pieces)


def _log_path(take: Path) -> Path:
    stem = take.name.split(".")[0]
    return take.with_name(f"{stem}.shown.jsonl")


def _follows_from(before: LogEntry, entry: LogEntry) -> bool:
    expected = before.clip_us + round((entry.take_us - before.take_us) * before.speed)
    is_near = abs(expected - entry.clip_us) < 50_000
    return is_near and (before.speed, before.region) == (entry.speed, entry.region)


def _entry_at(log: Sequence[LogEntry], take_us: int) -> LogEntry | None:
    place = bisect_right(log, take_us, key=lambda entry: entry.take_us) - 1
    return log[max(0, place)] if log else None


def _clip_at(entry: LogEntry, take_us: int, clip_length_us: int) -> int:
    moved = round(max(0, take_us - entry.take_us) * entry.speed)
    return min(entry.clip_us + moved, clip_length_us)


def _jumps(log: Sequence[LogEntry], entry: LogEntry) -> bool:
    """Whether the clip was moved by hand to where an entry is."""
    place = log.index(entry)
    if place == 0:
        return False
    before = log[place - 1]
    expected = before.clip_us + round((entry.take_us - before.take_us) * before.speed)
    return abs(expected - entry.clip_us) > 500_000


def _playing_us(log: Sequence[LogEntry], start_us: int, end_us: int) -> int:
    total = 0
    for place, entry in enumerate(log):
        until = log[place + 1].take_us if place + 1 < len(log) else end_us
        if entry.speed > 0:
            total += max(0, min(until, end_us) - max(entry.take_us, start_us))
    return total
