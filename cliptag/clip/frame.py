"""One displayed frame."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

import numpy as np
from av.video.frame import VideoFrame
from numpy.typing import NDArray


class Frame:
    """One displayed frame; its pixels are converted when first asked for, and kept.

    It stays valid after its clip is closed.
    """

    def __init__(
        self,
        index: int,
        time_us: int,
        to_rgb: Callable[[], NDArray[np.uint8]],
        native: VideoFrame | None = None,
    ) -> None:
        """``native`` is the frame as decoded, before it is turned or converted, if it was."""
        self.index = index
        self.time_us = time_us
        self._to_rgb = to_rgb
        self._native = native

    def __repr__(self) -> str:
        return f"Frame({self.index}, {self.time_us / 1e6:.3f} s)"

    @cached_property
    def rgb(self) -> NDArray[np.uint8]:
        """(H, W, 3) uint8 as displayed: BT.709 R'G'B', contiguous, read-only."""
        return self._to_rgb()
