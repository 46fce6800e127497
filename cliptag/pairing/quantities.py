"""Every number of one review, by the name that it has in every review."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure import (
    Curve,
    number_at,
    number_of_descriptor,
    number_of_end,
    number_of_phase,
    number_of_range,
    number_of_repetition,
    readings_of,
)
from cliptag.pairing.moments import Moments, repetitions_of
from cliptag.pairing.side import Side
from cliptag.review import MOMENT_WORDS, Number

Source = Literal["movement", "curve", "moment", "mark", "note"]

SOURCES: Final[tuple[Source, ...]] = ("movement", "curve", "moment", "mark", "note")
"""In the order in which they are told; what an earlier one gives, a later one needn't."""

LEAST_KNOWN: Final = 0.97
"""The share of a repetition's frames on which a curve must be known to tell its ends."""

_ENDS: Final = ("knee_flexion", "hip_flexion", "ankle_dorsiflexion", "craniovertebral")
_AT_MOMENTS: Final = ("trunk_tilt", "knee_flexion", "hip_flexion")


@dataclass(frozen=True, slots=True)
class Quantity:
    """One quantity of one review: the mean over its repetitions.

    ``sd`` is the standard uncertainty of ``value``: of placing and tracking, which all repetitions
    of a clip share, and of the mean over repetitions that differ by ``scatter``. ``freedom`` are
    the degrees of freedom of that (JCGM 100:2008, G.4), infinite for one repetition, whose scatter
    nobody knows. ``at_us`` is where it was read, if at one place.
    """

    name: str
    words: str
    unit: str
    value: float
    sd: float
    count: int
    scatter: float
    freedom: float
    source: Source
    at_us: int | None
    sense: str = ""
    """Which way the value goes, in words, where its sign would tell."""


def quantities_of(side: Side) -> dict[str, Quantity]:
    """All that a review tells, by name.

    Descriptors, times, ranges and ends of the curves, their values at the moments, readings of
    marks by what they measure and where they lie in the movement, and the numbers in notes.
    """
    found: dict[str, list[tuple[Source, Number]]] = {}
    for source, numbers in _all(side):
        for number in numbers:
            same = found.setdefault(number.name, [])
            # A number put into a note is mostly one of the movement's: it counts once.
            if not same or same[0][0] == source:
                same.append((source, number))
    return {
        name: _mean(same[0][0], [number for _, number in same])
        for name, same in found.items()
        if len({number.unit for _, number in same}) == 1
    }


def _all(side: Side) -> Iterator[tuple[Source, Iterable[Number]]]:
    repetitions = repetitions_of(side)
    yield "movement", _of_movement(side)
    yield "curve", _of_curves(side, repetitions.values())
    yield "moment", _at_moments(side, repetitions.values())
    yield "mark", _of_marks(side, repetitions.values())
    yield "note", (number for note in side.review.notes for number in note.numbers)


def _of_movement(side: Side) -> Iterator[Number]:
    report = side.report
    if report is None:
        return
    yield from map(number_of_descriptor, report.descriptors)
    for repetition in report.repetitions:
        whole = number_of_repetition(repetition)
        if whole is not None:
            yield whole
        for phase in repetition.phases:
            yield number_of_phase(phase, repetition.number)


def _of_curves(side: Side, repetitions: Iterable[Moments]) -> Iterator[Number]:
    if side.report is None:
        return
    for name, curve in side.report.angles.items():
        for part in _parts(curve, repetitions):
            try:
                if name.endswith(_ENDS):
                    yield from filter(None, [number_of_end(part, "highest")])
                yield from filter(None, [number_of_range(part)])
            except MeasureError:
                continue


def _parts(curve: Curve, repetitions: Iterable[Moments]) -> Iterator[Curve]:
    """The curve over each repetition in which it is known, from its first moment to its last.

    An end or a range of half a movement is none of the whole: where a point is hidden for a while
    nothing is told.
    """
    for moments in repetitions:
        times = [when.at_us for when in moments.values()]
        if len(times) >= 2:
            part = curve.part(times[0], times[-1])
            if len(part.times_us) and np.isfinite(part.values).mean() >= LEAST_KNOWN:
                yield part


