"""What the chair tests and repeated measurements ask for."""

from __future__ import annotations

from typing import Final, get_args

from cliptag.measure.geometry import Estimate
from cliptag.measure.published import chair_stand, repeat
from cliptag.measure.published.chair_stand import (
    Sex,
    chair_stand_points,
    counted_stands,
    five_times,
    thirty_seconds,
)
from cliptag.measure.published.form import Answers, Form, Outcome, Question, figure, score
from cliptag.measure.published.repeat import (
    change_meaning,
    limits_of_agreement,
    sem_from_pairs,
    smallest_detectable_change,
)

_AGE: Final = Question(name="age", words="Age", kind="count", unit="years", low=0, high=120)


def _five(given: Answers) -> Outcome:
    found = five_times(given["time_s"], given["age"])
    points = chair_stand_points(found.time.value)
    return Outcome(
        found.meaning,
        (
            *figure("five_times_sit_to_stand", "Five times up from the chair", found.time, "s"),
            score("chair_stand_points", "Chair-stand points, 0 to 4", points, points, points),
        ),
    )


def _thirty(given: Answers) -> Outcome:
    count = counted_stands(given["stands"], False, given["used_arms"])
    found = thirty_seconds(count, given["age"], given["sex"])
    one = Estimate(float(found.stands), 0.0)
    words = "Up from the chair in 30 s"
    return Outcome(found.meaning, figure("thirty_second_chair_stand", words, one, "stands"))


def _repeats(given: Answers) -> Outcome:
    sem = sem_from_pairs(given["first"], given["second"])
    unit = given["unit"]
    limits = limits_of_agreement(given["first"], given["second"])
    least = Estimate(smallest_detectable_change(sem), 0.0)
    return Outcome(
        f"{change_meaning(given['change'].value, sem, unit)} {limits.meaning(unit)}",
        (
            *figure("sem", "Standard error of measurement", Estimate(sem, 0.0), unit),
            *figure("smallest_detectable_change", "Smallest detectable change", least, unit),
        ),
    )


FORMS: Final = (
    Form(
        chair_stand.FIVE_TIMES,
        (
            Question(
                name="time_s",
                words="Time for five rises",
                unit="s",
                low=1,
                high=300,
                measured={"": "five_times_sit_to_stand"},
            ),
            _AGE,
        ),
        _five,
    ),
    Form(
        chair_stand.THIRTY_SECONDS,
        (
            Question(
                name="stands",
                words="Rises in 30 s, one over half-way up at the end included",
                kind="count",
                low=0,
                high=60,
                measured={"": "thirty_second_chair_stand"},
            ),
            _AGE,
            Question(name="sex", words="Compared with", kind="choice", choices=get_args(Sex)),
            Question(
                name="used_arms",
                words="Did the arms help? (then none counts)",
                kind="yes or no",
                default=False,
            ),
        ),
        _thirty,
    ),
    Form(
        repeat.METHOD,
        (
            Question(name="first", words="First readings", kind="numbers"),
            Question(name="second", words="Second readings of the same", kind="numbers"),
            Question(name="change", words="A change to judge", default=Estimate(0.0, 0.0)),
            Question(name="unit", words="Unit", kind="words", default="°"),
        ),
        _repeats,
    ),
)
