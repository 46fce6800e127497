"""Rates of change by central differences.

v_i = (x_(i+1) - x_(i-1)) / (t_(i+1) - t_(i-1)) at even spacing (Winter 2009, 3.5, from memory); at
uneven spacing the two neighbours are weighted so that a parabola's rate is still exact.

A central difference sees a fast swing too small: a sine of frequency f comes out with the gain
sin(2 pi f dt) / (2 pi f dt), at 30 frames a second 0.993 at 1 Hz, 0.971 at 2 Hz, 0.827 at 5 Hz.
"""

from __future__ import annotations

import numpy as np

from cliptag.measure.curves.runs import runs_of
from cliptag.measure.trajectories import Floats


def rate_of_change(samples: Floats, times_s: Floats) -> Floats:
    """Per second, of ``samples`` (N,) or (N, k) without NaN; one-sided at the two ends."""
    return np.asarray(np.gradient(samples, times_s, axis=0, edge_order=1), np.float64)


def rate_within_runs(samples: Floats, times_s: Floats) -> Floats:
    """As ``rate_of_change`` for ``samples`` (N,) with NaN: no difference reaches over a gap."""
    rate = np.full(len(samples), np.nan)
    for run in runs_of(~np.isnan(samples)):
        if run.stop - run.start >= 3:
            rate[run] = rate_of_change(samples[run], times_s[run])
    return rate


def central_difference_gain(at_hz: float, rate_hz: float) -> float:
    """What a central difference leaves of the rate of a sine of ``at_hz``: sin(x)/x."""
    return float(np.sinc(2.0 * at_hz / rate_hz))
