"""The parts of the exported video, named so that a person can jump to them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Chapter:
    """A named part of the exported video, from ``start_us`` until ``end_us`` of its time.

    Both are whole milliseconds except the end of the last chapter, so that the file and the video
    agree exactly.
    """

    start_us: int
    end_us: int
    title: str
