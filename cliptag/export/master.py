"""The finished sound of the exported video: the clip's own, the voice over it, at one loudness.

It is mixed once and kept in files without names, so that a long video takes no memory and that
what is heard on the desk is, sample by sample, what goes into the file.

Loudness follows EBU R 128; of what R 128 s2 leaves to streams (-20 to -16 LUFS, from memory) it is
the loudest, for phones.
"""

from __future__ import annotations

import contextlib
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import IO, Final

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import ExportError, VoiceError
from cliptag.export.ffmpeg import SOUND_RATE
from cliptag.export.soundtrack import CHANNELS, Samples, SoundSource, sound_blocks, to_sample
from cliptag.export.timeline import Timeline
from cliptag.review import Review
from cliptag.voice import (
    QUIETER_DB,
    SILENT_LUFS,
    Ducking,
    LoudnessMeter,
    TakeReader,
    faded,
    limited,
    margin_samples,
    ramp,
    take_file,
)

TARGET_LUFS: Final = -16.0
TRUE_PEAK_DB: Final = -1.5
"""What the file keeps to."""

_CEILING_DB: Final = -3.0
"""AAC at our rate moves peaks by up to a decibel and a half."""
_MOST_RISE_DB: Final = 12.0
"""A clip's own sound is mostly a room: louder than this it would be nothing but noise."""
_MOST_VOICE_RISE_DB: Final = 36.0
_CLOSE_DB: Final = 0.2
_TRIES: Final = 4
_BLOCK: Final = SOUND_RATE
# While a block of sound is on, all pictures wait in the muxer for the next one.
_SENT_BLOCK: Final = SOUND_RATE // 20
_INT16: Final = 32_768.0
_FLOAT_BYTES: Final = 4 * CHANNELS
_SAMPLE_BYTES: Final = 2 * CHANNELS

Floats = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Spoken:
    """A stretch of a take, heard from ``out_us`` of the video on."""

    out_us: int
    path: Path
    start_us: int
    end_us: int


def spoken_in(review: Review, timeline: Timeline, home: Path) -> tuple[Spoken, ...]:
    """The takes of a review whose file lies in ``home``, where the video has them.

    Raises ExportError when one is gone.
    """
    spoken = []
    for note in review.notes:
        window = timeline.window_of(note.id)
        if note.voice is None or window is None:
            continue
        path = take_file(note.voice.path, home)
        if not path.is_file():
            raise ExportError(
                f"The recorded voice {path.name} is not in {path.parent}: put the file back, "
                "record the note anew, or remove its voice."
            )
        spoken.append(Spoken(window.start_us, path, note.voice.start_us, note.voice.end_us))
    return tuple(spoken)


class Master:
    """The finished sound track. Not thread-safe; to be closed."""

    def __init__(self, length: int, file: IO[bytes] | None) -> None:
        self.length: Final = length
        """In samples."""
        self._file = file

    def read(self, start: int, stop: int) -> Samples:
        """(stop - start, 2) samples; silence before the start and after the end."""
        found = np.zeros((max(0, stop - start), CHANNELS), np.int16)
        first, last = max(0, start), min(stop, self.length)
        if self._file is not None and first < last:
            self._file.seek(first * _SAMPLE_BYTES)
            data = self._file.read((last - first) * _SAMPLE_BYTES)
            found[first - start : last - start] = np.frombuffer(data, np.int16).reshape(
                -1, CHANNELS
            )
        return found

    def blocks(self) -> Iterator[Samples]:
        """All of it in order."""
        for start in range(0, self.length, _SENT_BLOCK):
            yield self.read(start, min(start + _SENT_BLOCK, self.length))

    def close(self) -> None:
        """Let go of it."""
        if self._file is not None:
            self._file.close()


def make_master(
    timeline: Timeline,
    source: SoundSource | None,
    spoken: Sequence[Spoken] = (),
    check: Callable[[], None] = lambda: None,
) -> Master:
    """Mix, level and limit the sound of a video; ``check`` is called often and may raise.

    The voice is brought to the target by itself, take by take. While it is heard, the clip's sound
    is kept ``QUIETER_DB`` below it. The whole is brought to ``TARGET_LUFS``; a clip's sound alone
    is made louder by ``_MOST_RISE_DB`` at most. Silence stays silence.

    Raises ExportError when a take can't be read.
    """
    length = to_sample(timeline.duration_us)
    if source is None and not spoken:
        return Master(length, None)
    with contextlib.ExitStack() as files:
        meter = LoudnessMeter()
        mix = _own_sound(timeline, source, files, meter, check)
        if spoken:
            mix, meter = _with_voices(mix, length, meter, spoken, files, check)
        most_db = _MOST_VOICE_RISE_DB if spoken else _MOST_RISE_DB
        return Master(length, _levelled(mix, length, meter, most_db, files, check))


def _own_sound(
    timeline: Timeline,
    source: SoundSource | None,
    files: contextlib.ExitStack,
    meter: LoudnessMeter,
    check: Callable[[], None],
) -> IO[bytes]:
    """The clip's sound on the video's clock, in a file of floats."""
    file = files.enter_context(_nameless())
    for block in sound_blocks(timeline, source):
        check()
        floats = block.astype(np.float32) / np.float32(_INT16)
        meter.push(floats)
        file.write(floats.tobytes())
    meter.finish()
    return file


