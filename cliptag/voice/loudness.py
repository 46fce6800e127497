"""Loudness by ITU-R BS.1770 and EBU R128, measured while sound goes by."""

from __future__ import annotations

import contextlib
import math
from fractions import Fraction
from typing import Final

import av.error
import av.filter
import numpy as np
from av.audio.frame import AudioFrame
from numpy.typing import NDArray

from cliptag.voice.reader import TAKE_RATE

SILENT_LUFS: Final = -70.0
"""Below the absolute gate of BS.1770: there is nothing to be heard."""


class LoudnessMeter:
    """Measures (n, 2) float32 samples at 48 kHz, 1.0 being the limit, in bounded memory.

    FFmpeg's own filter does it (``ebur128``; ITU-R BS.1770-4, EBU R128 and Tech 3341).
    """

    STEP_US: Final = 100_000

    def __init__(self) -> None:
        self._graph = av.filter.Graph()
        self._source = self._graph.add_abuffer(
            format="flt",
            sample_rate=TAKE_RATE,
            layout="stereo",
            time_base=Fraction(1, TAKE_RATE),
        )
        meter = self._graph.add("ebur128", "metadata=1")
        self._sink = self._graph.add("abuffersink")
        self._source.link_to(meter)
        meter.link_to(self._sink)
        self._graph.configure()
        self._at = 0
        self.momentary: list[float] = []
        """The loudness of the last 400 ms (LUFS), every ``STEP_US``."""
        self.integrated = SILENT_LUFS
        """Of all that went by, gated; in LUFS."""

    def push(self, block: NDArray[np.float32]) -> None:
        """Let sound go by."""
        if not len(block):
            return
        frame = AudioFrame.from_ndarray(
            np.ascontiguousarray(block, np.float32).reshape(1, -1), format="flt", layout="stereo"
        )
        frame.sample_rate, frame.pts = TAKE_RATE, self._at
        frame.time_base = Fraction(1, TAKE_RATE)
        self._at += len(block)
        self._source.push(frame)
        self._pull()

    def finish(self) -> None:
        """No more comes: what is short of a whole step counts too."""
        # The filter takes only whole steps; silence doesn't change a gated measure.
        rest = -self._at % (TAKE_RATE * self.STEP_US // 1_000_000)
        if rest or not self._at:
            self.push(np.zeros((rest or TAKE_RATE // 10, 2), np.float32))
        if self._at < TAKE_RATE * 4 // 10:  # less than one gating block
            self.push(np.zeros((TAKE_RATE * 4 // 10 - self._at, 2), np.float32))

    def _pull(self) -> None:
        with contextlib.suppress(av.error.BlockingIOError):
            while True:
                told = self._sink.pull().metadata
                self.momentary.append(_number(told.get("lavfi.r128.M", "")))
                self.integrated = max(SILENT_LUFS, _number(told.get("lavfi.r128.I", "")))


def _number(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        return -math.inf
    return -math.inf if math.isnan(value) else value
