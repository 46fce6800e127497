"""How loud the microphone is at this moment, and whether it is too loud."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

FLOOR_DB: Final = -90.0
_FULL: Final = 32_767
_CLIPPED_RUN: Final = 3
"""So many samples at the limit in a row are a flattened peak, not a chance."""


@dataclass(frozen=True, slots=True)
class Level:
    """The highest sample in dB below the limit, and whether peaks were flattened at it."""

    peak_db: float = FLOOR_DB
    is_clipped: bool = False


def level_of(samples: NDArray[np.int16]) -> Level:
    """The level of (n,) samples."""
    if not len(samples):
        return Level()
    heights = np.abs(samples.astype(np.int32))
    peak = int(heights.max())
    is_full = heights >= _FULL
    runs = np.convolve(is_full, np.ones(_CLIPPED_RUN), "valid") if is_full.any() else np.zeros(1)
    peak_db = 20 * np.log10(peak / 32_768) if peak else FLOOR_DB
    return Level(max(FLOOR_DB, float(peak_db)), bool(runs.max(initial=0) >= _CLIPPED_RUN))
