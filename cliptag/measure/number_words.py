"""What a note's number says to a person: in the card, in captions, transcripts and comparisons."""

from __future__ import annotations

import math
from typing import Final

import msgspec

from cliptag.measure.numbers import shown
from cliptag.review import Number

UNCERTAINTY_WORDS: Final = (
    "± tells how sure a measured number is: about 95 times in 100 the true value lies within it. "
    "Turning towards the camera or away from it adds to that."
)
"""Stands once wherever measured numbers reach a client (k = 2, after JCGM 100:2008, 6.2)."""


def number_text(number: Number) -> str:
    """A number with its name, such as 'Peak trunk lean: 48° ± 2° forward'; no full stop."""
    words = number.words.strip() or number.name.replace("_", " ").capitalize()
    if number.repetition is not None and number.repetition > 1:
        words = f"{words}, repetition {number.repetition}"
    return f"{words}: {shown(number)}"


def detectable_change(number: Number) -> float:
    """How much two such numbers of one person must differ before it can't be measuring alone.

    In the number's unit: the smallest detectable change, 1.96 * sqrt(2) times its standard
    uncertainty (Weir 2005; see ``published.repeat``).
    """
    # The published methods load what the desk's start need not wait for.
    from cliptag.measure.published.repeat import smallest_detectable_change

    return smallest_detectable_change(number.sd)


def detectable_change_text(number: Number) -> str:
    """The same as a sentence; empty for a number that was counted and not measured."""
    if number.sd == 0:
        return ""
    change = msgspec.structs.replace(
        number, value=_rounded_up(detectable_change(number)), sd=0.0, sense=""
    )
    return f"Less than {shown(change)} between two clips may be the measuring alone."


def _rounded_up(change: float) -> float:
    """To two digits, upwards: less would be claimed than can be kept."""
    step = 10.0 ** (math.floor(math.log10(change)) - 1)
    return float(f"{math.ceil(round(change / step, 6)) * step:.6g}")
