"""A clip's frames one after the other, for whoever puts pictures together."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from cliptag.clip import Clip, PlanarFrame

_WORTH_A_SEEK: Final = 60
"""Frames; further ahead, decoding begins anew there."""


class FrameFeed:
    """The planes of a clip's frames in one size; going forward in small steps, each is decoded
    once. A frame is valid until the next is asked for.
    """

    def __init__(self, clip: Clip, size: tuple[int, int]) -> None:
        self._clip = clip
        self._size = size
        self._decoding: Iterator[PlanarFrame] = iter(())
        self._decoded: PlanarFrame | None = None

    def frame(self, index: int) -> PlanarFrame:
        """Frame ``index`` of the clip. Raises ClipError when it can't be decoded."""
        if self._decoded is None or not 0 <= index - self._decoded.index <= _WORTH_A_SEEK:
            self._decoding = self._clip.planes(index, size=self._size)
            self._decoded = next(self._decoding)
        while self._decoded.index < index:
            self._decoded = next(self._decoding)
        return self._decoded

    def close(self) -> None:
        """Stop decoding."""
        self._decoding = iter(())
        self._decoded = None