def _at_moments(side: Side, repetitions: Iterable[Moments]) -> Iterator[Number]:
    if side.report is None:
        return
    for moments in repetitions:
        for name, when in moments.items():
            for curve_name in _AT_MOMENTS:
                curve = side.report.angles.get(curve_name)
                number = None if curve is None else number_at(curve, when.at_us)
                if curve is None or number is None:
                    continue
                rate = float(np.interp(when.at_us, curve.times_us, np.nan_to_num(curve.rate)))
                # The moment's own uncertainty moves the place where the curve is read.
                sd = math.hypot(number.sd, rate * when.sd_us / 1e6)
                yield Number(
                    name=f"{curve_name}_at_{name}",
                    words=f"{curve.words} at {MOMENT_WORDS[name].lower()}",
                    value=number.value,
                    sd=sd,
                    unit=number.unit,
                    sense=number.sense,
                    at_us=when.at_us,
                )


def _of_marks(side: Side, repetitions: Iterable[Moments]) -> Iterator[Number]:
    """Readings by what they measure, the region, the label, and the moment they were read at.

    The same joint at another moment is another quantity: it isn't compared with this one.
    """
    notes = {note.id: note for note in side.review.notes}
    moments = list(repetitions)
    for reading in readings_of(side.review):
        note = notes[reading.note_id]
        mark = next(mark for mark in note.marks if mark.id == reading.mark_id)
        place = _place_of(reading.at_us, moments)
        label = f" ({mark.label})" if mark.label else ""
        key = "_".join(filter(None, (reading.name, note.region, mark.label, place)))
        yield Number(
            name=key.lower().replace(" ", "_")[:80],
            words=f"{reading.name}{label}{f', {place}' if place else ''}"[:200],
            value=reading.value,
            sd=reading.sd,
            unit=reading.unit,
            sense=reading.sense,
            at_us=reading.at_us,
        )


def _place_of(at_us: int, repetitions: Iterable[Moments]) -> str:
    """Between which moments of a repetition a time lies, in words; empty without moments."""
    for moments in repetitions:
        names = list(moments)
        near = [n for n in names if abs(moments[n].at_us - at_us) <= max(moments[n].sd_us, 50_000)]
        if near:
            return f"at {MOMENT_WORDS[near[0]].lower()}"
        before = [n for n in names if moments[n].at_us <= at_us]
        after = [n for n in names if moments[n].at_us > at_us]
        if before and after:
            return f"after {MOMENT_WORDS[before[-1]].lower()}"
        if after:
            return f"before {MOMENT_WORDS[after[0]].lower()}"
    ends = [list(moments)[-1] for moments in repetitions if moments]
    return f"after {MOMENT_WORDS[ends[-1]].lower()}" if ends else ""


def _mean(source: Source, numbers: list[Number]) -> Quantity:
    """One quantity from its repetitions.

    All repetitions of a clip hang on the same placed points, plumb line and scale: what is unsure
    of those is not averaged away. What differs between repetitions is, as for any mean.
    """
    first = numbers[0]
    values = np.array([number.value for number in numbers])
    count = len(values)
    placing = math.sqrt(float(np.mean([number.sd**2 for number in numbers])))
    scatter = float(values.std(ddof=1)) if count > 1 else 0.0
    of_mean = scatter / math.sqrt(count)
    sd = math.hypot(placing, of_mean)
    freedom = math.inf
    if of_mean > 0 and sd > 0:
        freedom = (count - 1) * (sd / of_mean) ** 4  # Welch-Satterthwaite, JCGM 100:2008, G.4.1
    return Quantity(
        name=first.name,
        words=first.words,
        unit=first.unit,
        value=float(values.mean()),
        sd=sd,
        count=count,
        scatter=scatter,
        freedom=freedom,
        source=source,
        at_us=first.at_us if count == 1 else None,
        sense=first.sense if len({number.sense for number in numbers}) == 1 else "",
    )
