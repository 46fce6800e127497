"""Numbers of a followed movement as they go into a note, and what is known of them later."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final, Literal

from cliptag.measure.geometry import Estimate
from cliptag.measure.rounding import COVERAGE_FACTOR, with_uncertainty
from cliptag.review import Note, Number

if TYPE_CHECKING:
    from cliptag.measure.curves import Curve
    from cliptag.measure.movement import Descriptor, MovementReport, Repetition, TimedTest
    from cliptag.measure.movement.repetitions import Phase
    from cliptag.measure.movement.sides import SideComparison

End = Literal["highest", "lowest"]

_FORWARD: Final = ("forward", "backward")
_AHEAD: Final = ("in front", "behind")
_UPWARD: Final = ("upward", "downward")
_DESCRIBED: Final[dict[str, tuple[str, tuple[str, str]]]] = {
    "peak_trunk_lean": ("Trunk lean, at most", _FORWARD),
    "knee_over_toe": ("Knee from the toe", ("beyond the toe", "behind the toe")),
    "low_back_rounding": ("Low back rounds by", ("", "")),
    "load_to_low_back": ("Load from the low back", _AHEAD),
    "hip_share": ("Hip's share of the movement", ("", "")),
    "hip_lead": ("Between hip and knee, half-way", ("hip first", "knee first")),
    "head_ahead_of_shoulder": ("Ear from the shoulder", _AHEAD),
    "feet_ahead_of_knees": ("Feet from the knees", _AHEAD),
    "ear_from_plumb": ("Ear from the plumb line", _AHEAD),
    "shoulder_from_plumb": ("Shoulder from the plumb line", _AHEAD),
    "hip_from_plumb": ("Hip from the plumb line", _AHEAD),
}
"""What each descriptor is called in a note, and which way it goes when positive or negative."""
_TEST_WORDS: Final = {
    "five_times_sit_to_stand": "Five times up from the chair",
    "thirty_second_chair_stand": "Up from the chair in 30 s",
}
_ENDS: Final[dict[End, str]] = {"highest": "at most", "lowest": "at least"}


def shown(number: Number) -> str:
    """A number with its uncertainty and the way it goes: '96.3° ± 0.9° forward'.

    Parts of a second are told in milliseconds; a number without uncertainty was counted.
    """
    value, sd, unit = number.value, number.sd, number.unit
    value = abs(value) if number.sense else value
    if unit == "s" and abs(value) < 1.0:
        value, sd, unit = 1000.0 * value, 1000.0 * sd, "ms"
    counted = f"{value:g}{unit}" if unit == "°" else f"{value:g} {unit}".strip()
    amount = with_uncertainty(value, sd, unit) if sd > 0 else counted
    return f"{amount} {number.sense}".strip()


def number_of_descriptor(told: Descriptor) -> Number:
    """What a coach says of a movement, read off one frame."""
    words, ways = _DESCRIBED.get(told.name, (_spoken(told.name), ("", "")))
    return Number(
        name=told.name,
        words=words,
        value=told.value,
        sd=told.sd,
        unit=told.unit,
        sense=_sense(told.value, ways),
        at_us=told.at_us,
        repetition=told.repetition or None,
    )


def number_at(curve: Curve, at_us: int) -> Number | None:
    """A curve's value at a time; None where it isn't known."""
    return _of_curve(curve, curve.name, curve.words, curve.at(at_us), at_us)


def number_of_end(curve: Curve, end: End) -> Number | None:
    """The greatest or the least value of a curve; None if it has none."""
    if not curve.is_known:
        return None
    peak = curve.highest if end == "highest" else curve.lowest
    value = Estimate(peak.value, peak.sd)
    return _of_curve(
        curve, f"{curve.name}_{end}", f"{curve.words}, {_ENDS[end]}", value, peak.at_us
    )


def number_of_range(curve: Curve) -> Number | None:
    """From a curve's least value to its greatest; None if it has none."""
    if not curve.is_known:
        return None
    span = curve.range
    return Number(
        name=f"{curve.name}_range",
        words=f"{curve.words}, range",
        value=span.value,
        sd=span.sd,
        unit=curve.unit,
    )


