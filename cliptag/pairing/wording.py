"""Names in the client's language: of moments, quantities, and how two clips are matched."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Final

from cliptag.export import meaning_of, one_line, quantity_words
from cliptag.review import MOMENT_WORDS, MomentName
from cliptag.words import Words

if TYPE_CHECKING:
    from cliptag.pairing.align import Alignment

_PLACE: Final = re.compile(
    rf",? (at|after|before) ({'|'.join(words.lower() for words in MOMENT_WORDS.values())})$"
)


def moment_title(name: MomentName, words: Words) -> str:
    """'Seat off'."""
    return words.term("moment", MOMENT_WORDS[name])


def quantity_name(said: str, words: Words) -> str:
    """What a quantity is called, from its English name; a label that the coach wrote stays."""
    place = _PLACE.search(said)
    name = _without_place(said[: place.start()] if place else said, words)
    if place is None:
        return name
    values = {"quantity": name, "moment": words.term("moment, in a sentence", place[2])}
    if place[1] == "at":
        return words.say("{quantity} at {moment}", **values)
    if place[1] == "after":
        return words.say("{quantity} after {moment}", **values)
    return words.say("{quantity} before {moment}", **values)


def name_at_a_moment(said: str, words: Words) -> str:
    """The same without its moment, where that is told beside it."""
    return _without_place(_PLACE.sub("", said), words)


def quantity_meaning(said: str, words: Words) -> str:
    """What a quantity means in plain words, where its name is one of cliptag's own."""
    return meaning_of(_PLACE.sub("", said).partition(" (")[0].partition(",")[0], words)


def match_words(alignment: Alignment, words: Words) -> str:
    """How both are matched, in the few words that stand on the picture."""
    if alignment.basis == "none":
        return words.say("Both from start to end")
    if alignment.match == "moments":
        return words.say("Matched at each moment")
    name = next(k.name for k in alignment.knots if k.name == alignment.from_moment)
    if name is None:
        return words.say("True speed, together at the start")
    moment = words.term("moment, in a sentence", MOMENT_WORDS[name].lower())
    return words.say("True speed, together at {moment}", moment=moment)


def basis_words(alignment: Alignment, words: Words) -> str:
    """In a sentence, who named the moments that both are matched by."""
    if alignment.basis == "confirmed":
        return words.say("The moments were set by the coach in both.")
    if alignment.basis == "proposed":
        return words.say(
            "The moments were found from the tracked points; nobody has confirmed them yet."
        )
    if alignment.basis == "mixed":
        return words.say(
            "Some moments were set by the coach, others found from the tracked points."
        )
    return words.say("No moment is known in both, so both run from start to end.")


def _without_place(said: str, words: Words) -> str:
    name, bracket, label = said.partition(" (")
    return one_line(quantity_words(name, words) + bracket + label)
