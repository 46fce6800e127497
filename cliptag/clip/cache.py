"""Decoded frames kept within a budget of bytes."""

from __future__ import annotations

import threading
from bisect import bisect_left, insort

from av.video.frame import VideoFrame

BEHIND_COUNTS = 2
"""A frame behind the direction of travel is as dispensable as one so many times further ahead."""


class FrameCache:
    """Frames by number, at most ``budget_bytes`` of them. Thread-safe.

    When it is full, the frame furthest from where the viewer is goes first; frames against the
    direction of travel count as further. One frame is always kept, however large it is.
    """

    def __init__(self, budget_bytes: int) -> None:
        self.budget_bytes = budget_bytes
        self._lock = threading.Lock()
        self._frames: dict[int, VideoFrame] = {}
        self._numbers: list[int] = []
        self._bytes = 0
        self._focus = 0
        self._direction = 1

    @property
    def used_bytes(self) -> int:
        with self._lock:
            return self._bytes

    def look_from(self, focus: int, direction: int) -> None:
        """Tell where the viewer is and which way he goes (1 or -1)."""
        with self._lock:
            self._focus, self._direction = focus, direction

    def get(self, number: int) -> VideoFrame | None:
        with self._lock:
            return self._frames.get(number)

    def put(self, number: int, frame: VideoFrame) -> None:
        with self._lock:
            if number in self._frames:
                return
            self._frames[number] = frame
            insort(self._numbers, number)
            self._bytes += frame_bytes(frame)
            while self._bytes > self.budget_bytes and len(self._frames) > 1:
                self._drop_furthest()

    def first_missing(self, start: int, step: int, stop: int) -> int:
        """The first number from ``start`` on, by ``step`` (1 or -1), that isn't kept, or stop."""
        with self._lock:
            number = start
            while number != stop and number in self._frames:
                number += step
            return number

    def clear(self) -> None:
        with self._lock:
            self._frames.clear()
            self._numbers.clear()
            self._bytes = 0

    def _drop_furthest(self) -> None:
        first, last = self._numbers[0], self._numbers[-1]
        number = first if self._distance(first) > self._distance(last) else last
        del self._numbers[bisect_left(self._numbers, number)]
        self._bytes -= frame_bytes(self._frames.pop(number))

    def _distance(self, number: int) -> int:
        ahead = (number - self._focus) * self._direction
        return ahead if ahead >= 0 else -ahead * BEHIND_COUNTS


def frame_bytes(frame: VideoFrame) -> int:
    """Memory of a decoded frame's planes."""
    return sum(plane.buffer_size for plane in frame.planes)
