"""Points smoothed over time at the frames' own times, with what is left of their noise.

Frames of a phone are not evenly spaced, a filter's samples must be. Each run of known frames is
interpolated by a cubic spline onto even steps of the clip's median interval, filtered there, and
interpolated back to the frames. Interpolating costs nothing at even spacing, where the steps are
the frames; with jitter and missing frames it changes the noise a little, which the noise's
propagation below follows exactly, since the whole way is one linear map W of the run's samples:

  variance of the smoothed sample i = wandering^2 + sum_j W_ij^2 scatter_j^2.

The scatter is what moves independently from frame to frame; the wandering is what changes so
slowly that the filter lets it through whole. Their squares add up to the stated placement
variance; the scatter is read off the data, from what the filter takes away.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from cliptag.errors import MeasureError
from cliptag.measure.curves.cutoff import proposed_cutoff
from cliptag.measure.curves.derivative import rate_of_change
from cliptag.measure.curves.lowpass import corrected_cutoff, low_pass
from cliptag.measure.curves.runs import runs_across_gaps
from cliptag.measure.trajectories import Floats, Times, Trajectories

LONGEST_GAP_US: Final = 200_000
"""Longer gaps stay open (common practice, no source)."""

_FEWEST_KNOWN: Final = 5
"""A shorter run is dropped: nothing can be said of its noise."""

_PERIODS_REACHED: Final = 2.5
"""Beyond so many periods of the cut-off a sample has no say; the weight is below 1e-5 there."""


@dataclass(frozen=True, slots=True, eq=False)
class SmoothedPoint:
    """One point after the filter; arrays over the clip's frames, NaN where it isn't known.

    ``places`` (N, 2) in pixels, ``sd_px`` (N,) along each axis; ``sd_px_per_s`` and
    ``sd_px_per_s2`` (N,) of the places' central differences and of those of the differences;
    ``scatter_px``: standard deviation from frame to frame before the filter, as seen in the data.
    """

    places: Floats
    sd_px: Floats
    sd_px_per_s: Floats
    sd_px_per_s2: Floats
    scatter_px: float


@dataclass(frozen=True, slots=True, eq=False)
class Smoothed:
    """All points of a clip after the filter, and how it was done."""

    trajectories: Trajectories
    points: Mapping[str, SmoothedPoint]
    cutoff_hz: float
    longest_gap_us: int
    is_cutoff_proposed: bool

    @property
    def times_us(self) -> Times:
        return self.trajectories.times_us


def smooth(
    trajectories: Trajectories,
    cutoff_hz: float | None = None,
    longest_gap_us: int = LONGEST_GAP_US,
) -> Smoothed:
    """Low-pass all points with one cut-off; None takes it from residual analysis.

    Raises MeasureError for a cut-off that the frame rate can't bear, or a single frame.
    """
    if longest_gap_us < 0:
        raise MeasureError("The longest gap to close can't be negative: give 0 or more seconds.")
    rate_hz = trajectories.rate_hz
    ways = {
        name: _ways_of(trajectories.times_us, places, longest_gap_us, rate_hz)
        for name, places in trajectories.points.items()
    }
    is_proposed = cutoff_hz is None
    if cutoff_hz is None:
        even = [
            way.to_even(places[way.frames][way.known])
            for name, places in trajectories.points.items()
            for way in ways[name]
        ]
        cutoff_hz = proposed_cutoff(even, rate_hz)
    corrected_cutoff(cutoff_hz, rate_hz)
    points = {
        name: _smooth_point(places, trajectories.sd_px[name], ways[name], cutoff_hz)
        for name, places in trajectories.points.items()
    }
    return Smoothed(trajectories, points, cutoff_hz, longest_gap_us, is_proposed)


@dataclass(frozen=True, slots=True, eq=False)
class _Way:
    """From the known frames of one run to even steps and back to all its frames."""

    frames: slice
    known: NDArray[np.intp]
    times_s: Floats
    steps_s: Floats

    @property
    def rate_hz(self) -> float:
        return (len(self.steps_s) - 1) / float(self.steps_s[-1] - self.steps_s[0])

    def to_even(self, samples: Floats) -> Floats:
        """(known frames, k) to (steps, k)."""
        return np.asarray(CubicSpline(self.times_s[self.known], samples)(self.steps_s))

    def smoothed(self, samples: Floats, cutoff_hz: float) -> Floats:
        """(known frames, k) to (frames of the run, k): the linear map W."""
        filtered = low_pass(self.to_even(samples), cutoff_hz, self.rate_hz)
        return np.asarray(CubicSpline(self.steps_s, filtered)(self.times_s))


def _ways_of(times_us: Times, places: Floats, longest_gap_us: int, rate_hz: float) -> list[_Way]:
    known = ~np.isnan(places[:, 0])
    ways = []
    for frames in runs_across_gaps(known, times_us, longest_gap_us):
        here = known[frames]
        if here.sum() >= _FEWEST_KNOWN:
            times_s = times_us[frames] / 1e6
            count = max(round((times_s[-1] - times_s[0]) * rate_hz), _FEWEST_KNOWN - 1)
            steps_s = np.linspace(times_s[0], times_s[-1], count + 1)
            ways.append(_Way(frames, np.flatnonzero(here), times_s, steps_s))
    return ways


def _smooth_point(
    places: Floats, sd_px: Floats, ways: list[_Way], cutoff_hz: float
) -> SmoothedPoint:
    count = len(places)
    smoothed = np.full((count, 2), np.nan)
    left, left_in_rate, left_in_bend, stated = (np.full(count, np.nan) for _ in range(4))
    taken, taken_of_one = 0.0, 0.0
    for way in ways:
        run_places, run_sd = places[way.frames][way.known], sd_px[way.frames][way.known]
        smoothed[way.frames] = way.smoothed(run_places, cutoff_hz)
        noise = _noise_of(way, run_sd, cutoff_hz)
        left[way.frames] = noise.of_places
        left_in_rate[way.frames], left_in_bend[way.frames] = noise.of_rates, noise.of_bends
        stated[way.frames] = np.interp(way.times_s, way.times_s[way.known], run_sd)
        away = run_places - smoothed[way.frames][way.known]
        taken += float((away**2).sum()) / 2
        taken_of_one += float(noise.of_residual.sum())
    # All noise figures above are for scatter as large as the stated placement.
    share = math.sqrt(taken / taken_of_one) if taken_of_one > 0 else 0.0
    wandering = max(0.0, 1.0 - share**2) * stated**2
    known_sd = sd_px[~np.isnan(places[:, 0])]
    return SmoothedPoint(
        places=smoothed,
        sd_px=np.sqrt(wandering + share**2 * left),
        sd_px_per_s=share * np.sqrt(left_in_rate),
        sd_px_per_s2=share * np.sqrt(left_in_bend),
        scatter_px=share * float(np.sqrt(np.mean(known_sd**2))) if len(known_sd) else math.nan,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Noise:
    """Variances that independent scatter leaves: of the smoothed places, of their central
    differences and of those of the differences (all over the run's frames), and of the residual
    (over its known frames)."""

    of_places: Floats
    of_rates: Floats
    of_bends: Floats
    of_residual: Floats


def _noise_of(way: _Way, sd: Floats, cutoff_hz: float) -> _Noise:
    """Follows every known sample's scatter through the filter.

    Samples so far apart that they share no smoothed frame are sent through together.
    """
    count = len(way.known)
    apart = 2 * math.ceil(_PERIODS_REACHED / cutoff_hz * way.rate_hz) + 1
    columns = min(apart, count)
    combs = np.zeros((count, columns))
    rows = np.arange(count)
    combs[rows, rows % columns] = sd
    spread = way.smoothed(combs, cutoff_hz)
    rates = rate_of_change(spread, way.times_s)
    residual = combs - spread[way.known]
    return _Noise(
        of_places=_sum_of_squares(spread),
        of_rates=_sum_of_squares(rates),
        of_bends=_sum_of_squares(rate_of_change(rates, way.times_s)),
        of_residual=_sum_of_squares(residual),
    )


def _sum_of_squares(spread: Floats) -> Floats:
    return np.asarray((spread**2).sum(axis=1))
