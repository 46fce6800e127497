"""Repetitions of a movement: when each was, how long its phases took, and the timed chair tests."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.bend import bend_moments, bends
from cliptag.measure.movement.confirmed import with_set
from cliptag.measure.movement.cycles import Cycle
from cliptag.measure.movement.lift import lift_moments, lifts
from cliptag.measure.movement.proposal import Proposal
from cliptag.measure.movement.sit_to_stand import rise_moments, rises
from cliptag.measure.movement.source import Source
from cliptag.review import MomentName, Movement

FIVE_TIMES_RULE: Final = (
    "From the first lean of the first rise until upright in the fifth, as for the chair stands of "
    "the Short Physical Performance Battery (Guralnik et al. 1994, from memory); other protocols "
    "stop when seated again."
)
THIRTY_SECONDS_RULE: Final = (
    "Rises to upright within 30 s of the first lean; one that is more than half-way up at 30 s "
    "counts (CDC STEADI, after Rikli & Jones 1999). A rise with the help of the arms counts as "
    "none there, which the curves can't see: look."
)
_THIRTY_SECONDS_US = 30_000_000


@dataclass(frozen=True, slots=True)
class Phase:
    """What lies between two moments, in seconds."""

    words: str
    start_us: int
    end_us: int
    duration_s: Estimate


@dataclass(frozen=True, slots=True)
class Repetition:
    """One time through the movement; ``half_way_us``: its main curve is half-way up."""

    number: int
    half_way_us: int
    moments: tuple[Proposal, ...]
    phases: tuple[Phase, ...]

    def moment(self, name: MomentName) -> Proposal | None:
        """A moment by name, if it was found."""
        return next((moment for moment in self.moments if moment.name == name), None)

    def at_us(self, name: MomentName) -> int | None:
        """When a moment is, if it was found."""
        moment = self.moment(name)
        return None if moment is None else moment.at_us

    @property
    def duration_s(self) -> Estimate | None:
        """From its first moment to its last that belongs to the movement's time.

        Rising and settling is timed until upright.
        """
        timed = [moment for moment in self.moments if moment.name != "settled"]
        return _between(timed[0], timed[-1]) if len(timed) > 1 else None


@dataclass(frozen=True, slots=True)
class TimedTest:
    """A chair test read off the clip, with the rule that was followed."""

    name: str
    value: float
    sd: float
    unit: str
    rule: str


_PHASES: Final[dict[Movement, tuple[tuple[MomentName, MomentName, str], ...]]] = {
    "sit_to_stand": (
        ("first_lean", "seat_off", "leaning forward"),
        ("seat_off", "upright", "rising"),
        ("upright", "settled", "settling"),
    ),
    "bend": (("start", "deepest", "going down"), ("deepest", "back_up", "coming up")),
    "lift": (
        ("grip", "load_off", "taking hold"),
        ("load_off", "passing_knees", "from the floor to the knees"),
        ("passing_knees", "upright", "from the knees to upright"),
        ("upright", "set_down", "holding and setting down"),
    ),
}
_Found = tuple[Callable[[Source], list[Cycle]], Callable[[Source, Cycle, int], list[Proposal]]]
_WAYS: Final[dict[Movement, _Found]] = {
    "sit_to_stand": (rises, rise_moments),
    "bend": (bends, bend_moments),
    "lift": (lifts, lift_moments),
}


def repetitions_of(
    source: Source, movement: Movement, given: Sequence[Proposal] = ()
) -> tuple[Repetition, ...]:
    """Every repetition with its moments; none for movements that have no moments.

    ``given`` are the moments that the coach set, which stand in place of what the curves propose.
    Raises MeasureError when the points that the movement is read from aren't there.
    """
    if movement not in _WAYS:
        return ()
    cycles, moments = _WAYS[movement]
    found = {
        number: (cycle.up_us, moments(source, cycle, number))
        for number, cycle in enumerate(cycles(source), 1)
    }
    return _repetitions(source, movement, found, given)


def set_repetitions(
    source: Source, movement: Movement, given: Sequence[Proposal]
) -> tuple[Repetition, ...]:
    """The repetitions that the coach's moments make where no curve can propose any."""
    return _repetitions(source, movement, {}, given)


