"""Reading a take, from anywhere in it."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Final

import av
import av.error
import numpy as np
from av.audio.resampler import AudioResampler
from numpy.typing import NDArray

from cliptag.errors import VoiceError

TAKE_RATE: Final = 48_000
"""Takes are mono, 16 bits, at this rate: what the exported video has."""

_WORTH_A_SEEK: Final = 2 * TAKE_RATE


class TakeReader:
    """The sound of a take on its own clock. Not thread-safe; to be closed.

    A file that the coach has worked on elsewhere may be of another rate, or stereo.
    """

    def __init__(self, path: Path) -> None:
        """Raises VoiceError when it is gone or can't be read."""
        self._path = path
        try:
            self._container = av.open(
                f"file:{path}",
                options={"protocol_whitelist": "file", "format_whitelist": "flac,wav"},
            )
            self._stream = self._container.streams.audio[0]
            length = self._stream.duration or 0
            self.length_us: Final = round(length * (self._stream.time_base or 0) * 1_000_000)
        except (av.error.FFmpegError, IndexError, OSError) as error:
            raise _unreadable(path) from error
        if not self.length_us:
            raise _unreadable(path)
        self._pieces: list[tuple[int, NDArray[np.int16]]] = []
        self._kept_from = self._decoded_to = 0
        self._begin(0)

    def read(self, start_us: int, stop_us: int) -> NDArray[np.int16]:
        """(n, 2) samples at ``TAKE_RATE``; silence outside the take. Raises VoiceError."""
        start, stop = _sample_at(start_us), _sample_at(stop_us)
        found = np.zeros((max(0, stop - start), 2), np.int16)
        if start < self._kept_from or start > self._decoded_to + _WORTH_A_SEEK:
            self._seek(start)
        while self._decoded_to < stop and (piece := self._next()) is not None:
            self._pieces.append(piece)
            self._decoded_to = piece[0] + len(piece[1])
        self._kept_from = start
        self._pieces = [(at, p) for at, p in self._pieces if at + len(p) > start]
        for at, piece_samples in self._pieces:
            first, last = max(at, start), min(at + len(piece_samples), stop)
            if first < last:
                found[first - start : last - start] = piece_samples[first - at : last - at, None]
        return found

    def close(self) -> None:
        """Let go of the file."""
        self._pieces.clear()
        self._container.close()

    def _begin(self, kept_from: int) -> None:
        self._kept_from = self._decoded_to = kept_from
        self._pieces.clear()
        self._decoding = self._decoded()

    def _seek(self, start: int) -> None:
        time_base = self._stream.time_base or Fraction(1, TAKE_RATE)
        offset = max(0, int(Fraction(start, TAKE_RATE) / time_base))
        with contextlib.suppress(av.error.FFmpegError):
            self._container.seek(offset, stream=self._stream, backward=True)
            self._begin(start)
            first = self._next()
            if first is not None and first[0] <= start:
                self._pieces.append(first)
                self._decoded_to = first[0] + len(first[1])
                return
        self._container.seek(0)
        self._begin(0)

    def _next(self) -> tuple[int, NDArray[np.int16]] | None:
        try:
            return next(self._decoding, None)
        except av.error.FFmpegError as error:
            raise _unreadable(self._path) from error

    def _decoded(self) -> Iterator[tuple[int, NDArray[np.int16]]]:
        """Pieces in order, each with the number of its first sample."""
        resampler = AudioResampler(format="s16", layout="mono", rate=TAKE_RATE)
        at: int | None = None
        for frame in self._container.decode(self._stream):
            if at is None:
                time_base = self._stream.time_base or Fraction(1, TAKE_RATE)
                at = round((frame.pts or 0) * time_base * TAKE_RATE)
            for piece in resampler.resample(frame):
                samples = np.asarray(piece.to_ndarray().reshape(-1), np.int16)
                yield at, samples
                at += len(samples)


def take_length_us(path: Path) -> int:
    """How long a take is. Raises VoiceError when it can't be read."""
    with contextlib.closing(TakeReader(path)) as reader:
        return reader.length_us


def read_take(path: Path, start_us: int, end_us: int, block_us: int) -> Iterator[NDArray[np.int16]]:
    """The (n,) samples of a stretch of a take, in blocks of ``block_us``. Raises VoiceError."""
    with contextlib.closing(TakeReader(path)) as reader:
        for at_us in range(start_us, end_us, block_us):
            yield reader.read(at_us, min(at_us + block_us, end_us))[:, 0]


def _sample_at(time_us: int) -> int:
    return (time_us * TAKE_RATE + 500_000) // 1_000_000


def _unreadable(path: Path) -> VoiceError:
    what = "can't be read" if path.exists() else "is not there"
    return VoiceError(
        f"The recorded voice {path} {what}: put the file back, record the note anew, or remove "
        "its voice."
    )
