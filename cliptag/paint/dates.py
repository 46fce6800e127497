"""Days in the words of a language, as Qt's copy of the Unicode CLDR writes them."""

from __future__ import annotations

import datetime as dt
import re
from typing import Final

from PyQt6.QtCore import QDate, QLocale

_WEEKDAY: Final = re.compile(r"^dddd(?:ที่)?[,،]?\s*(?:'den'\s*)?|[,\s]*dddd$")
"""Qt's long date has the day of the week, before or behind all else, and its joints."""


def day_words(day: dt.date, language: str = "en") -> str:
    """A day as people write it, without the day of the week: '3 March 2026', '3. März 2026'.

    ``language`` is a code of ISO 639 such as 'de'; one that Qt does not know gives English.
    """
    locale = QLocale("en_GB" if language == "en" else language)
    if locale.language() == QLocale.Language.C:
        locale = QLocale("en_GB")
    pattern = _WEEKDAY.sub("", locale.dateFormat(QLocale.FormatType.LongFormat))
    pattern = re.sub(r"\bdd\b", "d", pattern)  # no leading zero
    return locale.toString(QDate(day.year, day.month, day.day), pattern)
