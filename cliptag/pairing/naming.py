"""Which review comes first, and where their pairing is kept unless one chooses otherwise."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Final, TypeVar

from cliptag.pairing.document import SUFFIX, Pairing
from cliptag.review import SUFFIX as REVIEW_SUFFIX
from cliptag.review import load_review

_Place = TypeVar("_Place", int, date)
_LONGEST_NAME: Final = 80
"""Of each of the two: file systems take names of 255 bytes."""


def pairing_of(first: str | Path, second: str | Path) -> Pairing:
    """A new pairing of two reviews in the given order."""
    return Pairing(reviews=(str(Path(first).absolute()), str(Path(second).absolute())))


def pairing_in_order(one: str | Path, other: str | Path) -> Pairing:
    """A new pairing of two reviews, the earlier one first: by their weeks, else by their dates.

    Where neither tells, ``one`` comes first. Raises ReviewError.
    """
    first, second = load_review(one), load_review(other)
    is_later = _is_later(first.week, second.week)
    if is_later is None:
        is_later = _is_later(first.recorded_on, second.recorded_on)
    return pairing_of(other, one) if is_later else pairing_of(one, other)


def pairing_path_of(pairing: Pairing) -> Path:
    """The file of a pairing: beside its last review, named after both."""
    first, last = Path(pairing.reviews[0]), Path(pairing.reviews[-1])
    names = [path.name.removesuffix(REVIEW_SUFFIX)[:_LONGEST_NAME] for path in (first, last)]
    return last.with_name(f"{names[0]} and {names[1]}{SUFFIX}")


def _is_later(one: _Place | None, other: _Place | None) -> bool | None:
    """None where that isn't known, or both are the same."""
    return None if one is None or other is None or one == other else one > other
