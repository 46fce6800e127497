"""A language of which no word can be taken for English: every letter of it is Greek."""

from __future__ import annotations

import gettext
import re
from typing import Final

from cliptag.words import Words

_LETTERS: Final = {code: chr(0x3B1 + (code - 97) % 17) for code in range(97, 123)} | {
    code: chr(0x391 + (code - 65) % 17) for code in range(65, 91)
}


def _said(text: str) -> str:
    """The text with its letters changed and its values kept."""
    parts = re.split(r"(\{.*?\})", text)
    return "".join(part if part.startswith("{") else part.translate(_LETTERS) for part in parts)


class _Catalogue(gettext.NullTranslations):
    def gettext(self, message: str) -> str:
        return _said(message)

    def pgettext(self, context: str, message: str) -> str:
        return message if context == "decimal sign" else _said(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return _said(msgid1 if n == 1 else msgid2)


INVENTED: Final = Words("qaa", _Catalogue())
"""ISO 639 keeps ``qaa`` for local use."""
