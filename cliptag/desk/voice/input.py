"""The microphones, through QtMultimedia; none is no error."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from typing import Any, Final, Protocol, TypeAlias

import numpy as np
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from numpy.typing import NDArray

from cliptag.voice import TAKE_RATE

Samples: TypeAlias = NDArray[np.int16]
"""(n,) at ``TAKE_RATE``."""

NO_MICROPHONE: Final = (
    "No microphone was found: plug one in to speak your notes; everything else works without."
)
_BUFFER_S: Final = 2
"""So long may the window be busy before anything is lost."""


class SoundInput(Protocol):
    """Something that hears."""

    name: str

    def begin(self, heard: Callable[[Samples], None]) -> bool:
        """Start; ``heard`` is called in the window's thread. False if it can't."""

    def end(self) -> None:
        """Stop; what was still on its way is heard first."""

    def is_alive(self) -> bool:
        """Whether it still hears; not when it was unplugged."""


def input_names() -> tuple[str, ...]:
    """The microphones by name, the system's usual one first; empty where there is none."""
    return tuple(device.description() for device in _devices())


def open_input(name: str = "") -> SoundInput | None:
    """The microphone of this name, else the system's usual one; None where there is none."""
    devices = _devices()
    named = [device for device in devices if device.description() == name]
    chosen = next(iter(named or devices), None)
    return None if chosen is None else _QtInput(chosen)


def _devices() -> list[Any]:
    with suppress(ImportError):  # with the system's libraries for it
        from PyQt6.QtMultimedia import QMediaDevices

        usual = QMediaDevices.defaultAudioInput()
        others = [d for d in QMediaDevices.audioInputs() if d.id() != usual.id()]
        return [device for device in (usual, *others) if not device.isNull()]
    return []


class _QtInput:
    """QAudioSource, read as it hears."""

    def __init__(self, device: Any) -> None:
        from PyQt6 import QtMultimedia

        self._multimedia: Any = QtMultimedia
        self.name = device.description()
        wanted = QtMultimedia.QAudioFormat()
        wanted.setSampleRate(TAKE_RATE)
        wanted.setChannelCount(1)
        wanted.setSampleFormat(QtMultimedia.QAudioFormat.SampleFormat.Int16)
        self._format = wanted if device.isFormatSupported(wanted) else device.preferredFormat()
        self._source = QtMultimedia.QAudioSource(device, self._format)
        self._source.setBufferSize(self._format.bytesForDuration(_BUFFER_S * 1_000_000))
        self._to_take = _to_take(self._format, QtMultimedia.QAudioFormat.SampleFormat)
        self._device: Any = None
        self._heard: Callable[[Samples], None] = lambda _: None

    def begin(self, heard: Callable[[Samples], None]) -> bool:
        self._heard = heard
        self._device = self._source.start()
        if self._device is None:
            return False
        self._device.readyRead.connect(self._read)
        return True

    def end(self) -> None:
        if self._device is not None:
            self._read()
            self._device = None
            self._source.stop()

    def is_alive(self) -> bool:
        audio = self._multimedia.QtAudio
        if self._device is None or self._source.state() == audio.State.StoppedState:
            return False
        return bool(self._source.error() in (audio.Error.NoError, audio.Error.UnderrunError))

    def _read(self) -> None:
        if self._device is not None:
            samples = self._to_take(bytes(self._device.readAll()))
            if len(samples):
                self._heard(samples)


def _to_take(form: Any, kinds: Any) -> Callable[[bytes], Samples]:
    """What turns a device's bytes into samples of a take."""
    types = {kinds.UInt8: "u1", kinds.Int16: "<i2", kinds.Int32: "<i4", kinds.Float: "<f4"}
    names = {kinds.UInt8: "u8", kinds.Int16: "s16", kinds.Int32: "s32", kinds.Float: "flt"}
    kind, channels, rate = form.sampleFormat(), form.channelCount(), form.sampleRate()
    if (kind, channels, rate) == (kinds.Int16, 1, TAKE_RATE):
        return lambda data: np.frombuffer(data[: len(data) // 2 * 2], "<i2").astype(np.int16)
    resampler = AudioResampler(format="s16", layout="mono", rate=TAKE_RATE)
    layout = "mono" if channels == 1 else "stereo"
    frame_bytes = np.dtype(types[kind]).itemsize * channels

    def convert(data: bytes) -> Samples:
        whole = np.frombuffer(data[: len(data) // frame_bytes * frame_bytes], types[kind])
        if not len(whole):
            return np.zeros(0, np.int16)
        heard = np.ascontiguousarray(whole.reshape(-1, channels)[:, :2])
        frame = AudioFrame.from_ndarray(heard.reshape(1, -1), format=names[kind], layout=layout)
        frame.sample_rate = rate
        made = [piece.to_ndarray().reshape(-1) for piece in resampler.resample(frame)]
        return np.concatenate(made).astype(np.int16) if made else np.zeros(0, np.int16)

    return convert
