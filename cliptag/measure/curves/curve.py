"""One number over time, with its uncertainty, its rate, its range and its peaks."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from scipy import signal

from cliptag.errors import MeasureError
from cliptag.measure.curves.derivative import rate_within_runs
from cliptag.measure.geometry import Estimate
from cliptag.measure.trajectories import Floats, Times

CurveUnit: TypeAlias = Literal[
    "°", "°/s", "cm", "cm/s", "% of picture height", "% of picture height/s"
]
_RATE_UNITS: dict[CurveUnit, CurveUnit] = {
    "°": "°/s",
    "cm": "cm/s",
    "% of picture height": "% of picture height/s",
}
_ARRAYS = ("times_us", "values", "sd", "common_sd", "rate", "rate_sd", "bend_sd")
_WIDEST_TOP_US = 500_000


@dataclass(frozen=True, slots=True)
class Peak:
    """A turning point: when, how high, and the standard uncertainty of both."""

    at_us: int
    at_sd_us: int
    value: float
    sd: float


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A number on each frame; all arrays (N,), NaN where it isn't known.

    ``sd`` is the standard uncertainty of ``values``, of which ``common_sd`` (signed) is shared by
    all frames, as that of the plumb line and the scale are, so that it drops out of comparisons
    within the curve. ``rate`` (per second) comes from central differences and ``rate_sd`` from the
    scatter that the filter leaves; ``bend_sd`` is that of the rate's own rate. ``convention`` says
    in one sentence how the number is counted.
    """

    name: str
    words: str
    unit: CurveUnit
    convention: str
    times_us: Times
    values: Floats
    sd: Floats
    common_sd: Floats
    rate: Floats
    rate_sd: Floats
    bend_sd: Floats

    def at(self, at_us: float) -> Estimate:
        """The value at a time, straight between the frames; NaN outside or in a gap."""
        return Estimate(
            float(np.interp(at_us, self.times_us, self.values, np.nan, np.nan)),
            float(np.interp(at_us, self.times_us, self.sd, np.nan, np.nan)),
        )

    def part(self, start_us: float, end_us: float) -> Curve:
        """The frames from ``start_us`` to ``end_us``, both included."""
        inside = (self.times_us >= start_us) & (self.times_us <= end_us)
        arrays = {name: getattr(self, name)[inside] for name in _ARRAYS}
        return Curve(self.name, self.words, self.unit, self.convention, **arrays)

    @property
    def is_known(self) -> bool:
        """Whether there is any value at all."""
        return bool(np.isfinite(self.values).any())

    @property
    def highest(self) -> Peak:
        """The greatest value. Raises MeasureError when there is none."""
        return self._turn(int(np.nanargmax(self._some())))

    @property
    def lowest(self) -> Peak:
        """The least value. Raises MeasureError when there is none."""
        return self._turn(int(np.nanargmin(self._some())))

    @property
    def range(self) -> Estimate:
        """From the least value to the greatest."""
        high, low = int(np.nanargmax(self._some())), int(np.nanargmin(self._some()))
        shared = float(self.common_sd[high] - self.common_sd[low])
        sd = math.hypot(self.own_sd[high], self.own_sd[low], shared)
        return Estimate(self.highest.value - self.lowest.value, sd)

    @property
    def own_sd(self) -> Floats:
        """The part (N,) of the uncertainty that comparisons within the curve keep."""
        return np.asarray(np.sqrt(np.maximum(0.0, self.sd**2 - self.common_sd**2)))

    def peaks(self, least_rise: float) -> tuple[Peak, ...]:
        """Every local maximum that stands out by ``least_rise`` on both sides, in order of time.

        A peak at the very beginning or end is none, for it may go on outside.
        """
        filled = np.where(np.isnan(self.values), -np.inf, self.values)
        found, _ = signal.find_peaks(filled, prominence=least_rise)
        return tuple(self._turn(int(at)) for at in found if math.isfinite(filled[at]))

    def _some(self) -> Floats:
        if not self.is_known:
            raise MeasureError(
                f"{self.words} is not known on any frame: place or track its points first."
            )
        return self.values

    def _turn(self, at: int) -> Peak:
        """A turning point near frame ``at``: that of the parabola through its surroundings.

        These reach as far as the curve has moved away by twice its uncertainty, so that ripples of
        noise on a flat top count for little. The time is where the rate is nothing; so the rate's
        error, divided by how fast the rate changes there, is the time's error. A top need not be
        even: a tenth of the reach is added, and at least a tenth of a frame.
        """
        around = self._surroundings(at)
        value, sd = float(self.values[at]), float(self.sd[at])
        if around is None:
            return Peak(int(self.times_us[at]), 0, value, sd)
        t = (self.times_us[around] - self.times_us[at]) / 1e6
        bend, slope, _ = np.polyfit(t, self.values[around] - value, 2)
        frame_s, half_s = float(np.median(np.diff(t))), float(t[-1] - t[0]) / 2
        if bend == 0 or not abs(slope / (2 * bend)) <= half_s:
            return Peak(int(self.times_us[at]), round(1e6 * half_s), value, sd)
        shift_s = -slope / (2 * bend)
        sd_s = math.hypot(float(self.rate_sd[at]) / abs(2 * bend), 0.1 * max(half_s, frame_s))
        top = float(np.interp(shift_s, t, self.values[around]))
        return Peak(round(float(self.times_us[at]) + 1e6 * shift_s), round(1e6 * sd_s), top, sd)

    def _surroundings(self, at: int) -> slice | None:
        """Frames around ``at``, alike to both sides; None where one side is missing."""
        away = 2 * float(self.own_sd[at])
        reached = None
        for half in range(1, len(self.values)):
            around = slice(at - half, at + half + 1)
            if at < half or around.stop > len(self.values):
                break
            ends = self.values[[at - half, at + half]]
            if np.isnan(ends).any():
                break
            reached = around
            span_us = float(self.times_us[at + half] - self.times_us[at - half])
            if np.abs(ends - self.values[at]).min() >= away or span_us >= _WIDEST_TOP_US:
                break
        return reached


def velocity_of(curve: Curve) -> Curve:
    """The rate of a curve as a curve of its own, with peaks of its own.

    Central differences show a swing of 5 Hz at 30 frames a second 17 % too slow, one of 2 Hz 3 %;
    the uncertainty tells of noise only, not of that.
    """
    bend = rate_within_runs(curve.rate, curve.times_us / 1e6)
    return Curve(
        name=f"{curve.name}_velocity",
        words=f"{curve.words}, rate",
        unit=_RATE_UNITS[curve.unit],
        convention=f"Change per second by central differences. {curve.convention}",
        times_us=curve.times_us,
        values=curve.rate,
        sd=curve.rate_sd,
        common_sd=np.zeros(len(bend)),
        rate=bend,
        rate_sd=curve.bend_sd,
        bend_sd=np.full(len(bend), np.nan),
    )
