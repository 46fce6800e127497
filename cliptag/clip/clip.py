"""What every clip is, be it a video or a photo."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator
from functools import cached_property
from pathlib import Path
from types import TracebackType
from typing import Self

import numpy as np
from numpy.typing import NDArray

from cliptag.clip.convert import Size
from cliptag.clip.digest import digest_of
from cliptag.clip.frame import Frame
from cliptag.clip.info import ClipInfo
from cliptag.clip.picture import PlanarFrame
from cliptag.clip.sound import SoundReader
from cliptag.errors import ClipError
from cliptag.times import frame_at


class Clip(ABC):
    """A video or photo opened for exact reading; close it, or use it in a ``with`` block.

    Frame ``i`` is shown from ``times_us[i]`` until ``times_us[i + 1]``, the last one until
    ``duration_us``; times are microseconds from the first displayed frame.
    """

    path: Path
    info: ClipInfo
    times_us: NDArray[np.int64]
    """(N,) read-only; the first is 0; never falls."""
    duration_us: int

    def __len__(self) -> int:
        return len(self.times_us)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @cached_property
    def digest(self) -> str:
        """What the file is known by wherever it is moved, see ``digest_of``."""
        return digest_of(self.path)

    def index_at(self, time_us: int) -> int:
        """The frame shown at a time; before the start the first one, after the end the last."""
        return frame_at(self.times_us, time_us)

    @abstractmethod
    def frame(self, index: int) -> Frame:
        """Exactly the displayed frame ``index``, counted from 0. May be called from any thread.

        Raises IndexError outside 0 to ``len(clip) - 1`` and ClipError when the frame is damaged or
        the clip was closed.
        """

    @abstractmethod
    def planes(
        self, first: int = 0, stop: int | None = None, *, size: Size | None = None
    ) -> Iterator[PlanarFrame]:
        """Frames ``first`` to ``stop - 1`` in order, for an export.

        Each call decodes by itself, so that it disturbs nothing else; give up the iterator to end
        it. ``size`` is (width, height), both even; otherwise the displayed size, where an odd side
        is made even by repeating its last row or column.
        """

    @abstractmethod
    def thumbnails(
        self, count: int, height: int, is_cancelled: Callable[[], bool] = lambda: False
    ) -> Iterator[Frame]:
        """At most ``count`` frames from all over the clip, their ``rgb`` at most ``height`` high.

        Frames that are quick to get at come first, so that the first few already lie all over the
        clip; a damaged one is left out. Both numbers are at least 1. Decodes by itself; give up
        the iterator to end it. ``is_cancelled`` is asked on the way to each one, too, and ends it.
        """

    @abstractmethod
    def sound(self) -> SoundReader | None:
        """A reader of the clip's sound, to be closed by the caller; None if it has none."""

    @abstractmethod
    def close(self) -> None:
        """Let go of the file and all memory; may be repeated."""

    def _check(self, index: int) -> None:
        if not 0 <= index < len(self):
            raise IndexError(f"frame {index} is not one of 0 to {len(self) - 1}")

    def _check_range(self, first: int, stop: int | None, size: Size | None) -> int:
        last = len(self) if stop is None else stop
        if not 0 <= first <= last <= len(self):
            raise IndexError(f"frames {first} to {last} are not within 0 to {len(self)}")
        if size is not None and (min(size) < 2 or size[0] % 2 or size[1] % 2):
            raise ClipError(f"A picture of {size[0]} × {size[1]} can't be made: use even numbers.")
        return last
