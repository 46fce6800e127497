"""Smoothness of a movement as spectral arc length (SPARC).

Balasubramanian, Melendez-Calderon, Roby-Brami & Burdet, J NeuroEng Rehabil 2015;12:112: the
length of the speed profile's amplitude spectrum, divided by its value at 0 Hz, from 0 Hz to the
cut-off, over an axis scaled so that this stretch is 1 long; negative, and the further from 0 the
more broken up the movement is. The cut-off is the highest frequency up to 10 Hz with an amplitude
of at least 0.05. The spectrum is computed with the zero padding of the authors' own program (16
times the next power of two). One smooth bell of speed gives about -1.4.

It compares the same movement of one person filmed the same way; there is no norm.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure.curves.level import Level
from cliptag.measure.curves.lowpass import low_pass
from cliptag.measure.geometry import Estimate
from cliptag.measure.trajectories import Floats

HIGHEST_HZ: Final = 10.0
LEAST_AMPLITUDE: Final = 0.05

_PADDING = 4
_FEWEST = 8
_DRAWS = 40


def sparc(speed: Floats, rate_hz: float) -> float:
    """Spectral arc length of a speed profile (n,), evenly sampled over one movement.

    Raises MeasureError for a profile that is too short or nowhere moves.
    """
    speed = np.asarray(speed, np.float64)
    if len(speed) < _FEWEST or not np.isfinite(speed).all():
        raise MeasureError("Smoothness needs at least 8 frames of the movement without a gap.")
    if not speed.any():
        raise MeasureError("Smoothness needs a movement: nothing moves here.")
    size = 2 ** (math.ceil(math.log2(len(speed))) + _PADDING)
    amplitude = np.abs(np.fft.rfft(speed, size))
    amplitude /= amplitude[0]
    frequency = np.arange(len(amplitude)) * rate_hz / size
    within = np.flatnonzero((frequency <= HIGHEST_HZ) & (amplitude >= LEAST_AMPLITUDE))
    stretch = slice(0, int(within[-1]) + 1)
    f, a = frequency[stretch], amplitude[stretch]
    if len(f) < 2:
        return 0.0
    return -float(np.hypot(np.diff(f) / (f[-1] - f[0]), np.diff(a)).sum())


def smoothness_of(level: Level, name: str, start_us: float, end_us: float) -> Estimate:
    """SPARC of one point's speed between two times.

    The uncertainty is the spread over redrawn placement noise. Noise also makes every movement
    look a little less smooth than it is; that part is alike in clips filmed alike.
    """
    rate_hz = level.trajectories.rate_hz
    point = level[name]
    times = level.trajectories.times_us
    count = max(round((end_us - start_us) * rate_hz / 1e6) + 1, 0)
    at_us = np.linspace(start_us, end_us, count)
    way = np.stack([np.interp(at_us, times, axis) for axis in (point.forward, point.up)], 1)
    if count < _FEWEST or not np.isfinite(way).all():
        raise MeasureError("Smoothness needs at least 8 frames of the movement without a gap.")
    rng = np.random.default_rng(0)
    cutoff_hz = level.smoothed.cutoff_hz
    # The filter saw frames beyond both ends: so must the redrawn noise.
    beyond = round(2 * rate_hz / cutoff_hz)
    scatter = rng.normal(0.0, point.point.scatter_px, (count + 2 * beyond, 2 * _DRAWS))
    left = low_pass(scatter, cutoff_hz, rate_hz)[beyond : beyond + count]
    drawn = [
        sparc(_speed(way + left[:, k : k + 2], rate_hz), rate_hz) for k in range(0, 2 * _DRAWS, 2)
    ]
    return Estimate(sparc(_speed(way, rate_hz), rate_hz), float(np.std(drawn, ddof=1)))


def _speed(way: Floats, rate_hz: float) -> Floats:
    return np.asarray(np.hypot(*np.gradient(way, axis=0).T) * rate_hz)
