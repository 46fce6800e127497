"""Where a text may be parted at all, and how much parting it there disturbs the reader.

The places are those of the Unicode line breaking algorithm (Unicode Standard Annex 14) and, inside
a word, those between grapheme clusters (Unicode Standard Annex 29), both through ``uniseg``. The
costs follow the published subtitle guides: part after punctuation, else before a conjunction or
preposition; never between an article and its noun (Netflix Timed Text Style Guide: General
Requirements, "Line Treatment").
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator
from functools import lru_cache
from typing import Final

from uniseg.graphemecluster import grapheme_clusters
from uniseg.linebreak import line_break_units
from uniseg.sentencebreak import SentenceBreak, sentence_break

# What it costs to part the text at a place; only the ratios matter.
FREE: Final = 0.0
_CLAUSE: Final = 3.0
_BEFORE_LINK: Final = 5.0
_WORD: Final = 9.0
_BINDING: Final = 15.0
_INSIDE_PHRASE: Final = 30.0
INSIDE_WORD: Final = 60.0

# More marks and joiners in a row than any script has: the Stream-Safe Text Format (Unicode Standard
# Annex 15, section 13) allows 30. uniseg looks back over all of them at each, so they are parted.
_MOST_MARKS: Final = 60

_PLAIN_SPACE: Final = re.compile("(?<=[A-Za-z0-9À-ÖØ-öø-ɏ.,;:!?]) (?=[A-Za-z0-9À-ÖØ-öø-ɏ])")
_PLAIN_WORD: Final = re.compile("[A-Za-zÀ-ÖØ-öø-ɏ]+[.,;:!?]?")


@lru_cache(maxsize=256)
def units_of(line: str) -> tuple[str, ...]:
    """The line parted wherever it may be parted, each unit with the spaces after it."""
    units: list[str] = []
    words = _PLAIN_SPACE.split(line)
    for place, word in enumerate(words):
        space = " " if place < len(words) - 1 else ""
        # A space between plain letters always parts (rule LB18), and plain letters never do
        # (LB28): most words need no more than this, which is a hundred times faster.
        if _PLAIN_WORD.fullmatch(word):
            units.append(word + space)
        else:
            units.extend(_segments(word + space, line_break_units))
    return tuple(units)


def _segments(text: str, segment: Callable[[str], Iterator[str]]) -> Iterator[str]:
    start = marks = 0
    for place, char in enumerate(text):
        marks = marks + 1 if _is_mark(char) else 0
        if marks == _MOST_MARKS:
            yield from segment(text[start : place + 1])
            start, marks = place + 1, 0
    if start < len(text):
        yield from segment(text[start:])


def _is_mark(char: str) -> bool:
    return unicodedata.category(char) in ("Mn", "Mc", "Me", "Cf") or "🏻" <= char <= "🏿"


def clusters_of(word: str) -> list[str]:
    """The characters of a word as a reader sees them."""
    return list(_segments(word, grapheme_clusters))


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


# English only: in other languages punctuation and balance alone decide.
_LINKS: Final = _words(
    "after against although and as at because before between but by during for from if in into "
    "like nor on onto or over rather since so than that then through to toward towards under "
    "unless until when where whereas which while who with without yet"
)
_BINDERS: Final = _words(
    "a am an and are as at be but by can can't do does doesn't don't each every for from have he "
    "her his i if in into is isn't it its my no nor not of on or our she that the their these "
    "they this those to too very was we were will with won't you your"
)
_CLAUSE_ENDS: Final = ";；؛…"
_LIST_NUMBER: Final = re.compile(r"\(?(\d{1,3}|[A-Za-z])[.)]")
_INITIALS: Final = re.compile(r"(\w\.)+")


def cost_between(before: str, after: str, *, at_start: bool) -> float:
    """What it costs to part two units of a line; ``at_start``: the first unit opens the line."""
    word = before.rstrip(" ")
    following = after.strip(" ").lstrip("([{«“‘\"'¿¡")
    if at_start and _LIST_NUMBER.fullmatch(word):
        return _BINDING
    end = _strip_closers(word)
    last = end[-1:]
    kind = sentence_break(last) if last else None
    if kind in (SentenceBreak.STERM, SentenceBreak.ATERM) or last == "…":
        return _cost_after_sentence(end, following)
    if last in _CLAUSE_ENDS or (kind is SentenceBreak.SCONTINUE and (last != "-" or end == "-")):
        return _CLAUSE
    plain = end.lower().replace("’", "'")
    if plain in _BINDERS or last.isdigit():
        return _BINDING
    if _strip_closers(following).lower() in _LINKS:
        return _BEFORE_LINK
    if _is_wide(last) and not before.endswith(" "):
        return _cost_without_space(last, following)
    return _WORD if before.endswith(" ") or not last.isalnum() else _BINDING


def _cost_without_space(last: str, following: str) -> float:
    # Common practice, no source. Korean has spaces, and readers expect a line to end at one.
    # Japanese writes particles and endings in hiragana, and most words begin without: a phrase
    # starts where hiragana ends.
    if "HANGUL" in unicodedata.name(last, ""):
        return _INSIDE_PHRASE
    if _is_hiragana(following[:1]):
        return _INSIDE_PHRASE
    return _BEFORE_LINK if _is_hiragana(last) else _WORD


def _is_hiragana(char: str) -> bool:
    return "\u3041" <= char <= "\u309f"


def _cost_after_sentence(end: str, following: str) -> float:
    # As Unicode Standard Annex 29, rule SB8: a full stop before a small letter ends no sentence.
    if _INITIALS.fullmatch(end):
        return _WORD
    if end.endswith(".") and following[:1].isdigit():
        return _CLAUSE
    return _WORD if following[:1].islower() else FREE


def _strip_closers(word: str) -> str:
    while word and (word[-1] in "\"'" or unicodedata.category(word[-1]) in ("Pe", "Pf", "Cf")):
        word = word[:-1]
    return word


def _is_wide(char: str) -> bool:
    return unicodedata.east_asian_width(char) in "WF"
