"""Lifts in the course of a day, for the revised NIOSH lifting equation: durations, frequencies,
hidden reach, and several tasks in one job.

Source: Waters, Putz-Anderson, Garg, DHHS (NIOSH) 94-110, sections 1.3.1, 1.3.5 and 2.4; all of it
from memory, except that the frequency is an average over 15 minutes.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias, get_args

from cliptag.errors import MeasureError
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.niosh import (
    AnyLift,
    index_reading,
    index_text,
    lifting_equation,
    starts_high,
)
from cliptag.measure.published.niosh_multipliers import Mode, frequency
from cliptag.measure.published.niosh_tables import METRIC, US, Duration
from cliptag.measure.published.quantity import choice, number

METHOD: Final = Method(
    key="niosh-lifting-several",
    name="Composite lifting index of several tasks (NIOSH)",
    source="Waters, Putz-Anderson, Garg: Applications Manual for the Revised NIOSH Lifting "
    "Equation, DHHS (NIOSH) 94-110, 1994, revised 2021, section 2.4",
    known=(
        ("15-minute average", "read"),
        ("composite index and its example, durations, short-work frequency", "from memory"),
    ),
    inputs=("each task as for the lifting equation", "one duration for the whole job"),
    gives="composite lifting index",
    limits=(
        "as for the lifting equation",
        "2 to about 10 tasks that differ in reach, height, travel, twist, weight or grip",
    ),
    does_not_say="It says nothing about one person's back, age or strength.",
)

Edition: TypeAlias = Literal["1994", "2021"]

_SHORT_RECOVERY: Final[dict[Edition, float]] = {"1994": 1.2, "2021": 1.0}
_MODERATE_RECOVERY: Final = 0.3


@dataclass(frozen=True, slots=True)
class Spell:
    """Minutes of lifting without a pause, and of light work or rest after it."""

    lifting_min: float
    recovery_min: float


def duration_of(spells: Sequence[Spell], edition: Edition = "1994") -> Duration:
    """The duration class of a day of lifting.

    Spells whose recovery is too short are added together: up to one hour of lifting needs 1.2
    times its length (edition 1994) or as much as its length (2021), up to two hours 0.3 times.
    The 1994 factor is the default: it asks for more rest. Both from memory; the 2021 factor is
    also quoted in teaching material.
    """
    choice(edition, "The edition", get_args(Edition))
    if not spells:
        raise MeasureError("There is no spell of lifting: give at least one.")
    longest = together = 0.0
    for spell in spells:
        together += number(spell.lifting_min, "The time of lifting", 0.1, 1440.0, "minutes")
        longest = max(longest, together)
        rest = number(spell.recovery_min, "The recovery", 0.0, 1440.0, "minutes")
        factor = _SHORT_RECOVERY[edition] if together <= 60 else _MODERATE_RECOVERY
        if together <= 120 and rest >= factor * together:
            together = 0.0
    if longest > 480:
        raise MeasureError(
            "The lifting adds up to more than 8 hours: the equation ends there, ask a licensed "
            "practitioner."
        )
    return "short" if longest <= 60 else "moderate" if longest <= 120 else "long"


def frequency_of_short_work(lifts_per_min: float, minutes_of_15: float) -> float:
    """Lifts a minute averaged over 15 minutes, for work that stops sooner (section 1.3.5).

    Ten lifts a minute for 8 minutes count as 5.33. Not for more than 15 lifts a minute.
    """
    rate = number(lifts_per_min, "The number of lifts", 0.0, 15.0, "a minute")
    return rate * number(minutes_of_15, "The time of lifting", 0.0, 15.0, "minutes") / 15.0


def hidden_reach_cm(load_width_cm: float, vertical_cm: float) -> float:
    """H when the load hides the ankles: half its width and 20 cm, or 25 cm below V = 25 cm."""
    width = number(load_width_cm, "The width of the load", 0.0, 200.0, "cm")
    height = number(vertical_cm, "The height V", 0.0, 300.0, "cm")
    return (20.0 if height >= float(METRIC.nearest) else 25.0) + width / 2


def hidden_reach_in(load_width_in: float, vertical_in: float) -> float:
    """H when the load hides the ankles: half its width and 8 in, or 10 in below V = 10 in."""
    width = number(load_width_in, "The width of the load", 0.0, 80.0, "in")
    height = number(vertical_in, "The height V", 0.0, 120.0, "in")
    return (8.0 if height >= float(US.nearest) else 10.0) + width / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class TaskIndex:
    """What the composite index needs of one task: FILI, STLI, its frequency, and its height."""

    lifts_per_min: float
    frequency_independent_index: float
    single_task_index: float
    starts_high: bool


@dataclass(frozen=True, slots=True)
class CompositeResult:
    """``index`` of the job; ``shares`` hardest task first, add up to it."""

    index: float
    shares: tuple[float, ...]

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        return (
            f"Composite lifting index {index_text(self.index)}: {index_reading(self.index)}. "
            f"{GUIDE}"
        )


def task_index(lift: AnyLift, mode: Mode = "formula") -> TaskIndex:
    """One task's part in a composite index."""
    result = lifting_equation(lift, mode)
    if result.weight_limit == 0:
        raise MeasureError(f"One task can't be part of a job: {result.meaning}")
    return TaskIndex(
        lifts_per_min=lift.lifts_per_min,
        frequency_independent_index=result.load.value / result.frequency_independent_limit,
        single_task_index=result.lifting_index,
        starts_high=starts_high(lift),
    )


def composite_index(
    tasks: Sequence[TaskIndex], duration: Duration, mode: Mode = "formula"
) -> CompositeResult:
    """Composite lifting index of a job (section 2.4.5).

    CLI = STLI_1 + sum over j of FILI_j (1 / FM(F_1 + ... + F_j) - 1 / FM(F_1 + ... + F_j-1)),
    hardest task first. Raises MeasureError where the lifts together are more than the frequency
    table allows.
    """
    choice(duration, "The duration", get_args(Duration))
    if not tasks:
        raise MeasureError("There is no task: give at least one.")
    order = sorted(tasks, key=lambda task: task.single_task_index, reverse=True)
    shares = [order[0].single_task_index]
    before = order[0].lifts_per_min
    for task in order[1:]:
        after = before + task.lifts_per_min
        more, less = (frequency(f, duration, task.starts_high, mode) for f in (after, before))
        if more == 0:
            raise MeasureError(
                f"{after:g} lifts a minute are more than the frequency table allows for this "
                "duration: lift less often or for a shorter time."
            )
        shares.append(task.frequency_independent_index * float(1 / more - 1 / less))
        before = after
    return CompositeResult(sum(shares), tuple(shares))
