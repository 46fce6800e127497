"""Grey pictures of a clip, up and down the frames, in bounded memory."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from typing import Final, Protocol, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

Grey: TypeAlias = NDArray[np.uint8]

_WORKING_SIDE: Final = 1440
"""Pictures with a longer short side are followed at an even fraction of their size."""


class Picture(Protocol):
    """One displayed frame; ``y`` is its (H, W) uint8 luma."""

    @property
    def index(self) -> int: ...

    @property
    def y(self) -> Grey: ...


class Film(Protocol):
    """What is needed of a clip: an opened ``cliptag.clip.Clip`` is one."""

    @property
    def times_us(self) -> NDArray[np.int64]: ...

    @property
    def digest(self) -> str: ...

    def __len__(self) -> int: ...

    def planes(self, first: int = 0, stop: int | None = None) -> Iterator[Picture]: ...


class GreyFilm:
    """Reads a film upwards, and downwards from what was kept meanwhile.

    What wasn't kept is decoded in parts of ``keep_bytes`` when it is walked down. Pictures are
    (H, W) uint8, shrunk by the whole number ``shrink`` where they are large.
    """

    def __init__(self, film: Film, keep_bytes: int) -> None:
        self._film = film
        first = next(iter(film.planes(0, 1))).y
        height, width = first.shape
        self.shrink = -(-min(height, width) // _WORKING_SIDE)
        self._size = (width // self.shrink, height // self.shrink)
        self.room = max(2, keep_bytes // (self._size[0] * self._size[1]))
        self._kept: deque[tuple[int, Grey]] = deque()

    def upwards(self, first: int, last: int, keep: range = range(0)) -> Iterator[tuple[int, Grey]]:
        """Frames ``first`` to ``last``; those in ``keep`` wait for ``downwards``."""
        for index, grey in self._read(first, last):
            if index in keep:
                self._keep(index, grey)
            yield index, grey

    def downwards(self, first: int, last: int) -> Iterator[tuple[int, Grey]]:
        """Frames from ``last`` down to ``first``; kept pictures are let go of on the way."""
        for at in range(last, first - 1, -1):
            if not self._kept or self._kept[-1][0] != at:
                self._kept.clear()
                for index, grey in self._read(max(first, at + 1 - self.room), at):
                    self._keep(index, grey)
            yield self._kept.pop()

    def _read(self, first: int, last: int) -> Iterator[tuple[int, Grey]]:
        for picture in self._film.planes(first, last + 1):
            yield picture.index, self._working(picture.y)

    def _working(self, y: Grey) -> Grey:
        if self.shrink == 1:
            return y
        width, height = self._size
        # Cut to a whole number of blocks, so that pixel edges stay where they are.
        whole = y[: height * self.shrink, : width * self.shrink]
        return np.asarray(cv2.resize(whole, self._size, interpolation=cv2.INTER_AREA), np.uint8)

    def _keep(self, index: int, grey: Grey) -> None:
        # A copy: the decoder's own memory would be held together with the colour planes.
        self._kept.append((index, grey.copy()))
        if len(self._kept) > self.room:
            self._kept.popleft()
