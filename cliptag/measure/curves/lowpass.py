"""The low-pass filter: Butterworth, second order, run forwards and backwards.

Run twice it delays nothing and is of fourth order overall. Two passes would also lower the
cut-off; it is raised beforehand so that the gain at ``cutoff_hz`` is 1/sqrt(2) after both. The
factor for two passes is C = (2^(1/2) - 1)^(1/4) = 0.8022 (Winter, Biomechanics and Motor Control
of Human Movement, 4th ed. 2009, 3.4.4.2; Robertson & Dowling, J Electromyogr Kinesiol 2003). It
belongs to the analogue filter: in a digital one made by the bilinear transform it divides
tan(pi fc / fs), not fc itself, which would leave a gain of 0.78 at 6 Hz and 30 frames a second.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import Final

import numpy as np
from scipy import signal

from cliptag.errors import MeasureError
from cliptag.measure.trajectories import Floats

PASS_CORRECTION: Final = (math.sqrt(2) - 1) ** 0.25
HIGHEST_SHARE: Final = 0.45
"""The cut-off may be up to this part of the frame rate; 0.5 is the highest that frames can hold."""


def corrected_cutoff(cutoff_hz: float, rate_hz: float) -> float:
    """The cut-off of one pass that gives ``cutoff_hz`` after two, both in Hz.

    Raises MeasureError when the frames are too few for it.
    """
    if not 0 < cutoff_hz <= HIGHEST_SHARE * rate_hz:
        raise MeasureError(
            f"A cut-off of {cutoff_hz:g} Hz doesn't fit {rate_hz:.4g} frames a second: choose one "
            f"above 0 and up to {HIGHEST_SHARE * rate_hz:.3g} Hz."
        )
    analogue = math.tan(math.pi * cutoff_hz / rate_hz) / PASS_CORRECTION
    return rate_hz / math.pi * math.atan(analogue)


def low_pass(samples: Floats, cutoff_hz: float, rate_hz: float) -> Floats:
    """``samples`` (n,) or (n, k), evenly spaced in time along the first axis, filtered along it.

    The ends are continued by their point reflection, for two periods of the cut-off.
    """
    b, a = _one_pass(cutoff_hz, rate_hz)
    continued = min(len(samples) - 1, max(9, round(2 * rate_hz / cutoff_hz)))
    return np.asarray(signal.filtfilt(b, a, samples, axis=0, padlen=continued), np.float64)


@lru_cache(maxsize=256)
def _one_pass(cutoff_hz: float, rate_hz: float) -> tuple[Floats, Floats]:
    # Designing costs more than filtering a clip, and the same filter serves every point.
    b, a = signal.butter(2, corrected_cutoff(cutoff_hz, rate_hz), fs=rate_hz)
    return b, a


def gain(at_hz: Floats, cutoff_hz: float, rate_hz: float) -> Floats:
    """What is left of a sine of ``at_hz`` after both passes, 0 to 1: 1 / (1 + r^4).

    r = tan(pi f / fs) / tan(pi f' / fs) with f' of one pass: the squared magnitude of a bilinear
    second-order Butterworth filter.
    """
    one_pass = math.tan(math.pi * corrected_cutoff(cutoff_hz, rate_hz) / rate_hz)
    ratio = np.tan(np.pi * np.asarray(at_hz) / rate_hz) / one_pass
    return np.asarray(1.0 / (1.0 + ratio**4))


@lru_cache(maxsize=256)
def white_share_removed(cutoff_hz: float, rate_hz: float) -> float:
    """The part of white noise's variance that the residual (raw less filtered) holds."""
    middles = (np.arange(2048) + 0.5) * rate_hz / 4096
    return float(np.mean((1.0 - gain(middles, cutoff_hz, rate_hz)) ** 2))
