"""The common axis as a strip needs it: where each time of the pair lies, and what parts are called.

Before the first shared moment and after the last the axis goes on at its average pace.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from cliptag.pairing.align import Alignment, Knot
from cliptag.pairing.comparison import Comparison
from cliptag.pairing.side import Side
from cliptag.review import MOMENT_WORDS


@dataclass(frozen=True, slots=True)
class AxisMoment:
    """A shared moment: its place, and its time on the pair's clock."""

    percent: float
    words: str
    out_us: int


@dataclass(frozen=True, slots=True)
class AxisPhase:
    """What lies between two shared moments that follow each other, and what that is called."""

    start: float
    end: float
    words: str


@dataclass(frozen=True, slots=True)
class CommonAxis:
    """Places in percent for times of the pair's clock, and back.

    ``start`` and ``end`` are the places of the first and the last time that is shown: below 0 and
    above 100 where some of the clips is shown outside the shared moments.
    """

    alignment: Alignment
    start: float
    end: float
    moments: tuple[AxisMoment, ...]
    phases: tuple[AxisPhase, ...]

    def percent_at(self, out_us: float) -> float:
        """The place of a time of the pair's clock: at true speed that of the first clip."""
        return _percent_at(self.alignment, out_us)

    def out_at(self, percent: float) -> int:
        """The time of the pair's clock at a place, within what is shown."""
        knots = self.alignment.knots
        pace = _us_per_percent(self.alignment)
        first, last = knots[0], knots[-1]
        if percent <= first.percent:
            at = first.out_us + (percent - first.percent) * pace
        elif percent >= last.percent:
            at = last.out_us + (percent - last.percent) * pace
        else:
            at = np.interp(percent, [k.percent for k in knots], [k.out_us for k in knots])
        return round(min(max(float(at), 0.0), float(self.alignment.duration_us)))

    def places(self, out_us: int) -> tuple[float, float]:
        """Where both clips are on the axis; they differ while both run at true speed."""
        if len(self.alignment.knots) < 2 or self.alignment.match == "moments":
            here = self.percent_at(out_us)
            return here, here
        both = self.alignment.sides_at(out_us)
        first, second = (self.alignment.percent_of(which, at) for which, at in enumerate(both))
        return first, second

    def phase_at(self, percent: float) -> AxisPhase | None:
        """The phase that a place lies in; None outside the shared moments."""
        return next((p for p in self.phases if p.start <= percent < p.end), None)

    def place_words(self, percent: float) -> str:
        """'42 %, rising', for whoever can't see the strip."""
        moment = next((m for m in self.moments if abs(m.percent - percent) < 0.05), None)
        phase = self.phase_at(percent)
        name = moment.words.lower() if moment else phase.words if phase else ""
        number = f"{percent:.0f} %".replace("-", "−")
        return f"{number}, {name}" if name else number


def common_axis(comparison: Comparison) -> CommonAxis:
    """The axis of two reviews that are compared."""
    alignment = comparison.alignment
    return CommonAxis(
        alignment=alignment,
        start=_percent_at(alignment, 0.0),
        end=_percent_at(alignment, float(alignment.duration_us)),
        moments=tuple(
            AxisMoment(knot.percent, MOMENT_WORDS[knot.name], knot.out_us)
            for knot in alignment.knots
            if knot.name is not None
        ),
        phases=tuple(_phases(alignment.knots, comparison.sides)),
    )


def _percent_at(alignment: Alignment, out_us: float) -> float:
    knots = alignment.knots
    pace = _us_per_percent(alignment)
    first, last = knots[0], knots[-1]
    if out_us <= first.out_us:
        return first.percent + (out_us - first.out_us) / pace
    if out_us >= last.out_us:
        return last.percent + (out_us - last.out_us) / pace
    return float(np.interp(out_us, [k.out_us for k in knots], [k.percent for k in knots]))


def _us_per_percent(alignment: Alignment) -> float:
    """How long a hundredth takes on the average; with one moment alone, of all that is shown."""
    knots = alignment.knots
    length = knots[-1].out_us - knots[0].out_us
    return (length or max(alignment.duration_us, 1)) / 100.0


def _phases(knots: Iterable[Knot], sides: tuple[Side, Side]) -> Iterator[AxisPhase]:
    for start, end in itertools.pairwise(knots):
        if start.name is None or end.name is None:
            continue
        words = _phase_words(start, end, sides)
        named = f"{MOMENT_WORDS[start.name]} to {MOMENT_WORDS[end.name].lower()}"
        yield AxisPhase(start.percent, end.percent, words or named.lower())


def _phase_words(start: Knot, end: Knot, sides: tuple[Side, Side]) -> str:
    """What the measured movement of either calls the phase between two of its moments."""
    spans = (start.first_us, end.first_us), (start.second_us, end.second_us)
    for side, span in zip(sides, spans, strict=True):
        for repetition in side.report.repetitions if side.report is not None else ():
            for phase in repetition.phases:
                if (phase.start_us, phase.end_us) == span:
                    return phase.words
    return ""
