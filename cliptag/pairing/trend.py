"""A quantity over all reviews of a client, with its uncertainty, and one telling frame of each."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import MeasureError
from cliptag.measure import number_at
from cliptag.pairing.comparison import Comparison, Progress, named_apart, require_same
from cliptag.pairing.document import Pairing
from cliptag.pairing.moments import fullest, repetitions_of
from cliptag.pairing.quantities import SOURCES, Quantity, quantities_of
from cliptag.pairing.showing import Showing, shown_to_coach
from cliptag.pairing.side import Side, open_side
from cliptag.review import MomentName, Movement
from cliptag.words import ENGLISH, Words

_TELLING_MOMENT: Final[dict[Movement, MomentName]] = {
    "sit_to_stand": "seat_off",
    "bend": "deepest",
    "lift": "load_off",
}
"""The instant of each movement that is looked at first."""

Picture = NDArray[np.uint8]
Axis = Literal["Week", "Day", "Review"]


@dataclass(frozen=True, slots=True, eq=False)
class TrendFrame:
    """One week's frame, (H, W, 3), at the same moment as the others."""

    words: str
    picture: Picture


@dataclass(frozen=True, slots=True)
class TrendLine:
    """One quantity, in the order of the reviews; None where a review doesn't tell it."""

    name: str
    words: str
    unit: str
    values: tuple[Quantity | None, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Trend:
    """All reviews of a pairing, earliest first.

    ``places`` (N,) are where they stand on the axis: weeks where each review tells its own, days
    since the first where each has a date, else their numbers; ``axis`` says which.
    """

    names: tuple[str, ...]
    client: str
    movement: Movement
    places: tuple[float, ...]
    axis: Axis
    moment: MomentName | None
    lines: tuple[TrendLine, ...]
    frames: tuple[TrendFrame, ...]
    caution: str
    words: Words = ENGLISH
    """The client's, which the names are in already."""


@dataclass(frozen=True, slots=True, eq=False)
class _Seen:
    """What is kept of a side once its clip is closed."""

    side: Side
    quantities: dict[str, Quantity]
    picture: Picture


def trend_of(
    pairing: Pairing,
    comparison: Comparison,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    showing: Showing = shown_to_coach,
) -> Trend:
    """Measure all reviews between the first and the last, and put all in a row.

    Raises PairingError when one is of another client or movement, ReviewError, ClipError, and
    TrackingCancelled.
    """
    first, last = comparison.sides
    middle = pairing.reviews[1:-1]
    seen = [_look(first)]
    for number, path in enumerate(middle):
        watch = None if progress is None else _part(progress, number, len(middle))
        with ExitStack() as opened:
            side = open_side(Path(path), watch, is_cancelled, showing)
            opened.callback(side.clip.close)
            require_same((first, side))
            seen.append(_look(side))
    seen.append(_look(last))
    sides = named_apart([one.side for one in seen])
    names = tuple(side.name_in(comparison.words) for side in sides)
    places, axis = places_of(sides)
    return Trend(
        names=names,
        client=last.review.client or first.review.client,
        movement=first.review.movement,
        places=places,
        axis=axis,
        moment=_TELLING_MOMENT.get(first.review.movement),
        lines=lines_of([one.quantities for one in seen]),
        frames=tuple(
            TrendFrame(words, one.picture) for words, one in zip(names, seen, strict=True)
        ),
        caution=last.review.caution,
        words=comparison.words,
    )


def lines_of(found: Sequence[dict[str, Quantity]]) -> tuple[TrendLine, ...]:
    """Every quantity that two reviews or more tell, in one unit, in the order of ``SOURCES``."""
    names = dict.fromkeys(name for quantities in found for name in quantities)
    lines = []
    for name in names:
        values = tuple(quantities.get(name) for quantities in found)
        known = [value for value in values if value is not None]
        if len(known) >= 2 and len({value.unit for value in known}) == 1:
            lines.append(TrendLine(name, known[0].words, known[0].unit, values))

    def rank(line: TrendLine) -> int:
        return min(SOURCES.index(value.source) for value in line.values if value is not None)

    return tuple(sorted(lines, key=rank))


def places_of(sides: Sequence[Side]) -> tuple[tuple[float, ...], Axis]:
    """Where reviews stand on the axis, and what it counts."""
    weeks = [side.review.week for side in sides]
    if None not in weeks and len(set(weeks)) == len(weeks):
        return tuple(float(week) for week in weeks if week is not None), "Week"
    days = [side.review.recorded_on for side in sides]
    if None not in days and len(set(days)) == len(days):
        start = min(day for day in days if day is not None)
        return tuple(float((day - start).days) for day in days if day is not None), "Day"
    return tuple(float(number) for number in range(1, len(sides) + 1)), "Review"


def _look(side: Side) -> _Seen:
    return _Seen(side, quantities_of(side), side.clip.frame(_telling_frame(side)).rgb)


def _telling_frame(side: Side) -> int:
    """The frame at the movement's telling moment, else where the trunk leans most, else middle."""
    moments = fullest(repetitions_of(side))
    name = _TELLING_MOMENT.get(side.review.movement)
    if name is not None and name in moments:
        return side.clip.index_at(moments[name].at_us)
    if side.report is not None and "trunk_tilt" in side.report.angles:
        curve = side.report.angles["trunk_tilt"]
        try:
            at_us = curve.highest.at_us
            if number_at(curve, at_us) is not None:
                return side.clip.index_at(at_us)
        except MeasureError:
            pass
    return len(side.clip) // 2


def _part(progress: Progress, number: int, count: int) -> Callable[[float, float], None]:
    return lambda done, left: progress((number + done) / count, None)
