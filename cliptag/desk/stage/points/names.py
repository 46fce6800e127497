"""What the points that are followed are called, and in which order they are placed."""

from __future__ import annotations

from typing import Final

from cliptag.measure import BACK_POINTS, BODY_CHAIN

MORE_POINTS: Final = ("eye", "gaze_target", "load", *(p for p in BACK_POINTS if p != "c7"))
"""What is offered once the usual points are placed."""
ORDER: Final = (*BODY_CHAIN, *MORE_POINTS)
OFFERED_FIRST: Final = {"lift": ("load",)}
"""After the usual points, what a movement needs most."""
MOST_LETTERS: Final = 40
SIDES: Final = ("", "left_", "right_")

_SPINE: Final = frozenset(BACK_POINTS)
_JOINED: Final = (
    ("ear", "c7"),
    ("c7", "shoulder"),
    ("shoulder", "elbow"),
    ("elbow", "wrist"),
    ("shoulder", "hip"),
    ("hip", "knee"),
    ("knee", "ankle"),
    ("ankle", "heel"),
    ("heel", "toe"),
    ("ankle", "toe"),
    ("s2", "l4"),
    ("l4", "l1"),
    ("l1", "t8"),
    ("t8", "t4"),
    ("t4", "c7"),
    ("eye", "gaze_target"),
)
JOINED: Final = tuple((side + a, side + b) for side in SIDES for a, b in _JOINED)
"""Points that lie next to each other on the body: a line is drawn between them."""


def words_of(name: str) -> str:
    """A point's name for people, such as 'gaze target', 'C7' or 'left knee'."""
    for side in SIDES[1:]:
        if name.startswith(side):
            return f"{side[:-1]} {words_of(name.removeprefix(side))}"
    return name.upper() if name in _SPINE else name.replace("_", " ")


def the(name: str) -> str:
    """The same in a sentence: 'the gaze target', but 'C7' alone."""
    return words_of(name) if name in _SPINE else f"the {words_of(name)}"


def name_from(typed: str) -> str:
    """The name of what a person typed; a usual point is known however it is written."""
    name = " ".join(typed.split())[:MOST_LETTERS]
    usual = name.lower().replace(" ", "_")
    is_usual = any(usual.removeprefix(side) in ORDER for side in SIDES)
    return usual if is_usual else name


def own_names(of: str) -> tuple[str, ...]:
    """The names by which a point of a mark may be followed: 'knee', 'left_knee', 'right_knee'."""
    return tuple(side + of for side in SIDES)
