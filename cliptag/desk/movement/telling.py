"""What a report tells, as lines for people: words, the number in them, and the frame they lead to.

The most telling come first.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from cliptag.desk.stage.points.names import the, words_of
from cliptag.measure import (
    COVERAGE_FACTOR,
    number_of_descriptor,
    number_of_end,
    number_of_phase,
    number_of_range,
    number_of_repetition,
    number_of_sides,
    number_of_test,
    shown,
    with_uncertainty,
)
from cliptag.review import Number

if TYPE_CHECKING:
    from cliptag.measure import MovementReport, Tracks

_STATES: Final = {2: "hidden", 3: "outside the picture", 4: "not sure where"}
"""Why a point isn't known on a frame, by the tracking's ``State``."""


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that is told; a line without a number is a heading or a remark."""

    words: str
    number: Number | None = None
    at_us: int | None = None
    is_heading: bool = False


def described(report: MovementReport) -> list[Line]:
    """The descriptors as sentences, by repetition where there are several."""
    lines: list[Line] = []
    numbers = sorted({told.repetition for told in report.descriptors})
    for repetition in numbers:
        if len(numbers) > 1:
            lines.append(Line(f"Repetition {repetition}", is_heading=True))
        lines += [
            Line(told.sentence, number_of_descriptor(told), told.at_us)
            for told in report.descriptors
            if told.repetition == repetition
        ]
    return lines


def timed(report: MovementReport) -> list[Line]:
    """The chair tests, then how long each repetition and its phases took."""
    lines: list[Line] = []
    for test in report.timed_tests:
        number = number_of_test(test)
        lines.append(Line(f"{number.words}: {shown(number)}", number))
        lines.append(Line(test.rule))
    is_several = len(report.repetitions) > 1
    for repetition in report.repetitions:
        whole = number_of_repetition(repetition)
        start_us = repetition.moments[0].at_us if repetition.moments else None
        if is_several:
            lines.append(Line(f"Repetition {repetition.number}", is_heading=True))
        if whole is not None:
            lines.append(Line(f"All of it: {shown(whole)}", whole, start_us))
        for phase in repetition.phases:
            number = number_of_phase(phase, repetition.number)
            words = phase.words[:1].upper() + phase.words[1:]
            lines.append(Line(f"{words}: {shown(number)}", number, phase.start_us))
    return lines


def reached(report: MovementReport, first: tuple[str, ...]) -> list[Line]:
    """Each angle's range, greatest and least value; the curves of ``first`` lead."""
    names = [*first, *(name for name in report.angles if name not in first)]
    lines: list[Line] = []
    for name in names:
        curve = report.angles[name]
        lines.append(Line(curve.words, is_heading=True))
        for words, number in (
            ("Greatest", number_of_end(curve, "highest")),
            ("Least", number_of_end(curve, "lowest")),
            ("Range", number_of_range(curve)),
        ):
            if number is not None:
                lines.append(Line(f"{words} {shown(number)}", number, number.at_us))
    return lines


def compared(report: MovementReport) -> list[Line]:
    """Left against right."""
    return [Line(sides.sentence, number_of_sides(sides)) for sides in report.sides]


def smoothly(report: MovementReport) -> list[Line]:
    """How smoothly each repetition went."""
    return [
        Line(
            f"Smoothness of the {told.point}, repetition {told.repetition}: SPARC "
            f"{told.sparc.value:.2f} ± {max(0.01, COVERAGE_FACTOR * told.sparc.sd):.2f} "
            "(nearer to 0 is smoother).".replace("-", "−"),
            at_us=told.start_us,
        )
        for told in report.smoothness
    ]


def how_well(tracks: Tracks) -> str:
    """In a sentence, how much of the points is known."""
    shares = {name: _share(tracks, name) for name in tracks.points}
    points = f"{len(shares)} point{'' if len(shares) == 1 else 's'}"
    frames = f"{len(tracks.times_us)} frames"
    partly = sorted((share, name) for name, share in shares.items() if share < 1.0)
    if not partly:
        return f"{points} followed through {frames}, known on every one."
    worst, name = partly[0]
    whole = len(shares) - len(partly)
    return (
        f"{points} followed through {frames}: {whole} known on every one; "
        f"least of all {the(name)}, on {_percent(worst)} of 100."
    )


def each_point(tracks: Tracks) -> list[Line]:
    """For each point, on how many frames it is known, and why not on the others."""
    lines = []
    for name, states in tracks.states.items():
        why = [
            f"{words} on {count}"
            for state, words in _STATES.items()
            if (count := int((states == state).sum()))
        ]
        known = int((states < min(_STATES)).sum())
        words = f"{_capital(words_of(name))}: known on {known} of {len(states)} frames"
        lines.append(Line(f"{words} ({', '.join(why)})." if why else f"{words}."))
    return lines


def smoothing(report: MovementReport) -> str:
    """At which frequency the curves are smoothed, and where it came from."""
    smoothed = report.smoothed
    source = (
        "found from the clip's own noise (residual analysis)"
        if smoothed.is_cutoff_proposed
        else "set by you"
    )
    return f"The curves are smoothed at {smoothed.cutoff_hz:.1f} Hz, {source}."


def angle_words(number: Number | None) -> str:
    """A value in a narrow column: signed, without the way it goes."""
    return "–" if number is None else with_uncertainty(number.value, number.sd, number.unit)


def _share(tracks: Tracks, name: str) -> float:
    states = tracks.states[name]
    return float((states < min(_STATES)).mean())


def _percent(share: float) -> str:
    return f"{min(99, round(100 * share))}"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
