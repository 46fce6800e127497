"""Which languages there are: one catalogue for each, a ``.po`` for people and its ``.mo``."""

from __future__ import annotations

import gettext
from functools import lru_cache
from pathlib import Path
from typing import Final

from cliptag.errors import CliptagError
from cliptag.words.words import ENGLISH, Words

FOLDER: Final = Path(__file__).parent

LANGUAGES: Final = ("en", "de", "es", "he")
"""Codes of ISO 639; a catalogue that is put beside the others is added here."""


@lru_cache(maxsize=8)
def words_of(language: str) -> Words:
    """The words of a language; English where there is no catalogue for it.

    Raises CliptagError when a catalogue that comes with cliptag is not there or is damaged.
    """
    if language not in LANGUAGES or language == ENGLISH.language:
        return ENGLISH
    file = FOLDER / f"{language}.mo"
    try:
        with file.open("rb") as stream:
            return Words(language, gettext.GNUTranslations(stream))
    except (OSError, ValueError, UnicodeDecodeError) as error:
        raise CliptagError(
            f"The words of the language '{language}' can't be read from {file}: "
            "install cliptag again."
        ) from error
