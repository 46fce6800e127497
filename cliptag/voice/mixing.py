"""How the clip's own sound makes room for a voice."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.voice.reader import TAKE_RATE

QUIETER_DB: Final = 20.0
"""How far below the voice the clip's sound must stay: WCAG 2.2, success criterion 1.4.7."""
_DOWN: Final = TAKE_RATE * 300 // 1000
_UP: Final = TAKE_RATE * 500 // 1000
"""Down before the first word, and up slower after the last: neither is heard as a step."""
_FADE: Final = TAKE_RATE * 8 // 1000  # long enough not to click, too short to be heard


@dataclass(frozen=True, slots=True)
class Ducking:
    """The clip's sound is ``by_db`` quieter from sample ``start`` to ``stop``."""

    start: int
    stop: int
    by_db: float


def ramp(duckings: tuple[Ducking, ...], start: int, length: int) -> NDArray[np.float32]:
    """(length,) the gain of the clip's sound from sample ``start`` on; the deepest one counts."""
    place = np.arange(start, start + length)
    depth = np.zeros(length)
    for duck in duckings:
        if duck.stop + _UP <= start or duck.start - _DOWN >= start + length:
            continue
        fall = np.clip((place - (duck.start - _DOWN)) / _DOWN, 0.0, 1.0)
        rise = np.clip((duck.stop + _UP - place) / _UP, 0.0, 1.0)
        share = np.minimum(fall, rise)
        depth = np.maximum(depth, duck.by_db * (0.5 - 0.5 * np.cos(np.pi * share)))
    return np.asarray(10 ** (-depth / 20), np.float32)


def faded(block: NDArray[np.float32], at: int, length: int) -> NDArray[np.float32]:
    """A block that starts at sample ``at`` of ``length``, faded in and out at the two ends."""
    place = np.arange(at, at + len(block)) + 0.5
    gain = np.clip(np.minimum(place, length - place) / _FADE, 0.0, 1.0)
    return np.asarray(block * gain[:, np.newaxis], np.float32)
