"""Where to cut: residual analysis after Winter, for frame rates as low as a phone's.

Winter (2009, 3.4.4.3) filters with many cut-offs and plots the rms of what each takes away, R(fc).
At high cut-offs that is noise only. The noise line is carried back to fc = 0, where it gives the
noise's rms, and the cut-off is taken where the curve comes down to that height: there the motion
that is lost equals the noise that is let through.

Winter draws the noise line straight and by eye. White noise's residual is not quite straight: at 30
frames a second lines through its upper stretches meet 0 Hz between 0.97 and 1.12 times the noise,
depending on the stretch. So the line used here is the residual that white noise leaves in this very
filter, R(fc) = s sqrt(share removed), which needs no stretch to be chosen.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np

from cliptag.measure.curves.lowpass import HIGHEST_SHARE, low_pass, white_share_removed
from cliptag.measure.trajectories import Floats

USUAL_CUTOFF_HZ: Final = 6.0
"""Used where there are too few frames to analyse (gait 6 Hz, rising and lifting 4 to 6 Hz: Winter
1974/2009, from memory)."""

LOWEST_HZ: Final = 4.0
"""No lower cut-off is proposed: the analysis weighs the whole clip, of which much is standing
still, and so is known to cut the fast part short (notes of the package optcutfreq)."""

HIGHEST_HZ: Final = 10.0
"""No higher one either: people's larger movements hold nothing above (common practice, no
source)."""

FEWEST_SAMPLES: Final = 30
_STEPS = 45
_NOISE_FROM = 0.6


def residual_rms(samples: Floats, cutoffs_hz: Floats, rate_hz: float) -> Floats:
    """R(fc), (cut-offs, k): rms over time of ``samples`` (n, k) less their filtered selves."""
    taken = (samples - low_pass(samples, float(fc), rate_hz) for fc in cutoffs_hz)
    return np.array([np.sqrt(np.mean(away**2, axis=0)) for away in taken])


def residual_cutoffs(samples: Floats, rate_hz: float) -> Floats:
    """The cut-off in Hz that the analysis gives for each column of ``samples`` (n, k), unbounded.

    The samples are evenly spaced in time. The answer is 0.45 of the rate where even there more
    than noise is lost.
    """
    cutoffs = np.linspace(0.01, HIGHEST_SHARE, _STEPS) * rate_hz
    residual = residual_rms(samples, cutoffs, rate_hz)
    white = np.sqrt([white_share_removed(float(fc), rate_hz) for fc in cutoffs])
    tail = cutoffs >= _NOISE_FROM * cutoffs[-1]
    noise = np.median(residual[tail] / white[tail, None], axis=0)
    return np.array(
        [
            _first_below(cutoffs, column, height)
            for column, height in zip(residual.T, noise, strict=True)
        ]
    )


def proposed_cutoff(runs: Sequence[Floats], rate_hz: float) -> float:
    """One cut-off in Hz for all points: the highest that any needs, within the bounds.

    ``runs`` holds (n, 2) samples, evenly spaced in time. A cut-off that is too high only leaves
    some noise in, and the uncertainties tell of that; one that is too low bends the curves.
    """
    alike: dict[int, list[Floats]] = {}
    for run in runs:
        if len(run) >= FEWEST_SAMPLES:
            alike.setdefault(len(run), []).append(run)
    # Runs of one length, mostly all, go through the filters together.
    found = [
        float(residual_cutoffs(np.concatenate(same, axis=1), rate_hz).max())
        for same in alike.values()
    ]
    wanted = min(max(max(found, default=USUAL_CUTOFF_HZ), LOWEST_HZ), HIGHEST_HZ)
    return min(wanted, HIGHEST_SHARE * rate_hz)


def _first_below(cutoffs: Floats, residual: Floats, height: float) -> float:
    below = np.flatnonzero(residual <= height)
    if len(below) == 0:
        return float(cutoffs[-1])
    first = int(below[0])
    if first == 0:
        return float(cutoffs[0])
    above, under = residual[first - 1] - height, height - residual[first]
    part = above / (above + under)
    return float(cutoffs[first - 1] + part * (cutoffs[first] - cutoffs[first - 1]))
