"""Speech made on the spot by espeak-ng, and takes that hold it."""

from __future__ import annotations

import shutil
import subprocess
import wave
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import correlate, resample_poly

from cliptag.clip import digest_of
from cliptag.review import Voice
from cliptag.voice import TAKE_RATE, TakeWriter, finish_take, new_take, path_of_take, voice_folder

SENTENCE = "Your knees come inwards when you stand up from the stool."
OTHER = "Push the floor away with both feet."


@cache
def speech(words: str = SENTENCE, speed: int = 150) -> NDArray[np.int16]:
    """(n,) samples at 48 kHz; the test is skipped where espeak-ng isn't installed."""
    if shutil.which("espeak-ng") is None:
        pytest.skip("espeak-ng is not installed (sh .ci/setup_tests.sh installs it)")
    data = subprocess.run(
        ["espeak-ng", "-v", "en-us", "-s", str(speed), "--stdout", words],
        capture_output=True,
        check=True,
        timeout=30,
    ).stdout
    at = data.index(b"data") + 8  # to a pipe espeak-ng writes no length
    rate = int.from_bytes(data[24:28], "little")
    samples = np.frombuffer(data[at : at + (len(data) - at) // 2 * 2], "<i2").astype(float)
    higher = resample_poly(samples, TAKE_RATE, rate)
    return np.clip(np.rint(higher), -32_768, 32_767).astype(np.int16)


def silence(seconds: float) -> NDArray[np.int16]:
    """(n,) samples of nothing."""
    return np.zeros(round(seconds * TAKE_RATE), np.int16)


def take_of(samples: NDArray[np.int16], review_path: Path, name: str = "n1") -> Path:
    """A finished take beside a review."""
    writer = TakeWriter(new_take(voice_folder(review_path), name))
    writer.write(samples)
    writer.close()
    take = finish_take(writer.path)
    assert take is not None
    return take


def voice_in(take: Path, review_path: Path, start_us: int, end_us: int, **fields: bool) -> Voice:
    """A stretch of a take as a note has it."""
    return Voice(
        path=path_of_take(take, review_path),
        start_us=start_us,
        end_us=end_us,
        digest=digest_of(take),
        **fields,
    )


def write_wav(path: Path, samples: NDArray[np.int16]) -> Path:
    """A mono WAV file at 48 kHz."""
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(TAKE_RATE)
        file.writeframes(samples.astype("<i2").tobytes())
    return path


def place_of(part: NDArray[np.generic], whole: NDArray[np.generic]) -> float:
    """Where a sound is in another one, in seconds, by cross-correlation."""
    likeness = correlate(whole.astype(float), part.astype(float), mode="valid", method="fft")
    return int(np.argmax(np.abs(likeness))) / TAKE_RATE
