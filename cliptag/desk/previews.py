"""Small pictures of the whole clip, made in the background while nothing else is asked for."""

from __future__ import annotations

import threading
import time
from bisect import bisect_left
from collections.abc import Callable
from contextlib import suppress
from typing import Final

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtGui import QImage

from cliptag.clip import Clip
from cliptag.desk.images import as_image
from cliptag.errors import ClipError

HEIGHT: Final = 216
MOST: Final = 200
"""So many pictures of 16:9 take 66 MB."""
_GAP_US: Final = 500_000

_TOLD_EACH_S: Final = 0.15
_LONGEST_WAIT_S: Final = 0.8
_LOOK_AGAIN_S: Final = 0.02


class Previews:
    """Small pictures by the frames that they show."""

    def __init__(self) -> None:
        self._images: dict[int, QImage] = {}
        self._indexes: list[int] = []

    def __len__(self) -> int:
        return len(self._indexes)

    def add(self, index: int, image: QImage) -> None:
        """Keep the picture of a frame."""
        if index not in self._images:
            self._indexes.insert(bisect_left(self._indexes, index), index)
        self._images[index] = image

    def near(self, index: int) -> QImage | None:
        """The picture nearest to a frame; None as long as there is none at all."""
        place = bisect_left(self._indexes, index)
        near = self._indexes[max(0, place - 1) : place + 1]
        best = min(near, key=lambda other: abs(other - index), default=None)
        return None if best is None else self._images[best]


class PreviewMaker(QObject):
    """Makes small pictures of a clip in a thread of its own, about one for every half second.

    It waits while ``is_busy``, but never for long.
    """

    made = pyqtSignal(list)
    """Some more: a list of (frame index, QImage)."""

    def __init__(
        self, clip: Clip, is_busy: Callable[[], bool], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._clip = clip
        self._is_busy = is_busy
        self._is_closing = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin, unless it has begun already."""
        if self._thread is None and not self._is_closing.is_set():
            self._thread = threading.Thread(target=self._run, name="desk previews", daemon=True)
            self._thread.start()

    def end(self) -> None:
        """Give up what is left; the thread ends by itself."""
        self._is_closing.set()

    def close(self) -> None:
        """End, and wait for the thread."""
        self.end()
        if self._thread is not None:
            self._thread.join()

    def _run(self) -> None:
        # What is wrong with a clip is told when its frames themselves are asked for.
        with suppress(ClipError):
            self._make(min(max(1, self._clip.duration_us // _GAP_US), MOST))

    def _make(self, count: int) -> None:
        thumbnails = self._clip.thumbnails(count, HEIGHT, self._is_closing.is_set)
        batch: list[tuple[int, QImage]] = []
        told_s = time.monotonic()
        while not self._is_closing.is_set():
            self._let_others_go_first()
            frame = next(thumbnails, None)
            if frame is not None:
                batch.append((frame.index, as_image(frame.rgb)))
            if batch and (frame is None or time.monotonic() - told_s > _TOLD_EACH_S):
                self.made.emit(batch)
                batch, told_s = [], time.monotonic()
            if frame is None:
                return

    def _let_others_go_first(self) -> None:
        until_s = time.monotonic() + _LONGEST_WAIT_S
        while self._is_busy() and time.monotonic() < until_s:
            if self._is_closing.wait(_LOOK_AGAIN_S):
                return
