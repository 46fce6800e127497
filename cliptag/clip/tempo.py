"""Sound made slower or faster without a change of pitch, by FFmpeg's ``atempo`` filter."""

from __future__ import annotations

from fractions import Fraction
from typing import Final

import av.error
import numpy as np
from av.audio.frame import AudioFrame
from av.filter import Graph

from cliptag.clip.sound import CHANNELS, RATE, Samples


class Tempo:
    """Changes the tempo of a stream of sound, at ``SoundReader``'s rate, piece by piece.

    Use it for ``SLOWEST`` to ``FASTEST``; beyond, the filter leaves out or repeats too much.
    """

    SLOWEST: Final = 0.5
    FASTEST: Final = 2.0
    LEAD_US: Final = 19_000
    """What comes out is so much ahead of its time: begin to feed it from so much earlier.

    Measured with clicks at five tempos; a single click may be 15 ms off either way.
    """

    def __init__(self, speed: float) -> None:
        self._fed = 0
        graph = Graph()
        source = graph.add_abuffer(
            sample_rate=RATE, format="s16", layout="stereo", time_base=Fraction(1, RATE)
        )
        graph.link_nodes(source, graph.add("atempo", str(speed)), graph.add("abuffersink"))
        graph.configure()
        self._graph = graph

    def feed(self, samples: Samples) -> Samples:
        """Put in (n, 2) samples; gives those (m, 2) that are ready, none for the first few."""
        if not len(samples):
            return samples
        frame = AudioFrame.from_ndarray(
            np.ascontiguousarray(samples).reshape(1, -1), format="s16", layout="stereo"
        )
        frame.sample_rate, frame.time_base, frame.pts = RATE, Fraction(1, RATE), self._fed
        self._fed += len(samples)
        self._graph.push(frame)
        pieces = [np.zeros((0, CHANNELS), np.int16)]
        while True:
            try:
                piece = self._graph.pull()
            except (av.error.BlockingIOError, av.error.EOFError):
                return np.concatenate(pieces)
            assert isinstance(piece, AudioFrame)
            pieces.append(piece.to_ndarray().reshape(-1, CHANNELS).astype(np.int16, copy=False))