def _repetitions(
    source: Source,
    movement: Movement,
    found: Mapping[int, tuple[float, list[Proposal]]],
    given: Sequence[Proposal],
) -> tuple[Repetition, ...]:
    made = []
    for number in sorted({*found, *(moment.repetition for moment in given)}):
        half_way_us, proposed = found.get(number, (math.nan, []))
        mine = [moment for moment in given if moment.repetition == number]
        moments = with_set(proposed, mine, movement)
        made.append(_repetition(source, movement, number, half_way_us, moments))
    return tuple(made)


def _repetition(
    source: Source,
    movement: Movement,
    number: int,
    half_way_us: float,
    moments: list[Proposal],
) -> Repetition:
    by_name = {moment.name: moment for moment in moments}
    phases = [
        Phase(words, by_name[a].at_us, by_name[b].at_us, _between(by_name[a], by_name[b]))
        for a, b, words in _PHASES[movement]
        if a in by_name and b in by_name and by_name[a].at_us <= by_name[b].at_us
    ]
    if movement == "sit_to_stand":
        phases = _with_schenkman(source, by_name, phases)
    half_way = round(_half_way(half_way_us, by_name))
    return Repetition(number, half_way, tuple(moments), tuple(phases))


def _half_way(proposed_us: float, moments: Mapping[MomentName, Proposal]) -> float:
    """The curve's half-way, unless the coach's rise is elsewhere: then the middle of that."""
    off, up = moments.get("seat_off"), moments.get("upright")
    if off is not None and up is not None and not off.at_us <= proposed_us <= up.at_us:
        return (off.at_us + up.at_us) / 2
    if math.isnan(proposed_us):
        times = [moment.at_us for moment in moments.values()]
        return sum(times) / len(times)
    return proposed_us


def _with_schenkman(
    source: Source, moments: dict[MomentName, Proposal], phases: list[Phase]
) -> list[Phase]:
    """Rising told apart at the greatest dorsiflexion (Schenkman et al. 1990, phases II and III)."""
    shank = source.angles.get("ankle_dorsiflexion", source.angles.get("shank_tilt"))
    if shank is None or not {"seat_off", "upright"} <= set(moments):
        return phases
    off, up = moments["seat_off"], moments["upright"]
    part = shank.part(off.at_us, up.at_us)
    if not part.is_known:
        return phases
    most = part.highest
    turn = Proposal("seat_off", off.repetition, most.at_us, most.at_sd_us, 0.0, "")
    split = [
        Phase("shifting weight onto the feet", off.at_us, most.at_us, _between(off, turn)),
        Phase("straightening up", most.at_us, up.at_us, _between(turn, up)),
    ]
    return [new for phase in phases for new in (split if phase.words == "rising" else [phase])]


def _between(start: Proposal, end: Proposal) -> Estimate:
    return Estimate((end.at_us - start.at_us) / 1e6, math.hypot(start.sd_us, end.sd_us) / 1e6)


def timed_tests(
    repetitions: tuple[Repetition, ...], movement: Movement, clip_end_us: float
) -> tuple[TimedTest, ...]:
    """The chair tests that a clip of rises holds: five times, and 30 seconds."""
    if movement != "sit_to_stand" or not repetitions:
        return ()
    found = [_five_times(repetitions), _thirty_seconds(repetitions, clip_end_us)]
    return tuple(test for test in found if test is not None)


def _five_times(repetitions: tuple[Repetition, ...]) -> TimedTest | None:
    if len(repetitions) < 5:
        return None
    first, fifth = repetitions[0].moment("first_lean"), repetitions[4].moment("upright")
    if first is None or fifth is None:
        return None
    time = _between(first, fifth)
    return TimedTest("five_times_sit_to_stand", time.value, time.sd, "s", FIVE_TIMES_RULE)


def _thirty_seconds(repetitions: tuple[Repetition, ...], clip_end_us: float) -> TimedTest | None:
    first = repetitions[0].moment("first_lean")
    if first is None or clip_end_us - first.at_us < _THIRTY_SECONDS_US:
        return None
    end_us = first.at_us + _THIRTY_SECONDS_US
    halfway = np.array([repetition.half_way_us for repetition in repetitions])
    count = int((halfway <= end_us).sum())
    # Whether the last one counts can hang on a hair.
    close = bool((np.abs(halfway - end_us) < 2 * max(first.sd_us, 50_000)).any())
    return TimedTest(
        "thirty_second_chair_stand", count, 0.5 if close else 0.0, "stands", THIRTY_SECONDS_RULE
    )
