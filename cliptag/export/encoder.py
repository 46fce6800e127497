"""The ffmpeg process that compresses: pictures and sound go in through one pipe."""

from __future__ import annotations

import collections
import contextlib
import os
import subprocess
import sys
import threading
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import IO, Final

import av
import numpy as np
from av.audio.stream import AudioStream
from av.container import OutputContainer
from av.video.stream import VideoStream
from numpy.typing import NDArray

from cliptag.errors import ExportError
from cliptag.export.ffmpeg import SOUND_RATE, TICKS_PER_SECOND

DISK_FULL: Final = "The disk is full: free some space or choose another folder, then export again."

_PIPE_BYTES: Final = 1 << 20
_SAID_LINES: Final = 20
_POLL_SECONDS: Final = 0.1
_GRACE_SECONDS: Final = 5.0


class Encoder:
    """Runs a command that reads NUT with raw pictures and sound, as ``encode_command`` gives.

    Used with ``with``: left without ``finish``, the process is ended. Whoever feeds it keeps the
    sound ahead of the pictures, so that no picture waits in the pipe for its sound.
    Sending raises ExportError once the process has ended.
    """

    def __init__(self, command: Sequence[str], width: int, height: int) -> None:
        self._pipe = _Pipe()
        self._nut: OutputContainer = av.open(
            self._pipe,
            mode="w",
            format="nut",
            buffer_size=_PIPE_BYTES,
            options={"write_index": "0"},  # the index would grow with the length
        )
        self._video = _raw_video(self._nut, width, height)
        self._audio = _raw_sound(self._nut)
        self._process = _started(command)
        self._pipe.stdin = self._process.stdin
        self._said: collections.deque[str] = collections.deque(maxlen=_SAID_LINES)
        # A full stderr that nobody reads would stop ffmpeg for good.
        # Daemonic, or an interrupt that comes just here would leave the program waiting for it.
        self._listener = threading.Thread(target=self._listen, name="ffmpeg-stderr", daemon=True)
        self._listener.start()

    def __enter__(self) -> Encoder:
        return self

    def __exit__(self, *_: object) -> None:
        if self._process.poll() is None:
            self._process.kill()
        self._process.wait()
        self._pipe.close()
        self._nut.close()
        self._listener.join()

    def send_picture(self, tick: int, packed: NDArray[np.uint8]) -> None:
        """Send a picture that is shown from ``tick`` on (``TICKS_PER_SECOND``).

        It isn't copied and may wait for its sound, so it must not change any more.
        """
        self._send(packed, self._video, tick, Fraction(1, TICKS_PER_SECOND))

    def send_sound(self, sample: int, block: NDArray[np.int16]) -> None:
        """Send stereo sound, (n, 2), whose first sample has this number (``SOUND_RATE``)."""
        self._send(np.ascontiguousarray(block), self._audio, sample, Fraction(1, SOUND_RATE))

    def finish(self, while_waiting: Callable[[], None]) -> None:
        """Wait until the file is complete. Raises ExportError, and what ``while_waiting`` does."""
        self._nut.close()
        self._pipe.close()
        while self._process.poll() is None:
            while_waiting()
            with contextlib.suppress(subprocess.TimeoutExpired):
                self._process.wait(_POLL_SECONDS)
        self._raise_failure()
        if self._process.returncode:
            raise self._failure()

    def _send(
        self,
        data: NDArray[np.generic],
        stream: VideoStream | AudioStream,
        time: int,
        time_base: Fraction,
    ) -> None:
        packet = av.Packet(data)  # type: ignore[arg-type]  # takes any buffer
        packet.stream = stream
        packet.time_base = time_base
        packet.pts = packet.dts = time
        packet.is_keyframe = True
        self._nut.mux_one(packet)
        self._raise_failure()

    def _listen(self) -> None:
        with self._process.stderr or contextlib.nullcontext(()) as lines:
            for line in lines:
                self._said.append(line.decode("utf-8", "replace").strip())

    def _raise_failure(self) -> None:
        failure = self._pipe.failure
        if isinstance(failure, OSError):
            raise self._failure() from failure
        if failure is not None:
            raise failure

    def _failure(self) -> ExportError:
        try:
            self._process.wait(_GRACE_SECONDS)
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.wait()
        self._listener.join()
        said = [line for line in self._said if line]
        if any("No space left on device" in line for line in said):
            error = ExportError(DISK_FULL)
        else:
            last = f"ffmpeg says: {said[-1]}" if said else f"exit code {self._process.returncode}"
            error = ExportError(
                f"The video encoder stopped before it was done ({last}): export again, and if it "
                "stops again, pass these words on to whoever looks after this program."
            )
        error.add_note("\n".join(said))
        return error


class _Pipe:
    """What PyAV writes to.

    PyAV loses an interrupt that comes during a write, and prints errors that come while another one
    waits to be raised. So the first one is kept here, and what is written after it is dropped.
    """

    def __init__(self) -> None:
        self.stdin: IO[bytes] | None = None
        self.failure: BaseException | None = None

    def write(self, data: bytes) -> int:
        rest = memoryview(data)
        try:
            while rest and self.stdin and not self.failure:
                rest = rest[self.stdin.write(rest) :]
        except BaseException as error:
            self.failure = error
        return len(data)

    def close(self) -> None:
        stdin, self.stdin = self.stdin, None
        if stdin is not None:
            with contextlib.suppress(OSError):
                stdin.close()


def _started(command: Sequence[str]) -> subprocess.Popen[bytes]:
    # Ctrl-C is for us alone: we end ffmpeg. A console program would open a window on Windows.
    flags: int = getattr(subprocess, "CREATE_NO_WINDOW", 0)
    flags |= getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0)
    try:
        process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            bufsize=0,
            creationflags=flags,
            start_new_session=os.name == "posix",
        )
    except OSError as error:
        raise ExportError(
            f"The video encoder {command[0]} can't be started ({error.strerror}): install "
            "imageio-ffmpeg again, or set CLIPTAG_FFMPEG to an ffmpeg program."
        ) from error
    _widen(process)
    return process


def _widen(process: subprocess.Popen[bytes]) -> None:
    """Let the pipe hold more, so that each picture takes fewer turns between the processes."""
    if sys.platform == "linux":
        import fcntl

        with contextlib.suppress(OSError):  # beyond what this user may have
            fcntl.fcntl(process.stdin or -1, fcntl.F_SETPIPE_SZ, _PIPE_BYTES)


def _raw_video(nut: OutputContainer, width: int, height: int) -> VideoStream:
    stream = nut.add_stream("rawvideo")
    stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
    stream.time_base = stream.codec_context.time_base = Fraction(1, TICKS_PER_SECOND)
    return stream


def _raw_sound(nut: OutputContainer) -> AudioStream:
    stream = nut.add_stream("pcm_s16le", rate=SOUND_RATE)
    stream.layout = "stereo"
    return stream
