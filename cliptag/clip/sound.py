"""A clip's sound on the clip's own clock, resampled to 48 kHz stereo."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Final, TypeAlias

import av.error
import numpy as np
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.stream import Discard, Disposition
from numpy.typing import NDArray

from cliptag.clip.source import open_container
from cliptag.errors import ClipError

Samples: TypeAlias = NDArray[np.int16]

RATE: Final = 48_000
CHANNELS: Final = 2

# A timestamp further than this from where the sound would go on starts the sound anew there:
# above Matroska's rounding to 1 ms, below what lip and sound may be apart (20 ms).
_JUMP_SAMPLES: Final = RATE * 8 // 1000
# Decoding begins so much earlier than wanted, in seconds: codecs need a run-up (Opus: 80 ms, RFC
# 7845, 4.6), and some containers seek roughly.
_RUN_UPS: Final = (Fraction(1, 2), Fraction(2), Fraction(8))
# Further ahead than this a seek is quicker than decoding on.
_WORTH_A_SEEK: Final = RATE * 10


class SoundReader:
    """Reads the sound between two times of the clip. Not thread-safe.

    Time 0 is the clip's first displayed frame. Where the file has no sound there is silence.
    Reading forward piece by piece decodes everything once.
    """

    rate: Final = RATE
    channels: Final = CHANNELS

    def __init__(self, path: Path, clip_start: Fraction) -> None:
        """``clip_start`` is the file's time, in seconds, of the first displayed frame.

        Raises ClipError when the file has no sound that can be decoded.
        """
        self._clip_start = clip_start
        self._container = open_container(path)
        stream = pick_sound(self._container)
        if stream is None:
            self._container.close()
            raise ClipError(f"{path.name} has no sound that can be read.")
        self._stream = stream
        for other in self._container.streams:
            if other.index != stream.index:
                other.discard = Discard.all
        self._begin()

    def read(self, start_us: int, stop_us: int) -> Samples:
        """(n, 2) samples; n is exactly the whole samples between the two rounded times."""
        start, stop = _sample_at(start_us), _sample_at(stop_us)
        sound = np.zeros((max(0, stop - start), CHANNELS), np.int16)
        if not len(sound):
            return sound
        if start < self._kept_from or start > self._decoded_to + _WORTH_A_SEEK:
            self._seek(start)
        self._decode_to(stop, keep_from=start)
        for at, samples in self._pieces:
            first, last = max(at, start), min(at + len(samples), stop)
            if first < last:
                sound[first - start : last - start] = samples[first - at : last - at]
        return sound

    def close(self) -> None:
        """Let go of the file."""
        self._pieces.clear()
        self._container.close()

    def _begin(self, kept_from: int = -(2**62)) -> None:
        self._kept_from = self._decoded_to = kept_from
        self._pieces: list[tuple[int, Samples]] = []
        self._decoding: Iterator[tuple[int, Samples]] = _decode(
            self._container, self._stream, self._clip_start
        )

    def _decode_to(self, stop: int, keep_from: int) -> None:
        while self._decoded_to < stop:
            piece = next(self._decoding, None)
            if piece is None:
                break
            self._pieces.append(piece)
            self._decoded_to = piece[0] + len(piece[1])
            self._forget_before(keep_from)
        self._forget_before(keep_from)

    def _forget_before(self, keep_from: int) -> None:
        self._kept_from = keep_from
        self._pieces = [piece for piece in self._pieces if piece[0] + len(piece[1]) > keep_from]

    def _seek(self, start: int) -> None:
        time_base = self._stream.time_base or Fraction(1, RATE)
        for run_up in _RUN_UPS:
            time = Fraction(start, RATE) + self._clip_start - run_up
            with suppress(av.error.FFmpegError):
                self._container.seek(round(time / time_base), stream=self._stream, backward=True)
                self._begin(start)
                first = next(self._decoding, None)
                if first is not None and first[0] < start:
                    self._pieces.append(first)
                    self._decoded_to = first[0] + len(first[1])
                    return
        with suppress(av.error.FFmpegError):
            self._container.seek(-(2**62), backward=False)
        self._begin(start)


def pick_sound(container: InputContainer) -> AudioStream | None:
    """The sound that a player would play; None if there is none or FFmpeg can't decode it."""
    playable = [stream for stream in container.streams.audio if stream.codec_context is not None]
    return next(
        (stream for stream in playable if stream.disposition & Disposition.default),
        playable[0] if playable else None,
    )


def _decode(
    container: InputContainer, stream: AudioStream, clip_start: Fraction
) -> Iterator[tuple[int, Samples]]:
    """Pieces of sound with the sample, on the clip's clock, that each one starts at."""
    resampler: AudioResampler | None = None
    shape: tuple[int, str, str] | None = None
    origin = heard = written = 0  # samples: where this run began, taken from it, given of it
    for frame in _decoded_frames(container, stream):
        expected = origin + round(Fraction(heard * RATE, frame.sample_rate))
        at = expected if frame.pts is None else _place(frame, stream, clip_start)
        its_shape = (frame.sample_rate, frame.format.name, frame.layout.name)
        if resampler is None or its_shape != shape or abs(at - expected) > _JUMP_SAMPLES:
            if resampler is not None:
                yield origin + written, _resampled(resampler, None)
            resampler = AudioResampler(format="s16", layout="stereo", rate=RATE)
            shape, origin, heard, written = its_shape, at, 0, 0
        heard += frame.samples
        samples = _resampled(resampler, frame)
        yield origin + written, samples
        written += len(samples)
    if resampler is not None:
        yield origin + written, _resampled(resampler, None)


def _decoded_frames(container: InputContainer, stream: AudioStream) -> Iterator[AudioFrame]:
    packets = container.demux(stream)
    while True:
        try:
            packet = next(packets, None)
            if packet is None:
                return
            frames = stream.codec_context.decode(packet if packet.size else None)
        except av.error.InvalidDataError:
            continue  # a damaged packet: its time stays silent
        except (av.error.FFmpegError, EOFError):
            return
        yield from frames


def _place(frame: AudioFrame, stream: AudioStream, clip_start: Fraction) -> int:
    time_base = stream.time_base or Fraction(1, frame.sample_rate)
    return round(((frame.pts or 0) * time_base - clip_start) * RATE)


def _resampled(resampler: AudioResampler, frame: AudioFrame | None) -> Samples:
    pieces = [piece.to_ndarray().reshape(-1, CHANNELS) for piece in resampler.resample(frame)]
    return np.concatenate(pieces).astype(np.int16) if pieces else np.zeros((0, CHANNELS), np.int16)


def _sample_at(time_us: int) -> int:
    return round(Fraction(time_us * RATE, 1_000_000))