def number_of_phase(phase: Phase, repetition: int) -> Number:
    """How long a part of a repetition took."""
    return _time(f"time_{_named(phase.words)}", phase.words, phase.duration_s, repetition)


def number_of_repetition(repetition: Repetition) -> Number | None:
    """How long a repetition took; None where its ends aren't known."""
    time_s = repetition.duration_s
    words = "the whole movement"
    return None if time_s is None else _time("repetition_time", words, time_s, repetition.number)


def number_of_test(test: TimedTest) -> Number:
    """A timed chair test."""
    words = _TEST_WORDS.get(test.name, _spoken(test.name))
    return Number(name=test.name, words=words, value=test.value, sd=test.sd, unit=test.unit)


def number_of_sides(sides: SideComparison) -> Number:
    """By how much more one side moves than the other."""
    value = sides.difference
    return Number(
        name=f"{sides.name}_left_right",
        words=f"{_spoken(sides.name)}, left against right",
        value=value.value,
        sd=value.sd,
        unit="°",
        sense=_sense(value.value, ("more at the right", "more at the left")),
    )


def newest(number: Number, report: MovementReport) -> Number | None:
    """The same quantity as the report has it now; None where it can no longer be told."""
    curves = report.curves
    # A descriptor may have a curve's name, but it belongs to a repetition.
    if number.name in curves and number.at_us is not None and number.repetition is None:
        return number_at(curves[number.name], number.at_us)
    stem, _, last = number.name.rpartition("_")
    if stem in curves and last == "range":
        return number_of_range(curves[stem])
    for end in _ENDS:
        if stem in curves and last == end:
            return number_of_end(curves[stem], end)
    key = (number.name, number.repetition)
    return next((new for new in numbers_of(report) if (new.name, new.repetition) == key), None)


def is_known_otherwise(number: Number, now: Number) -> bool:
    """Whether a number has changed by more than half of its shown uncertainty."""
    return abs(now.value - number.value) > COVERAGE_FACTOR * number.sd / 2.0


def newer_numbers(note: Note, report: MovementReport) -> dict[int, Number]:
    """The numbers of a note, by their place in it, that are known otherwise now."""
    newer = {}
    for place, number in enumerate(note.numbers):
        now = newest(number, report)
        if now is not None and is_known_otherwise(number, now):
            newer[place] = now
    return newer


def numbers_of(report: MovementReport) -> Iterator[Number]:
    """All numbers of a report but those of its curves."""
    yield from map(number_of_descriptor, report.descriptors)
    yield from map(number_of_test, report.timed_tests)
    yield from map(number_of_sides, report.sides)
    for repetition in report.repetitions:
        whole = number_of_repetition(repetition)
        if whole is not None:
            yield whole
        for phase in repetition.phases:
            yield number_of_phase(phase, repetition.number)


def _of_curve(curve: Curve, name: str, words: str, value: Estimate, at_us: int) -> Number | None:
    if not (math.isfinite(value.value) and math.isfinite(value.sd)):
        return None
    ways = ("", "")
    if curve.name.endswith("_tilt"):
        ways = _FORWARD
    elif curve.name.endswith(("gaze", "ear_eye_line")):
        ways = _UPWARD
    return Number(
        name=name,
        words=words,
        value=value.value,
        sd=value.sd,
        unit=curve.unit,
        sense=_sense(value.value, ways),
        at_us=at_us,
    )


def _time(name: str, words: str, time_s: Estimate, repetition: int) -> Number:
    return Number(
        name=name,
        words=f"Time for {words}",
        value=time_s.value,
        sd=time_s.sd,
        unit="s",
        repetition=repetition,
    )


def _sense(value: float, ways: tuple[str, str]) -> str:
    return ways[0] if value >= 0 else ways[1]


def _spoken(name: str) -> str:
    words = name.replace("_", " ")
    return words[:1].upper() + words[1:]


def _named(words: str) -> str:
    return words.replace(" ", "_").replace("-", "_")
