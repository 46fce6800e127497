"""Bring the client's words up to date: python docs/write_words.py

Finds every text that cliptag says to a client, in the program, in the watch page and in the tables
of words, merges them into each language's .po (new ones empty), and compiles the .mo beside it.
Prints what is still to be translated.
"""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Iterator
from pathlib import Path

from babel.messages import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from cliptag.export.numbers import DIRECTIONS, MEANINGS, PARTS, POINTS, UNITS
from cliptag.measure import UNCERTAINTY_WORDS
from cliptag.pairing import CHANCE_WORDS, MEANING_WORDS, ONCE_WORDS
from cliptag.pairing.telling import VERDICTS
from cliptag.review import (
    DEFAULT_CAUTION,
    KIND_WORDS,
    MOMENT_WORDS,
    MOVEMENT_WORDS,
    REGION_WORDS,
)
from cliptag.words import ENGLISH, LANGUAGES
from cliptag.words.catalogues import FOLDER

PACKAGE = Path(__file__).resolve().parents[1] / "cliptag"
KEYWORDS = {"say": None, "count": (1, 2), "say_as": ((1, "c"), 2)}
METHODS = [("**.jinja", "jinja2.ext:babel_extract"), ("**.py", "python")]
ROOMS = ("export", "guide", "intake", "paint", "pairing", "words")
A_DAY = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
"""In the place of the day of writing, so that nothing changes where no text does."""
HEADER = "# The words that a client reads, translated for cliptag; same licence as cliptag."
Text = tuple[str | tuple[str, ...], str | None]
TABLES = {
    "region": REGION_WORDS.values(),
    "kind": KIND_WORDS.values(),
    "kind, after a region": [f"{w[:1].lower()}{w[1:]}" for w in KIND_WORDS.values()],
    "movement": MOVEMENT_WORDS.values(),
    "quantity": (*MEANINGS, *PARTS),
    "point": POINTS,
    "direction": DIRECTIONS,
    "unit": UNITS,
    "moment": MOMENT_WORDS.values(),
    "moment, in a sentence": [words.lower() for words in MOMENT_WORDS.values()],
    "verdict": VERDICTS,
    None: (
        *(DEFAULT_CAUTION, UNCERTAINTY_WORDS, MEANING_WORDS, ONCE_WORDS, CHANCE_WORDS),
        *MEANINGS.values(),
    ),
}


def main() -> None:
    texts = texts_of_client()
    for language in LANGUAGES:
        if language == ENGLISH.language:
            continue
        file = FOLDER / f"{language}.po"
        catalogue = merged(texts, file.read_bytes() if file.exists() else b"", language)
        file.write_bytes(po_bytes(catalogue))
        file.with_suffix(".mo").write_bytes(mo_bytes(catalogue))
        for message in catalogue:
            if message.id and not all(forms(message.string)):
                print(f"{language}: {message.context or ''} {message.id!r}")


def texts_of_client() -> list[Text]:
    """Every text with its context, in a fixed order; a text with a plural is a pair."""
    tables = {(text, context) for context, words in TABLES.items() for text in words}
    return sorted(tables | set(in_program()), key=lambda text: (text[1] or "", str(text[0])))


def in_program() -> Iterator[Text]:
    for room in ROOMS:
        if (PACKAGE / room).is_dir():
            for _, _, text, _, context in extract_from_dir(
                PACKAGE / room, METHODS, options_map={}, keywords=KEYWORDS
            ):
                yield text, context


def merged(texts: list[Text], known: bytes, language: str) -> Catalog:
    """The texts with the translations that are known; those that nobody needs are dropped."""
    old = read_po(io.BytesIO(known), locale=language)
    new = Catalog(locale=language, project="cliptag", fuzzy=False, header_comment=HEADER)
    new.creation_date = new.revision_date = A_DAY
    for text, context in texts:
        message = old.get(text if isinstance(text, str) else text[0], context)
        new.add(text, message.string if message else None, context=context)
    return new


def forms(string: str | tuple[str, ...]) -> tuple[str, ...]:
    return string if isinstance(string, tuple) else (string,)


def po_bytes(catalogue: Catalog) -> bytes:
    stream = io.BytesIO()
    write_po(stream, catalogue, width=100, no_location=True)
    return stream.getvalue()


def mo_bytes(catalogue: Catalog) -> bytes:
    stream = io.BytesIO()
    write_mo(stream, catalogue)
    return stream.getvalue()


if __name__ == "__main__":
    main()
