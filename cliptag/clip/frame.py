"""One displayed frame."""

from __future__ import annotations

from functools import cached_property

from av.video.frame import VideoFrame

from cliptag.clip.picture import Converter, Plane


class Frame:
    """One displayed frame; its pixels are converted when first asked for, and kept.

    It stays valid after its clip is closed.
    """

    def __init__(self, index: int, time_us: int, native: VideoFrame, converter: Converter) -> None:
        self.index = index
        self.time_us = time_us
        self._native = native
        self._converter = converter

    def __repr__(self) -> str:
        return f"Frame({self.index}, {self.time_us / 1e6:.3f} s)"

    @cached_property
    def rgb(self) -> Plane:
        """(H, W, 3) uint8 as displayed: BT.709 R'G'B', contiguous, read-only."""
        return self._converter.rgb(self._native)
