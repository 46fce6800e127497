"""A published method as questions to a person, for the command line and the desk.

``Form.answer`` takes what was measured or answered, checks it, and gives the outcome.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final, Literal, TypeAlias

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published.lever_arm import CloserLoad
from cliptag.measure.published.method import Method
from cliptag.measure.published.quantity import choice, estimate, number, whole
from cliptag.measure.rounding import COVERAGE_FACTOR
from cliptag.review import Number

Answer: TypeAlias = Estimate | int | str | bool | tuple[float, ...]
Answers: TypeAlias = Mapping[str, Any]
Kind: TypeAlias = Literal["number", "count", "choice", "yes or no", "numbers", "words"]

YES, NO = "yes", "no"
_SIGN: Final = r"[-+−]?\d+(?:\.\d+)?"
_NUMBER: Final = re.compile(rf"({_SIGN})(?:\s*(?:±|\+-|\+/-)\s*(\d+(?:\.\d+)?))?")
_LONGEST: Final = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One thing that a method asks for.

    ``low`` and ``high`` are the ends of the allowed range. ``default`` None: it must be answered.
    ``measured`` names the quantity that a measured review can fill in (see
    ``cliptag.measure.quantities``), by the answer to the choice ``by``, or under '' without one.
    """

    name: str
    words: str
    kind: Kind = "number"
    unit: str = ""
    low: float = -math.inf
    high: float = math.inf
    choices: tuple[str, ...] = ()
    default: Answer | None = None
    by: str = ""
    measured: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_needed(self) -> bool:
        """Whether there is no usual answer."""
        return self.default is None

    @property
    def allowed(self) -> str:
        """What may be answered, in words."""
        if self.kind == "yes or no":
            return f"{YES} or {NO}"
        if self.kind == "choice":
            return ", ".join(self.choices)
        if self.kind == "words":
            return "a word or two"
        if math.isinf(self.low) or math.isinf(self.high):
            span = "any number"
        else:
            span = f"{self.low:g} to {self.high:g}"
        some = "several, with commas between: " if self.kind == "numbers" else ""
        return f"{some}{span} {self.unit}".rstrip().replace("-", "−")

    def read(self, word: str) -> Answer:
        """An answer as a person types it. Raises MeasureError with one sentence.

        A number may carry its uncertainty as it is shown, k = 2: '48 ± 4'.
        """
        word = word.strip()
        if self.kind == "yes or no":
            choice(word, self.words, (YES, NO))
            return word == YES
        if self.kind in ("choice", "words"):
            return self.checked(word)
        if self.kind == "numbers":
            return self.checked(tuple(self._number(part).value for part in word.split(",")))
        one = self._number(word)
        if self.kind == "count":
            return self.checked(int(one.value) if one.value.is_integer() and not one.sd else word)
        return self.checked(one)

    def checked(self, answer: object) -> Answer:
        """The answer itself, if it may be given; else a MeasureError."""
        if self.kind == "choice":
            choice(str(answer), self.words, self.choices)
            return str(answer)
        if self.kind == "words":
            if not str(answer).strip() or len(str(answer)) > _LONGEST:
                raise MeasureError(f"{self.words} is empty or too long: give a word or two.")
            return str(answer).strip()
        if self.kind == "yes or no":
            if not isinstance(answer, bool):
                raise MeasureError(f"{self.words}: answer {YES} or {NO}.")
            return answer
        if self.kind == "numbers":
            if not isinstance(answer, tuple):
                raise MeasureError(f"{self.words}: give numbers with commas between.")
            return tuple(number(one, self.words, self.low, self.high, self.unit) for one in answer)
        if self.kind == "count":
            low, high = int(self.low), int(self.high)
            return whole(answer, self.words, low, high, self.unit)  # type: ignore[arg-type]
        if not isinstance(answer, Estimate | float | int):
            raise MeasureError(f"{self.words} is not a number: give {self.allowed}.")
        return estimate(answer, self.words, self.low, self.high, self.unit)

    def _number(self, word: str) -> Estimate:
        found = _NUMBER.fullmatch(word.strip())
        if found is None:
            raise MeasureError(
                f"{self.words} is {word!r}, which is not a number: give {self.allowed}, with a "
                "point for decimals."
            )
        value, spread = found.groups()
        sd = float(spread) / COVERAGE_FACTOR if spread else 0.0
        return Estimate(float(value.replace("−", "-")), sd)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a method says: its meaning with the caution, and numbers that fit into a note.

    ``lesson`` is there to be drawn, for the lever arm.
    """

    meaning: str
    numbers: tuple[Number, ...]
    lesson: CloserLoad | None = None


@dataclass(frozen=True, slots=True)
class Form:
    """A method with its questions."""

    method: Method
    questions: tuple[Question, ...]
    work_out: Callable[[Answers], Outcome]

    def question(self, name: str) -> Question:
        """A question by name. Raises MeasureError when the method doesn't ask it."""
        for question in self.questions:
            if question.name == name:
                return question
        names = ", ".join(question.name for question in self.questions)
        raise MeasureError(f"{self.method.name} doesn't ask for {name!r}: it asks for {names}.")

    def answer(self, given: Mapping[str, Answer]) -> Outcome:
        """Work the method out. Raises MeasureError for what is missing or can't be."""
        answers: dict[str, Answer] = {}
        for name, value in given.items():
            answers[name] = self.question(name).checked(value)
        for question in self.questions:
            if question.name not in answers:
                if question.default is None:
                    raise MeasureError(
                        f"{self.method.name} also needs {question.name}: "
                        f"{_lower(question.words)} ({question.allowed})."
                    )
                answers[question.name] = question.checked(question.default)
        return self.work_out(answers)


def measured_from(question: Question, given: Mapping[str, object]) -> str:
    """The name of the quantity that can fill a question in; empty where there is none."""
    key = str(given.get(question.by, "")) if question.by else ""
    return question.measured.get(key, "")


def score(name: str, words: str, value: float, lowest: float, highest: float) -> Number:
    """A score as a number for a note, with all scores that the uncertainty allows."""
    span = "" if lowest == highest else f" ({lowest:g} to {highest:g})"
    return Number(name=name, words=f"{words}{span}", value=value, sd=0.0, unit="points")


def figure(name: str, words: str, one: Estimate, unit: str) -> tuple[Number, ...]:
    """A measured result as a number for a note; none where it is without bound."""
    if not (math.isfinite(one.value) and math.isfinite(one.sd)):
        return ()
    return (Number(name=name, words=words, value=one.value, sd=one.sd, unit=unit),)


def _lower(words: str) -> str:
    return words[:1].lower() + words[1:]
