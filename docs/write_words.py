"""Bring the client's words up to date: python docs/write_words.py

Finds every text that cliptag says to a client, in the program, in the watch page and in the tables
of words, merges them into each language's .po (new ones empty, changed ones marked fuzzy), and
compiles the .mo beside it. Prints what is still to be translated.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path

from babel import Locale
from babel.messages import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from cliptag.export.numbers import MEANINGS, SENSES, UNITS
from cliptag.review import DEFAULT_CAUTION, KIND_WORDS, MOVEMENT_WORDS, REGION_WORDS
from cliptag.words import ENGLISH, LANGUAGES
from cliptag.words.catalogues import FOLDER

PACKAGE = Path(__file__).resolve().parents[1] / "cliptag"
KEYWORDS = {"say": None, "count": (1, 2), "say_as": ((1, "c"), 2)}
METHODS = [("export/page/*.jinja", "jinja2.ext:babel_extract"), ("**.py", "python")]
ROOMS = ("export", "paint", "pairing", "words")
TABLES = {
    "region": REGION_WORDS.values(),
    "kind": KIND_WORDS.values(),
    "kind, after a region": [f"{w[:1].lower()}{w[1:]}" for w in KIND_WORDS.values()],
    "movement": MOVEMENT_WORDS.values(),
    "quantity": MEANINGS,
    "direction": SENSES,
    "unit": {unit.partition(" ")[2] for unit in UNITS} - {""},
    None: (DEFAULT_CAUTION, *MEANINGS.values()),
}


def main() -> None:
    template = catalogue_of_texts()
    for language in LANGUAGES:
        if language == ENGLISH.language:
            continue
        file = FOLDER / f"{language}.po"
        known = read_po(io.BytesIO(file.read_bytes()), locale=language) if file.exists() else None
        catalogue = known or Catalog(locale=language, fuzzy=False)
        catalogue.update(template, no_fuzzy_matching=False)
        catalogue.obsolete.clear()
        catalogue.creation_date = catalogue.revision_date = None
        file.write_bytes(po_bytes(catalogue))
        file.with_suffix(".mo").write_bytes(mo_bytes(catalogue))
        for message in catalogue:
            if message.id and (message.fuzzy or not all(texts(message.string))):
                print(f"{language}: {message.context or ''} {message.id!r}")


def catalogue_of_texts() -> Catalog:
    """Every text with its context, in a fixed order."""
    found = Catalog(fuzzy=False)
    for context, words in TABLES.items():
        for text in sorted(words):
            found.add(text, context=context, flags=())
    for one, context in sorted(in_program(), key=str):
        found.add(one, context=context, flags=())
    return found


def in_program() -> Iterator[tuple[str | tuple[str, ...], str | None]]:
    for room in ROOMS:
        folder = PACKAGE / room
        for _, _, text, _, context in extract_from_dir(
            folder if folder.is_dir() else PACKAGE / "words",
            [(pattern.removeprefix(f"{room}/"), method) for pattern, method in METHODS],
            options_map={},
            keywords=KEYWORDS,
        ):
            yield text, context


def texts(string: str | tuple[str, ...]) -> tuple[str, ...]:
    return string if isinstance(string, tuple) else (string,)


def po_bytes(catalogue: Catalog) -> bytes:
    stream = io.BytesIO()
    write_po(stream, catalogue, width=100, omit_header=False, sort_output=False, no_location=True)
    return stream.getvalue()


def mo_bytes(catalogue: Catalog) -> bytes:
    stream = io.BytesIO()
    write_mo(stream, catalogue)
    return stream.getvalue()


if __name__ == "__main__":
    assert Locale.parse("en")
    main()
