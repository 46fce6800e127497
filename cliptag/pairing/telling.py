"""What the pairing says in words: of each number, at each moment, and in the end."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from cliptag.export import figure_words, towards_words, value_words
from cliptag.measure import rounded
from cliptag.pairing.differences import Difference
from cliptag.pairing.normalised import TELLING
from cliptag.pairing.quantities import Quantity
from cliptag.pairing.wording import name_at_a_moment, quantity_meaning, quantity_name
from cliptag.review import MomentName
from cliptag.words import ENGLISH, Words

CHANCE_WORDS: Final = (
    "About one number in twenty that did not change at all passes for changed by chance."
)
ONCE_WORDS: Final = (
    "Each clip shows few repetitions, some only one: a change is one between these recordings. How "
    "much the movement varies from day to day is not in these numbers."
)
MEANING_WORDS: Final = (
    "Changed: by more than the smallest change that can be told from measuring error (95 %). It "
    "does not say better or worse, nor why."
)
VERDICTS: Final = (
    "changed",
    "changed, towards the goal",
    "changed, away from the goal",
    "within measuring error",
)

MOST_ROWS: Final = 14
_MOST_SAID: Final = 4
_MOST_DECIMALS: Final = 6


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table, as it reads.

    ``change`` and ``detectable``, the measuring error that it is held against, have as many
    decimals, so that the verdict can be read off both.
    """

    words: str
    first: str
    second: str
    change: str
    detectable: str
    verdict: str
    is_changed: bool
    meaning: str = ""


def row_of(difference: Difference, words: Words = ENGLISH) -> Row:
    """A difference in words; both values have their uncertainty (k = 2)."""
    first, second = _values(difference, words)
    factor, unit = _in_unit(difference)
    change, detectable = factor * _change_as_shown(difference), factor * difference.detectable
    decimals = _decimals(change, detectable)
    figure = f"{abs(change):.{decimals}f}"
    sign = _sign(difference, change) if float(figure) else ""
    return Row(
        words=quantity_name(difference.words, words),
        first=first,
        second=second,
        change=figure_words(f"{sign}{figure}", unit, words),
        detectable=figure_words(f"{detectable:.{decimals}f}", unit, words),
        verdict=words.term("verdict", _verdict(difference)),
        is_changed=difference.verdict == "changed",
        meaning=quantity_meaning(difference.words, words),
    )


def rows_to_show(differences: Sequence[Difference]) -> tuple[Difference, ...]:
    """The lines that one page has room for: those with goals, then the movement's, then others.

    What the coach measured at a moment is not told again as read off the curve there.
    """
    order = {id(d): place for place, d in enumerate(differences)}

    def rank(difference: Difference) -> tuple[int, int, int]:
        curve = next((i for i, n in enumerate(TELLING) if difference.name.startswith(n)), 99)
        return int(difference.goal is None), _rank(difference), curve * 1000 + order[id(difference)]

    told: dict[str, Difference] = {}
    for difference in sorted(differences, key=rank):
        told.setdefault(quantity_name(difference.words, ENGLISH), difference)
    return tuple(told.values())[:MOST_ROWS]


def _rank(difference: Difference) -> int:
    """Postures first, then what the coach measured, the whole time, and details at the end."""
    name, source = difference.name, difference.first.source
    if name.startswith(("time_", "repetition_time")):
        return 3 if name == "repetition_time" else 5
    if source == "curve":
        return 1 if name.endswith("_highest") else 6
    return {"movement": 0, "mark": 2, "note": 2, "moment": 4}[source]


def amounts(
    quantities: Sequence[Quantity | None], words: Words = ENGLISH
) -> tuple[str | None, ...]:
    """One quantity at several times, in one unit: '48° ± 2° forward'; None stays."""
    known = [abs(q.value) for q in quantities if q is not None]
    in_ms = bool(known) and max(known) < 1.0

    def told(quantity: Quantity) -> str:
        value, sd, unit = quantity.value, quantity.sd, quantity.unit
        if unit == "s" and in_ms:
            value, sd, unit = 1000.0 * value, 1000.0 * sd, "ms"
        return value_words(value, sd, unit, quantity.sense, words)

    return tuple(None if quantity is None else told(quantity) for quantity in quantities)


def change_words(difference: Difference, words: Words = ENGLISH) -> str:
    """'−13° ± 3°', with a sign where both values go the same way."""
    factor, unit = _in_unit(difference)
    change, sd = factor * _change_as_shown(difference), factor * difference.sd
    is_some = change > 0 and (sd <= 0 or float(rounded(change, sd)[0]) > 0)
    sign = "+" if is_some and not _is_turned(difference) else ""
    return value_words(change, sd, unit, "", words, sign)


