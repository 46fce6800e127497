"""The computer's loudspeaker, through QtMultimedia; none is no error."""

from __future__ import annotations

from contextlib import suppress
from typing import Any, Final, Protocol

from cliptag.desk.sound_ahead import CHANNELS, RATE, Samples

_BUFFER_BYTES: Final = RATE * 2 * CHANNELS // 5
_FRAME_BYTES: Final = 2 * CHANNELS


class SoundOutput(Protocol):
    """Something that plays samples as they are written to it."""

    def begin(self) -> bool:
        """Start anew with nothing in it; False if it can't."""

    def end(self) -> None:
        """Fall silent at once."""

    def free(self) -> int:
        """How many samples it takes now."""

    def write(self, samples: Samples) -> int:
        """Put samples in; gives how many it took."""

    def heard(self) -> int:
        """How many samples have been played since ``begin``."""

    def set_volume(self, volume: float) -> None:
        """0 is silent, 1 as loud as the sound is."""

    def is_alive(self) -> bool:
        """Whether it still plays; not when its device was unplugged."""


def open_output() -> SoundOutput | None:
    """The device that the system plays on; None where there is none or no library for it."""
    with suppress(ImportError):
        return _QtOutput.on_default_device()
    return None


class _QtOutput:
    """QAudioSink, fed by hand."""

    def __init__(self, multimedia: Any, sink: Any) -> None:
        self._multimedia = multimedia
        self._sink = sink
        self._device: Any = None
        self._written = 0

    @classmethod
    def on_default_device(cls) -> _QtOutput | None:
        from PyQt6 import QtMultimedia  # may be missing, with the system's libraries for it

        device = QtMultimedia.QMediaDevices.defaultAudioOutput()
        if device.isNull():
            return None
        wanted = QtMultimedia.QAudioFormat()
        wanted.setSampleRate(RATE)
        wanted.setChannelCount(CHANNELS)
        wanted.setSampleFormat(QtMultimedia.QAudioFormat.SampleFormat.Int16)
        if not device.isFormatSupported(wanted):
            return None
        sink = QtMultimedia.QAudioSink(device, wanted)
        sink.setBufferSize(_BUFFER_BYTES)
        return cls(QtMultimedia, sink)

    def begin(self) -> bool:
        self._written = 0
        self._device = self._sink.start()
        return self._device is not None

    def end(self) -> None:
        self._device = None
        self._sink.reset()

    def free(self) -> int:
        return int(self._sink.bytesFree()) // _FRAME_BYTES

    def write(self, samples: Samples) -> int:
        if self._device is None:
            return 0
        took = max(0, int(self._device.write(samples.tobytes()))) // _FRAME_BYTES
        self._written += took
        return took

    def heard(self) -> int:
        # Some systems count a sample as processed when it is put into the buffer.
        waiting = int(self._sink.bufferSize() - self._sink.bytesFree()) // _FRAME_BYTES
        return max(0, self._written - max(0, waiting))

    def set_volume(self, volume: float) -> None:
        audio = self._multimedia.QtAudio
        scale = audio.VolumeScale
        self._sink.setVolume(
            audio.convertVolume(volume, scale.LogarithmicVolumeScale, scale.LinearVolumeScale)
        )

    def is_alive(self) -> bool:
        audio = self._multimedia.QtAudio
        if self._device is None or self._sink.state() == audio.State.StoppedState:
            return False
        return bool(self._sink.error() in (audio.Error.NoError, audio.Error.UnderrunError))
