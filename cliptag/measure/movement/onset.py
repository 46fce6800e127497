"""The instant at which something at rest sets off, or something moving comes to rest.

A threshold always comes late, for motion starts slowly. So the rest place and the first bit of the
way are fitted together to the points as they were placed, before any filter:

  y(t) = rest + c max(0, t - t0)^p,

with p = 2 where a support lets go and the acceleration jumps, and p = 3 for a free movement whose
acceleration grows from nothing (minimum jerk: Flash & Hogan, J Neurosci 1985;5:1688-1703). So
short a bit can't prove which, so half the difference of the two goes into the uncertainty of a
free start. t0 is searched for, the rest is linear least squares; t0's own uncertainty is where the
sum of squares has grown by one noise variance (Bevington & Robinson, Data Reduction and Error
Analysis, ch. 8, from memory).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from cliptag.measure.curves.level import Level
from cliptag.measure.movement.proposal import FRAME_SHARE, Found, sharpness
from cliptag.measure.trajectories import Floats, Times

USUAL_SCATTERS: Final = 24.0
"""So many scatters of a point (not smoothed) the way is followed after a departure."""

_SHARES_OF_WAY = (0.02, 0.15)
"""But at least and at most so much of the whole way."""

_LEAST_WAY = 5.0
"""Scatters: what goes less far has not moved."""

_STEPS = 81
_FEWEST = 6


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """A point's way (N, k) in level pixels: as placed, smoothed, and its scatter.

    The times (N,) in microseconds increase; they are negative where the way runs backwards.
    """

    times_us: Floats
    placed: Floats
    smooth: Floats
    scatter_px: float

    @property
    def backwards(self) -> Track:
        """The same way run backwards, so that an arrival becomes a departure."""
        return replace(
            self, times_us=-self.times_us[::-1], placed=self.placed[::-1], smooth=self.smooth[::-1]
        )


def track_of(level: Level, name: str, *, only_up: bool) -> Track:
    """One point's way: forward and up, or up only."""
    point = level[name]
    placed, smooth = np.stack(level.raw(name), 1), np.stack((point.forward, point.up), 1)
    first = 1 if only_up else 0
    times = _as_floats(level.trajectories.times_us)
    return Track(times, placed[:, first:], smooth[:, first:], point.point.scatter_px)


def departure(
    track: Track,
    rest_us: tuple[float, float],
    moving_us: float,
    *,
    let_go: bool,
    scatters: float = USUAL_SCATTERS,
) -> Found | None:
    """When the point leaves the place at which it rests during ``rest_us`` (from, to).

    ``moving_us`` is a time at which it is well on its way. ``let_go`` tells that a support lets go
    of it. The fit sees the rest and the way up to ``scatters`` times the point's scatter.
    """
    resting = track.placed[(track.times_us >= rest_us[0]) & (track.times_us <= rest_us[1])]
    resting = resting[np.isfinite(resting[:, 0])]
    if len(resting) == 0:
        return None
    gone = np.hypot.reduce(track.smooth - np.median(resting, axis=0), axis=1)
    whole = float(np.interp(moving_us, track.times_us, gone))
    if not whole > _LEAST_WAY * track.scatter_px:
        return None
    least, most = (share * whole for share in _SHARES_OF_WAY)
    limit = min(max(scatters * track.scatter_px, least), most)
    after = np.flatnonzero((track.times_us > rest_us[1]) & (gone > limit))
    if len(after) == 0:
        return None
    seen = (track.times_us >= rest_us[0]) & (track.times_us <= track.times_us[after[0]])
    seen &= np.isfinite(track.placed[:, 0])
    if seen.sum() < _FEWEST:
        return None
    t, y = track.times_us[seen] / 1e6, track.placed[seen]
    fits = [_fit(t, y, power) for power in ((2,) if let_go else (2, 3))]
    at_s = fits[-1].at_s
    apart_s = abs(fits[0].at_s - fits[-1].at_s) / 2
    frame_s = float(np.median(np.diff(t)))
    sd_s = math.hypot(max(fit.sd_s for fit in fits), apart_s, FRAME_SHARE * frame_s)
    return Found(1e6 * at_s, 1e6 * sd_s, sharpness(sd_s / frame_s))


def arrival(
    track: Track,
    moving_us: float,
    rest_us: tuple[float, float],
    scatters: float = USUAL_SCATTERS,
) -> Found | None:
    """When the point comes to the place at which it rests during ``rest_us`` (from, to)."""
    mirrored = (-rest_us[1], -rest_us[0])
    found = departure(track.backwards, mirrored, -moving_us, let_go=False, scatters=scatters)
    return None if found is None else replace(found, at_us=-found.at_us)


@dataclass(frozen=True, slots=True)
class _Fit:
    at_s: float
    sd_s: float


def _fit(t: Floats, y: Floats, power: int) -> _Fit:
    # The last four frames can't be rest: a way through so few frames would fit any noise.
    starts = np.linspace(t[0], t[-4], _STEPS)
    left = np.array([_left_over(t, y, float(start), power) for start in starts])
    best = int(np.argmin(left))
    noise = max(float(left[best]) / max(y.size - 2 * y.shape[1] - 1, 1), 1e-12)
    step = float(starts[1] - starts[0])
    shift, half = _bottom(left, best, noise)
    near = starts[left <= left[best] + noise]
    return _Fit(
        at_s=float(starts[best]) + shift * step,
        sd_s=max(half * step, float(near[-1] - near[0]) / 2),
    )


def _left_over(t: Floats, y: Floats, start: float, power: int) -> float:
    gone = np.maximum(0.0, t - start) ** power
    centred = gone - gone.mean()
    rest = y - y.mean(axis=0)
    slope = centred @ rest / float(centred @ centred)
    return float(((rest - np.outer(centred, slope)) ** 2).sum())


def _bottom(left: Floats, best: int, noise: float) -> tuple[float, float]:
    """Steps from the best start to the parabola's bottom, and to where it has grown by noise."""
    if not 0 < best < len(left) - 1:
        return 0.0, 1.0
    a, b, c = left[best - 1 : best + 2]
    bend = float(a - 2 * b + c)
    if bend <= 0:
        return 0.0, 1.0
    return float(a - c) / (2 * bend), math.sqrt(2 * noise / bend)


def _as_floats(times_us: Times) -> Floats:
    return times_us.astype(np.float64)