def moment_sentence(
    name: MomentName, differences: Sequence[Difference], words: Words = ENGLISH
) -> str:
    """What changed at a moment; empty where nothing was measured there.

    The values themselves stand by the marks.
    """
    here = [d for d in differences if d.name.endswith(f"_at_{name}") and d.first.source == "moment"]
    said = []
    for difference in here[:2]:
        quantity = name_at_a_moment(difference.words, words)
        if difference.verdict == "changed":
            change = change_words(difference, words)
            said.append(
                words.say_as("measured", "{quantity}: {change}.", quantity=quantity, change=change)
            )
        else:
            said.append(words.say("{quantity}: within measuring error.", quantity=quantity))
    return " ".join(said)


def verdict_sentences(differences: Sequence[Difference], words: Words = ENGLISH) -> Iterator[str]:
    """The table in a few sentences, for captions: what changed, and what did not."""
    main = [d for d in rows_to_show(differences) if d.first.source != "moment"]
    changed = [d for d in main if d.verdict == "changed"]
    alike = [d for d in main if d.verdict != "changed"]
    for difference in changed[:_MOST_SAID]:
        yield _sentence(difference, words)
    if alike:
        names = " · ".join(quantity_name(d.words, words) for d in alike[:_MOST_SAID])
        yield words.say("Within measuring error: {quantities}.", quantities=names)


def count_sentence(differences: Sequence[Difference], words: Words = ENGLISH) -> str:
    """In one sentence how many of these numbers changed; empty without any."""
    if not differences:
        return ""
    changed = sum(d.verdict == "changed" for d in differences)
    return words.say(
        "Of {all} numbers, {changed} changed by more than measuring error.",
        all=len(differences),
        changed=changed,
    )


def _sentence(difference: Difference, words: Words) -> str:
    """'Trunk lean, at most: 96° → 59° (−37° ± 1°).'"""
    first, second = _values(difference, words, has_sd=False)
    values = {
        "quantity": quantity_name(difference.words, words),
        "first": first,
        "second": second,
        "change": change_words(difference, words),
    }
    if difference.towards == "towards the goal":
        return words.say("{quantity}: {first} → {second} ({change}), towards the goal.", **values)
    if difference.towards == "away from the goal":
        return words.say("{quantity}: {first} → {second} ({change}), away from the goal.", **values)
    return words.say_as("measured", "{quantity}: {first} → {second} ({change}).", **values)


def _verdict(difference: Difference) -> str:
    return (
        f"{difference.verdict}, {difference.towards}"
        if difference.towards
        else (difference.verdict)
    )


def _values(difference: Difference, words: Words, has_sd: bool = True) -> list[str]:
    """Both values in one unit; either both with the way they go, or both with their signs."""
    factor, unit = _in_unit(difference)
    both = (difference.first, difference.second)
    has_ways = all(quantity.sense for quantity in both)
    said = []
    for quantity in both:
        value, sd = factor * quantity.value, factor * quantity.sd
        sense = quantity.sense if has_ways else ""
        if has_sd:
            said.append(value_words(value, sd, unit, sense, words))
            continue
        value = abs(value) if sense else value
        alone = figure_words(rounded(value, sd)[0] if sd > 0 else f"{value:g}", unit, words)
        said.append(towards_words(alone, sense if _is_turned(difference) else "", words))
    return said


def _in_unit(difference: Difference) -> tuple[float, str]:
    """The unit that all of a row is told in: milliseconds where both are parts of a second."""
    longest = max(abs(difference.first.value), abs(difference.second.value))
    return (1000.0, "ms") if difference.unit == "s" and longest < 1.0 else (1.0, difference.unit)


def _is_turned(difference: Difference) -> bool:
    """Whether one value goes one way and the other the other way: the change has no sign then."""
    first, second = difference.first, difference.second
    return bool(first.sense and second.sense) and first.sense != second.sense


def _change_as_shown(difference: Difference) -> float:
    """The change of the amounts that are shown: of '14 cm behind' to '8 cm behind' −6 cm."""
    first, second = difference.first, difference.second
    if _is_turned(difference):
        return abs(difference.change)
    is_backward = bool(first.sense and second.sense) and first.value < 0
    return -difference.change if is_backward else difference.change


def _sign(difference: Difference, change: float) -> str:
    if _is_turned(difference):
        return ""
    return "−" if change < 0 else "+"


def _decimals(change: float, detectable: float) -> int:
    """So many that two digits of a small measuring error show, and which of the two is larger."""
    least = 0 if detectable >= 10 else 1
    if 0 < detectable < 0.1:
        least = math.ceil(-math.log10(detectable))
    is_more = abs(change) > detectable
    for decimals in range(least, _MOST_DECIMALS):
        if (round(abs(change), decimals) > round(detectable, decimals)) == is_more:
            return decimals
    return _MOST_DECIMALS
