"""Curves of both on one axis, 0 to 100 % from the first shared moment to the last."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.measure import Curve
from cliptag.pairing.align import Alignment
from cliptag.pairing.moments import repetitions_of
from cliptag.pairing.side import Side

Floats = NDArray[np.float64]

PERCENTS: Final[Floats] = np.linspace(0.0, 100.0, 101)
TELLING: Final = (
    "trunk_tilt",
    "knee_flexion",
    "hip_flexion",
    "low_back_rounding",
    "craniovertebral",
    "ankle_dorsiflexion",
)
"""The order in which curves are chosen where there is room for a few."""


@dataclass(frozen=True, slots=True, eq=False)
class NormalisedCurve:
    """A curve at each whole percent, the mean over its repetitions; arrays (101,), NaN in gaps.

    ``sd`` is the standard uncertainty (k = 1) of ``values``.
    """

    name: str
    words: str
    unit: str
    percents: Floats
    values: Floats
    sd: Floats
    count: int


@dataclass(frozen=True, slots=True, eq=False)
class CurvePair:
    """The same curve in both reviews."""

    first: NormalisedCurve
    second: NormalisedCurve


def normalise(
    curve: Curve,
    knots_us: Sequence[float],
    percents: Sequence[float],
    knots_sd_us: Sequence[float] | None = None,
) -> tuple[Floats, Floats]:
    """A curve's values and their uncertainty at each place of ``PERCENTS``.

    Time is straight between the knots, and so is the curve between frames; NaN in gaps. Where the
    knots are unsure by ``knots_sd_us``, so is the time that a place stands for, and the faster the
    curve changes the more it counts.
    """
    times = np.interp(PERCENTS, percents, knots_us)
    frames = curve.times_us.astype(np.float64)
    values = np.interp(times, frames, curve.values, np.nan, np.nan)
    sd = np.interp(times, frames, curve.sd, np.nan, np.nan)
    if knots_sd_us is None:
        return values, sd
    late_s = np.interp(PERCENTS, percents, knots_sd_us) / 1e6
    rate = np.interp(times, frames, curve.rate, np.nan, np.nan)
    return values, np.hypot(sd, np.nan_to_num(rate) * late_s)


def curve_pairs(first: Side, second: Side, alignment: Alignment) -> tuple[CurvePair, ...]:
    """Every angle that both have, on the alignment's axis, the most telling first."""
    if first.report is None or second.report is None or len(alignment.knots) < 2:
        return ()
    names = [name for name in first.report.angles if name in second.report.angles]
    names.sort(key=lambda name: TELLING.index(name) if name in TELLING else len(TELLING))
    pairs = []
    for name in names:
        one = _mean_curve(first, name, alignment, 0)
        other = _mean_curve(second, name, alignment, 1)
        if one is not None and other is not None:
            pairs.append(CurvePair(one, other))
    return tuple(pairs)


def _mean_curve(side: Side, name: str, alignment: Alignment, which: int) -> NormalisedCurve | None:
    assert side.report is not None
    curve = side.report.angles[name]
    percents = [knot.percent for knot in alignment.knots]
    found = [
        normalise(curve, knots, percents, sds)
        for knots, sds in _knots_of_repetitions(side, alignment, which)
    ]
    known = [(v, sd) for v, sd in found if np.isfinite(v).any()]
    if not known:
        return None
    values = np.array([v for v, _ in known])
    placing = np.sqrt(np.mean(np.array([sd**2 for _, sd in known]), axis=0))
    scatter = values.std(axis=0, ddof=1) / np.sqrt(len(known)) if len(known) > 1 else 0.0
    return NormalisedCurve(
        name=name,
        words=curve.words,
        unit=curve.unit,
        percents=PERCENTS,
        values=values.mean(axis=0),
        sd=np.hypot(placing, scatter),
        count=len(known),
    )


def _knots_of_repetitions(
    side: Side, alignment: Alignment, which: int
) -> Iterator[tuple[tuple[float, ...], tuple[float, ...] | None]]:
    """The times of the shared moments in every repetition that has them all, and their sd."""
    names = [knot.name for knot in alignment.knots]
    if None in names:
        yield tuple(float(k.second_us if which else k.first_us) for k in alignment.knots), None
        return
    for moments in repetitions_of(side).values():
        whens = [moments[name] for name in names if name is not None and name in moments]
        times = tuple(float(when.at_us) for when in whens)
        if len(times) == len(names) and all(np.diff(times) > 0):
            yield times, tuple(float(when.sd_us) for when in whens)
