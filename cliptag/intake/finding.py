"""What the intake check says of one thing about a clip."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

Grade = Literal["fine", "care", "again"]

GRADE_WORDS: Final[dict[Grade, str]] = {
    "fine": "Fine",
    "care": "Usable with care",
    "again": "Ask again",
}

Ask = Literal[
    "rate",
    "size",
    "shorter",
    "longer",
    "whole_file",
    "light",
    "still",
    "lens",
    "upright",
    "level",
    "nearer",
    "whole_body",
    "side",
]
"""What to ask the client for; the words are in ``message``."""


@dataclass(frozen=True, slots=True)
class IntakeFinding:
    """``sentence`` and ``why``, the reason of the threshold, are for the coach.

    ``ask`` is what to ask the client for.
    """

    name: str
    grade: Grade
    sentence: str
    why: str
    ask: Ask | None = None


def graded(value: float, care: float, again: float) -> Grade:
    """Where a value stands that should be small (or, with ``care`` above ``again``, large)."""
    if care > again:
        return "again" if value < again else "care" if value < care else "fine"
    return "again" if value > again else "care" if value > care else "fine"


def worst(grades: list[Grade]) -> Grade:
    """The grade of all together."""
    order: tuple[Grade, ...] = ("fine", "care", "again")
    return max(grades, key=order.index, default="fine")
