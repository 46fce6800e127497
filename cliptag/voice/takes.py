"""A take's file: written so that a crash loses a moment of it at most, then kept as FLAC.

While it is recorded, a take is a WAV file whose header tells no length (the sizes are 0xFFFFFFFF,
as streaming programs write them); every piece of sound is with the operating system at once and
on the disk within a second. When it ends, or when the review is opened again after a crash, it
becomes a FLAC file beside it. Earlier takes are never written over.
"""

from __future__ import annotations

import contextlib
import os
import re
import struct
import time
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path, PurePosixPath
from typing import BinaryIO, Final

import av
import numpy as np
from av.audio.frame import AudioFrame
from numpy.typing import NDArray

from cliptag.errors import VoiceError
from cliptag.files import replacing
from cliptag.review import SUFFIX
from cliptag.voice.reader import TAKE_RATE

_RECORDING: Final = ".recording.wav"
_HEADER_BYTES: Final = 44
_UNKNOWN: Final = 0xFFFFFFFF
_SAMPLE_BYTES: Final = 2
_SYNC_EVERY_S: Final = 1.0
_STILL_S: Final = 5.0
"""A take that is being recorded grows all the time."""
_BLOCK: Final = 4096


def voice_folder(review_path: Path) -> Path:
    """Where the takes of a review are: ``NAME.voice`` beside ``NAME.review.json``."""
    return review_path.with_name(review_path.name.removesuffix(SUFFIX) + ".voice")


def new_take(folder: Path, name: str) -> Path:
    """A file for a take that is about to be recorded; ``name`` is its note's id, or a word.

    The folder is made if it isn't there. Raises VoiceError when nothing can be written there.
    """
    stem = re.sub(r"[^A-Za-z0-9_-]", "_", name)[:60] or "take"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for number in range(1, 100_000):
            taken = any(
                (folder / f"{stem}-{number}{end}").exists() for end in (".flac", ".wav", _RECORDING)
            )
            if not taken:
                path = folder / f"{stem}-{number}{_RECORDING}"
                path.touch(exist_ok=False)
                return path
    except OSError as error:
        raise _cannot_write(folder, error) from error
    raise VoiceError(f"There are too many takes in {folder}: move old ones elsewhere.")


class TakeWriter:
    """Writes a take as it is recorded; (n,) int16 samples at ``TAKE_RATE``."""

    def __init__(self, path: Path) -> None:
        """``path`` is that of ``new_take``. Raises VoiceError."""
        self.path = path
        self._synced_s = time.monotonic()
        self._samples = 0
        try:
            self._file: BinaryIO = path.open("r+b", buffering=0)
            self._file.write(_header(_UNKNOWN))
            os.fsync(self._file.fileno())
        except OSError as error:
            raise _cannot_write(path.parent, error) from error

    @property
    def length_us(self) -> int:
        """How much is recorded."""
        return self._samples * 1_000_000 // TAKE_RATE

    def write(self, samples: NDArray[np.int16]) -> None:
        """Append; raises VoiceError, and what was written before stays."""
        data = memoryview(samples.astype("<i2").tobytes())
        try:
            while data:
                data = data[self._file.write(data) :]
            now_s = time.monotonic()
            if now_s - self._synced_s >= _SYNC_EVERY_S:
                self._synced_s = now_s
                os.fsync(self._file.fileno())
        except OSError as error:
            raise _cannot_write(self.path.parent, error) from error
        self._samples += len(samples)

    def close(self) -> None:
        """Have the disk hold all of it."""
        with contextlib.suppress(OSError):
            os.fsync(self._file.fileno())
        self._file.close()


def finish_take(recording: Path) -> Path | None:
    """Turn what was recorded into FLAC beside it; gives its path, None for an empty take.

    Half a sample at the end, as a crash leaves it, is dropped. The recording goes once the FLAC
    file is complete on the disk. Raises VoiceError; then the recording is as it was.
    """
    target = recording.with_name(recording.name.removesuffix(_RECORDING) + ".flac")
    try:
        if recording.stat().st_size < _HEADER_BYTES + _SAMPLE_BYTES:
            recording.unlink()
            return None
        with replacing(target) as part:
            _write_flac(part, _recorded(recording))
        recording.unlink()
    except OSError as error:
        raise _cannot_write(recording.parent, error) from error
    return target


def left_takes(folder: Path) -> tuple[Path, ...]:
    """Recordings that a crash left unfinished, oldest first; not those that still go on."""
    found = [path for path in folder.glob(f"*{_RECORDING}") if not is_being_recorded(path)]
    return tuple(sorted(found, key=lambda path: path.stat().st_mtime))


def is_being_recorded(path: Path) -> bool:
    """Whether a recording grew within the last seconds."""
    try:
        return abs(time.time() - path.stat().st_mtime) < _STILL_S
    except OSError:
        return False


def path_of_take(take: Path, review_path: Path) -> str:
    """How a review file writes the path of a take."""
    relative = os.path.relpath(take.absolute(), review_path.absolute().parent)
    return Path(relative).as_posix()


def take_file(path: str, home: Path) -> Path:
    """Where a take is whose review lies in the folder ``home``."""
    return Path(os.path.normpath(home.absolute() / Path(PurePosixPath(path))))


def _header(data_bytes: int) -> bytes:
    riff = data_bytes if data_bytes == _UNKNOWN else data_bytes + _HEADER_BYTES - 8
    form = struct.pack("<HHIIHH", 1, 1, TAKE_RATE, TAKE_RATE * 2, 2, 16)
    return b"RIFF%sWAVEfmt \x10\0\0\0%sdata%s" % (
        struct.pack("<I", riff),
        form,
        struct.pack("<I", data_bytes),
    )


def _recorded(recording: Path) -> Iterator[NDArray[np.int16]]:
    """What was recorded, whatever the header says."""
    with recording.open("rb") as file:
        file.seek(_HEADER_BYTES)
        while data := file.read(_BLOCK * _SAMPLE_BYTES):
            whole = len(data) // _SAMPLE_BYTES * _SAMPLE_BYTES
            if whole:
                yield np.frombuffer(data[:whole], "<i2").astype(np.int16)


def _write_flac(target: Path, blocks: Iterator[NDArray[np.int16]]) -> None:
    with av.open(f"file:{target}", "w", format="flac") as container:
        stream = container.add_stream("flac", rate=TAKE_RATE)
        stream.layout = "mono"
        stream.format = "s16"
        stream.time_base = Fraction(1, TAKE_RATE)
        at = 0
        for block in blocks:
            frame = AudioFrame.from_ndarray(block.reshape(1, -1), format="s16", layout="mono")
            frame.sample_rate, frame.pts = TAKE_RATE, at
            frame.time_base = Fraction(1, TAKE_RATE)
            container.mux(stream.encode(frame))
            at += len(block)
        container.mux(stream.encode(None))


def _cannot_write(folder: Path, error: OSError) -> VoiceError:
    return VoiceError(
        f"Nothing can be recorded into {folder} ({error.strerror or error}): free some space, or "
        "put the clip and its review into a folder that can be written."
    )
