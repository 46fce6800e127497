"""Curves of both on one axis, 0 to 100 % from the first shared moment to the last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.measure import Curve
from cliptag.pairing.align import Alignment
from cliptag.pairing.moments import Moments, repetitions_of
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
    curve: Curve, knots_us: Sequence[float], percents: Sequence[float], at: Floats = PERCENTS
) -> tuple[Floats, Floats]:
    """A curve's values and their uncertainty at places of the common axis.

    Time is straight between the knots, and so is the curve between frames; NaN in gaps.
    """
    times = np.interp(at, percents, knots_us)
    frames = curve.times_us.astype(np.float64)
    values = np.interp(times, frames, curve.values, np.nan, np.nan)
    return values, np.interp(times, frames, curve.sd, np.nan, np.nan)


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
        normalise(curve, knots, percents) for knots in _knots_of_repetitions(side, alignment, which)
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
) -> Iterable[tuple[float, ...]]:
    """The times of the shared moments in every repetition that has them all."""
    names = [knot.name for knot in alignment.knots]
    if None in names:
        yield tuple(float(k.second_us if which else k.first_us) for k in alignment.knots)
        return
    for moments in repetitions_of(side).values():
        times = _times_of(moments, names)
        if times is not None:
            yield times


def _times_of(moments: Moments, names: Sequence[object]) -> tuple[float, ...] | None:
    by_name = {str(name): when.at_us for name, when in moments.items()}
    times = [float(by_name[str(name)]) for name in names if str(name) in by_name]
    is_whole = len(times) == len(names) and all(np.diff(times) > 0)
    return tuple(times) if is_whole else None
