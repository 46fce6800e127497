"""What the pairing says in words: of each number, at each moment, and in the end."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from cliptag.measure import shown
from cliptag.pairing.differences import Difference
from cliptag.pairing.normalised import TELLING
from cliptag.pairing.quantities import Quantity
from cliptag.review import MomentName, Number, Region

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

MOST_ROWS: Final = 14
_MOST_SAID: Final = 4
_REGIONS: Final[tuple[tuple[str, Region], ...]] = (
    ("low_back", "low_back"),
    ("load", "load"),
    ("mid_back", "mid_back"),
    ("trunk", "hips"),
    ("hip", "hips"),
    ("knee", "knees"),
    ("ankle", "ankles"),
    ("feet", "feet"),
    ("shoulder", "shoulders"),
    ("elbow", "arms"),
    ("cranio", "neck"),
    ("neck", "neck"),
    ("ear", "head"),
    ("head", "head"),
    ("gaze", "gaze"),
)


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the table, as it reads."""

    words: str
    first: str
    second: str
    change: str
    detectable: str
    verdict: str
    is_changed: bool


def row_of(difference: Difference) -> Row:
    """A difference in words; every value has its uncertainty (k = 2)."""
    towards = f", {difference.towards}" if difference.towards else ""
    return Row(
        words=difference.words,
        first=quantity_words(difference.first),
        second=quantity_words(difference.second),
        change=change_words(difference),
        detectable=amount_alone(difference.detectable, difference.unit),
        verdict=f"{difference.verdict}{towards}",
        is_changed=difference.verdict == "changed",
    )


def rows_to_show(differences: Sequence[Difference]) -> tuple[Difference, ...]:
    """The lines that one page has room for: those with goals, then the movement's, then others."""
    order = {id(d): place for place, d in enumerate(differences)}

    def rank(difference: Difference) -> tuple[int, int, int]:
        curve = next((i for i, n in enumerate(TELLING) if difference.name.startswith(n)), 99)
        return int(difference.goal is None), _rank(difference), curve * 1000 + order[id(difference)]

    return tuple(sorted(differences, key=rank)[:MOST_ROWS])


def _rank(difference: Difference) -> int:
    """Postures first, then what the coach measured, the whole time, and details at the end."""
    name, source = difference.name, difference.first.source
    if name.startswith(("time_", "repetition_time")):
        return 3 if name == "repetition_time" else 5
    if source == "curve":
        return 1 if name.endswith("_highest") else 6
    return {"movement": 0, "mark": 2, "note": 2, "moment": 4}[source]


def quantity_words(quantity: Quantity) -> str:
    """'48° ± 2° forward'."""
    return amount(quantity.value, quantity.sd, quantity.unit, quantity.sense)


def amount(value: float, sd: float, unit: str, sense: str = "") -> str:
    """'48° ± 2°'."""
    return shown(Number(name="value", words="", value=value, sd=sd, unit=unit, sense=sense))


def amount_alone(value: float, unit: str) -> str:
    """'3.1°', a limit without an uncertainty of its own."""
    if unit == "s" and value < 1.0:
        value, unit = 1000.0 * value, "ms"
    digits = f"{value:.0f}" if value >= 10 else f"{value:.1f}"
    return f"{digits}{unit}" if unit == "°" else f"{digits} {unit}".strip()


def change_words(difference: Difference) -> str:
    """'−13° ± 3°', with a sign either way."""
    text = amount(difference.change, difference.sd, difference.unit)
    return text if text.startswith("−") or difference.change <= 0 else f"+{text}"


def moment_sentence(name: MomentName, differences: Sequence[Difference]) -> str:
    """What changed at a moment; empty where nothing was measured there.

    The values themselves stand by the marks.
    """
    here = [d for d in differences if d.name.endswith(f"_at_{name}") and d.first.source == "moment"]
    said = []
    for difference in here[:2]:
        words = difference.words.partition(" at ")[0]
        changed = difference.verdict == "changed"
        change = change_words(difference) if changed else "within measuring error"
        said.append(f"{words}: {change}.")
    return " ".join(said)


def verdict_sentences(differences: Sequence[Difference]) -> Iterator[str]:
    """The table in a few sentences, for captions: what changed, and what did not."""
    main = [d for d in rows_to_show(differences) if d.first.source != "moment"]
    changed = [d for d in main if d.verdict == "changed"]
    alike = [d for d in main if d.verdict != "changed"]
    for difference in changed[:_MOST_SAID]:
        yield _sentence(difference)
    if alike:
        names = ", ".join(_lowered(d.words) for d in alike[:_MOST_SAID])
        yield f"Within measuring error: {names}."


def region_of(name: str) -> Region:
    """The region that a quantity speaks of."""
    return next((region for part, region in _REGIONS if part in name), "whole")


def _sentence(difference: Difference) -> str:
    """'Trunk lean, at most: 96° → 59° (−37° ± 1°).'"""
    first, second = (
        amount(q.value, q.sd, q.unit).partition(" ±")[0]
        for q in (difference.first, difference.second)
    )
    towards = f", {difference.towards}" if difference.towards else ""
    return f"{difference.words}: {first} → {second} ({change_words(difference)}){towards}."


def _lowered(words: str) -> str:
    return words[:1].lower() + words[1:] if words[1:2].islower() else words
