"""Days in the words of a language, compared with Babel's copy of the Unicode CLDR."""

from __future__ import annotations

import datetime as dt
import unicodedata

import pytest
from babel.dates import format_date

from cliptag.paint import day_words

DAYS = (dt.date(2026, 3, 3), dt.date(2025, 12, 31), dt.date(1999, 1, 10))
AS_BABEL = (
    *("bg", "cs", "da", "de", "el", "en", "es", "et", "fi", "fr", "he", "hi", "hr", "hu", "id"),
    *("it", "ja", "ka", "ko", "lt", "lv", "nb", "nl", "pl", "pt", "ro", "ru", "sk", "sv", "tr"),
    *("uk", "vi", "zh"),
)
OWN_DIGITS = ("ar",)
"""Qt writes it with the script's own digits, Babel with Latin ones; both are CLDR's."""


@pytest.mark.parametrize("language", AS_BABEL)
@pytest.mark.parametrize("day", DAYS)
def test_a_day_reads_as_babel_writes_it(language: str, day: dt.date):
    locale = "en_GB" if language == "en" else language
    assert day_words(day, language) == format_date(day, "long", locale=locale)


@pytest.mark.parametrize("language", OWN_DIGITS)
@pytest.mark.parametrize("day", DAYS)
def test_with_digits_of_its_own_a_day_reads_as_babel_writes_it(language, day):
    words = "".join(
        str(unicodedata.digit(char)) if char.isdigit() else char
        for char in day_words(day, language)
    )
    assert words == format_date(day, "long", locale=language)


def test_english_is_written_day_first_and_is_the_usual_language():
    assert day_words(dt.date(2026, 3, 3)) == "3 March 2026"


def test_an_unknown_language_gives_english():
    assert day_words(dt.date(2026, 3, 3), "xx") == "3 March 2026"
