"""Named quantities of a measured review at one time, to fill published methods in with.

The angles go by the names of their curves; then ``load_to_low_back``, ``load_above_low_back``,
``hands_ahead_of_ankles``, ``hands_above_floor`` and ``hands_travel`` in cm (with a scale only), and
the timed chair tests. The hands are where the wrist is, and the floor where the sole is.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.readings import Reading, reading_of
from cliptag.review import Joint, MomentName, Movement, Note, Review, Tilt, is_measuring

if TYPE_CHECKING:
    from cliptag.measure.curves import Level
    from cliptag.measure.movement import MovementReport, Repetition

_TELLING: Final[dict[Movement, tuple[MomentName, ...]]] = {
    "lift": ("load_off", "grip", "upright"),
    "bend": ("deepest", "start"),
    "sit_to_stand": ("seat_off", "first_lean"),
}
"""At which moment a movement tells most, the best first."""
_LOW_BACK: Final = ("l4", "s2", "l1")
_SOLE: Final = ("heel", "toe")


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measured value with its unit; ``at_us`` is None where it belongs to the whole clip.

    ``words`` say in short where it comes from.
    """

    name: str
    estimate: Estimate
    unit: str
    at_us: int | None
    words: str


def telling_time(review: Review, report: MovementReport | None) -> int:
    """The time at which a review tells most: of the load's coming off, of the deepest bend, ...

    Without any moment it is where the first note that measures something begins, or 0.
    """
    for name in _TELLING.get(review.movement, ()):
        for repetition in report.repetitions if report is not None else ():
            at_us = repetition.at_us(name)
            if at_us is not None:
                return at_us
        for moment in review.moments:
            if moment.name == name:
                return moment.at_us
    measuring = (note.start_us for note in review.notes if any(map(is_measuring, note.marks)))
    return min(measuring, default=0)


def quantities_of(review: Review, report: MovementReport | None, at_us: int) -> dict[str, Quantity]:
    """What is measured at a time, by name; a followed curve goes before a mark on the frame."""
    found = {one.name: one for one in _of_marks(review, at_us)}
    if report is not None:
        found |= {one.name: one for one in _of_report(report, at_us)}
    return found


def _of_marks(review: Review, at_us: int) -> Iterator[Quantity]:
    for note in review.notes:
        if note.start_us <= at_us < max(note.end_us, note.start_us + 1):
            yield from _of_note(review, note)


def _of_note(review: Review, note: Note) -> Iterator[Quantity]:
    for mark in note.marks:
        if not isinstance(mark, Joint | Tilt):
            continue
        try:
            reading = reading_of(review, note.id, note.start_us, mark)
        except MeasureError:
            continue
        name = _mark_name(mark, reading)
        if name:
            value = Estimate(reading.value, reading.sd)
            words = f"{reading.name}, marked at {_clock(note.start_us)}"
            yield Quantity(name, value, reading.unit, note.start_us, words)


def _mark_name(mark: Joint | Tilt, reading: Reading) -> str:
    """The curve that counts as the mark does; a tilt without a facing has no forward."""
    if isinstance(mark, Joint):
        ends = {"ankle": "ankle_dorsiflexion_to_toe", "other": ""}
        return ends.get(mark.joint, f"{mark.joint}_flexion")
    if mark.segment == "head_on_neck":
        return "craniovertebral"
    if mark.segment == "gaze":
        return "gaze"
    if mark.segment == "other" or reading.sense not in ("forward", "backward"):
        return ""
    return f"{mark.segment}_tilt"


def _of_report(report: MovementReport, at_us: int) -> Iterator[Quantity]:
    for name, curve in report.angles.items():
        value = curve.at(at_us)
        if math.isfinite(value.value) and math.isfinite(value.sd):
            yield Quantity(name, value, "°", at_us, f"{curve.words} at {_clock(at_us)}")
    for test in report.timed_tests:
        value = Estimate(test.value, test.sd)
        yield Quantity(test.name, value, test.unit, None, "timed in this clip")
    yield from _lengths(report, at_us)


def _lengths(report: MovementReport, at_us: int) -> Iterator[Quantity]:
    from cliptag.measure.curves import Level

    level = Level(report.smoothed)
    if level.scale is None:
        return
    near = _nearest(report, at_us)
    start_us = None if near is None else near.at_us("load_off")
    lift_us = at_us if start_us is None else start_us
    back = next((name for name in _LOW_BACK if name in level), "")
    wanted = [
        ("load_to_low_back", _ahead(level, "load", back, lift_us), lift_us),
        ("load_above_low_back", _above(level, "load", back, lift_us), lift_us),
        ("hands_ahead_of_ankles", _ahead(level, "wrist", "ankle", lift_us), lift_us),
        ("hands_above_floor", _above_floor(level, lift_us), lift_us),
    ]
    up_us = None if near is None else near.at_us("upright")
    if start_us is not None and up_us is not None:
        wanted.append(("hands_travel", _travel(level, start_us, up_us), start_us))
    for name, value, when_us in wanted:
        if value is not None:
            words = f"{name.replace('_', ' ')} at {_clock(when_us)}"
            yield Quantity(name, value, "cm", when_us, words.capitalize())


def _nearest(report: MovementReport, at_us: int) -> Repetition | None:
    """The repetition that a time lies in, or is nearest to."""

    def away(repetition: Repetition) -> int:
        times = [moment.at_us for moment in repetition.moments]
        return max(min(times) - at_us, at_us - max(times), 0)

    having = [repetition for repetition in report.repetitions if repetition.moments]
    return min(having, key=away, default=None)


def _ahead(level: Level, one: str, other: str, at_us: float) -> Estimate | None:
    from cliptag.measure.movement.gaps import ahead_at

    try:
        length = ahead_at(level, one, other, at_us)
    except MeasureError:
        return None
    return Estimate(length.value, length.sd)


def _above(level: Level, one: str, other: str, at_us: float) -> Estimate | None:
    """How far ``one`` lies above ``other``; a wrong plumb line swings their level distance in."""
    if one not in level or other not in level:
        return None
    times = level.trajectories.times_us
    a, b = level[one], level[other]

    def at(values: object) -> float:
        import numpy as np

        return float(np.interp(at_us, times, values, np.nan, np.nan))  # type: ignore[call-overload]

    swung = level.roll_sd_rad * (at(a.forward) - at(b.forward))
    sd_px = math.hypot(at(a.point.sd_px), at(b.point.sd_px), swung)
    return _in_cm(level, at(a.up) - at(b.up), sd_px)


def _above_floor(level: Level, at_us: float) -> Estimate | None:
    heights = [_above(level, "wrist", name, at_us) for name in _SOLE]
    known = [height for height in heights if height is not None]
    # The lower point of the foot is nearer to the floor, so that the hand is further above it.
    return max(known, key=lambda height: height.value, default=None)


def _travel(level: Level, start_us: float, end_us: float) -> Estimate | None:
    first, last = _above_floor(level, start_us), _above_floor(level, end_us)
    if first is None or last is None:
        return None
    return Estimate(abs(last.value - first.value), math.hypot(first.sd, last.sd))


def _in_cm(level: Level, px: float, sd_px: float) -> Estimate | None:
    scale = level.scale
    if scale is None or not math.isfinite(px):
        return None
    value = px / scale.value
    return Estimate(value, math.hypot(sd_px, value * scale.sd) / scale.value)


def _clock(at_us: int) -> str:
    minutes, seconds = divmod(at_us / 1e6, 60)
    return f"{int(minutes)}:{seconds:05.2f}"