def _with_voices(
    own: IO[bytes],
    length: int,
    own_meter: LoudnessMeter,
    spoken: Sequence[Spoken],
    files: contextlib.ExitStack,
    check: Callable[[], None],
) -> tuple[IO[bytes], LoudnessMeter]:
    """The clip's sound with the voices over it, and how loud that is."""
    voices = [_Voice(one, check) for one in spoken]
    duckings = tuple(
        Ducking(voice.start, voice.stop, _depth_db(own_meter, voice)) for voice in voices
    )
    file = files.enter_context(_nameless())
    meter = LoudnessMeter()
    with contextlib.ExitStack() as takes:
        for voice in voices:
            takes.callback(voice.close)
        for start in range(0, length, _BLOCK):
            check()
            stop = min(start + _BLOCK, length)
            mixed = _floats(own, start, stop)
            mixed *= ramp(duckings, start, stop - start)[:, np.newaxis]
            for voice in voices:
                voice.add_to(mixed, start)
            meter.push(mixed)
            file.write(mixed.tobytes())
    meter.finish()
    return file, meter


def _depth_db(own: LoudnessMeter, voice: _Voice) -> float:
    """How much quieter the clip's loudest part under a voice must be."""
    step = SOUND_RATE * LoudnessMeter.STEP_US // 1_000_000
    under = own.momentary[voice.start // step : voice.stop // step + 1]
    loudest = max(under, default=SILENT_LUFS)
    return max(0.0, loudest - (TARGET_LUFS - QUIETER_DB))


class _Voice:
    """A stretch of a take at the target's loudness, in its place of the video."""

    def __init__(self, spoken: Spoken, check: Callable[[], None]) -> None:
        self.start: Final = to_sample(spoken.out_us)
        self.stop: Final = self.start + to_sample(spoken.end_us - spoken.start_us)
        self._first_us = spoken.start_us
        try:
            self._reader = TakeReader(spoken.path)
        except VoiceError as error:
            raise ExportError(str(error)) from error
        self._gain = self._gain_to_target(check)

    def add_to(self, mixed: Floats, at: int) -> None:
        """Add what is heard of it in a block of the video that starts at sample ``at``."""
        first, last = max(self.start, at), min(self.stop, at + len(mixed))
        if first < last:
            mixed[first - at : last - at] += self._sound(first - self.start, last - self.start)

    def close(self) -> None:
        self._reader.close()

    def _sound(self, first: int, last: int) -> Floats:
        from_us = self._first_us + first * 1_000_000 // SOUND_RATE
        # A microsecond more than needed: rounding may not leave out the last sample.
        found = self._reader.read(from_us, from_us + (last - first) * 1_000_000 // SOUND_RATE + 25)
        floats = found[: last - first].astype(np.float32) * np.float32(self._gain / _INT16)
        return faded(floats, first, self.stop - self.start)

    def _gain_to_target(self, check: Callable[[], None]) -> float:
        self._gain = 1.0
        meter = LoudnessMeter()
        for first in range(0, self.stop - self.start, _BLOCK):
            check()
            meter.push(self._sound(first, min(first + _BLOCK, self.stop - self.start)))
        meter.finish()
        return _gain_of(meter.integrated, _MOST_VOICE_RISE_DB)


def _levelled(
    mix: IO[bytes],
    length: int,
    meter: LoudnessMeter,
    most_db: float,
    files: contextlib.ExitStack,
    check: Callable[[], None],
) -> IO[bytes]:
    """The mix at the target's loudness, with its peaks kept down, in a file of 16 bits."""
    gain = _gain_of(meter.integrated, most_db)
    wanted = min(TARGET_LUFS, meter.integrated + most_db)
    file = _nameless()
    with contextlib.ExitStack() as on_failure:
        on_failure.callback(file.close)
        for _ in range(_TRIES):
            file.seek(0)
            reached = _limit_into(file, mix, length, gain, check)
            short_db = wanted - reached
            # Keeping peaks down costs some loudness, which a little more gain makes up for.
            if reached <= SILENT_LUFS or abs(short_db) <= _CLOSE_DB:
                break
            gain *= 10 ** (short_db / 20)
        on_failure.pop_all()
    return file


def _limit_into(
    file: IO[bytes], mix: IO[bytes], length: int, gain: float, check: Callable[[], None]
) -> float:
    """Write the limited mix; gives how loud it is."""
    meter = LoudnessMeter()
    margin = margin_samples()
    for start in range(0, length, _BLOCK):
        check()
        stop = min(start + _BLOCK, length)
        first, last = max(0, start - margin), min(length, stop + margin)
        block = limited(_floats(mix, first, last), gain, _CEILING_DB)
        block = block[start - first : len(block) - (last - stop)]
        meter.push(block)
        file.write(np.rint(block * _INT16).astype(np.int16).tobytes())
    meter.finish()
    return meter.integrated


def _nameless() -> IO[bytes]:
    """A file on the disk that goes when it is closed, and with the program."""
    return tempfile.TemporaryFile()


def _gain_of(integrated: float, most_db: float) -> float:
    if integrated <= SILENT_LUFS:
        return 1.0
    return float(10 ** (min(TARGET_LUFS - integrated, most_db) / 20))


def _floats(file: IO[bytes], start: int, stop: int) -> Floats:
    file.seek(start * _FLOAT_BYTES)
    data = file.read((stop - start) * _FLOAT_BYTES)
    return np.frombuffer(data, np.float32).reshape(-1, CHANNELS).copy()
