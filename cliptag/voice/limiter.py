"""Keeps true peaks below a ceiling without a sound of its own.

The peaks between the samples are found by four times oversampling (ITU-R BS.1770-4, annex 2). The
gain goes down before a peak and up after it along a smooth curve: the least gain needed within a
window, averaged over that window, is nowhere above the gain needed.

scipy takes a second to load, and most of a day nobody speaks: it is imported where it is used.
"""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.voice.reader import TAKE_RATE

_OVERSAMPLED: Final = 4
_TAPS: Final = 12 * _OVERSAMPLED
_BETWEEN: Final = 2.0
"""How much higher than the samples a peak between them can be: even a tone at a quarter of the
rate, the worst case that annex 2 names, hides no more than 3 dB."""
_WINDOW: Final = TAKE_RATE * 30 // 1000 | 1


def margin_samples() -> int:
    """How many samples on either side a block needs to be limited as the whole would be."""
    return 2 * _WINDOW + _TAPS


def limited(samples: NDArray[np.float32], gain: float, ceiling_db: float) -> NDArray[np.float32]:
    """(n, 2) samples times ``gain``, with their true peaks at ``ceiling_db`` dBTP at most.

    Four times oversampling reads up to 0.7 dB too little at half the rate (annex 2, attachment 1).
    """
    louder = samples * np.float32(gain)
    ceiling = 10 ** (ceiling_db / 20)
    if np.abs(louder).max(initial=0.0) * _BETWEEN <= ceiling:
        return louder
    peaks = _true_peaks(louder)
    if peaks.max(initial=0.0) <= ceiling:
        return louder
    from scipy.ndimage import minimum_filter1d

    needed = np.minimum(1.0, ceiling / np.maximum(peaks, 1e-9))
    least = minimum_filter1d(needed, _WINDOW, mode="nearest")
    half = _WINDOW // 2
    smooth = np.convolve(np.pad(least, half, mode="edge"), _curve(), "valid")
    return np.asarray(louder * smooth[:, np.newaxis], np.float32)


def _true_peaks(samples: NDArray[np.float32]) -> NDArray[np.float64]:
    """(n,) the highest absolute value of both channels at and around each sample."""
    from scipy.signal import upfirdn

    delay = (len(_kernel()) - 1) // 2
    found = np.zeros(len(samples))
    for channel in samples.T:
        np.maximum(found, np.abs(channel), out=found)
        between = np.abs(upfirdn(_kernel(), channel, up=_OVERSAMPLED))
        for phase in range(_OVERSAMPLED):
            some = between[delay + phase :: _OVERSAMPLED][: len(found)]
            np.maximum(found[: len(some)], some, out=found[: len(some)])
    return found


@cache
def _kernel() -> NDArray[np.float64]:
    from scipy.signal import firwin

    low = firwin(_TAPS + 1, 1 / _OVERSAMPLED, window=("kaiser", 6.0))
    return np.asarray(low * _OVERSAMPLED)


@cache
def _curve() -> NDArray[np.float64]:
    curve = np.hanning(_WINDOW + 2)[1:-1]
    return np.asarray(curve / curve.sum())
