"""The words of one language."""

from __future__ import annotations

import gettext
import re
from typing import Final

from cliptag.review import (
    DEFAULT_CAUTION,
    KIND_WORDS,
    MOVEMENT_WORDS,
    REGION_WORDS,
    Kind,
    Movement,
    Region,
)

_RIGHT_TO_LEFT: Final = frozenset(("ar", "fa", "he", "ur", "yi"))
_LEFT_TO_RIGHT_ISOLATE: Final = "\u2066"
_END_ISOLATE: Final = "\u2069"
_DECIMAL_POINT: Final = re.compile(r"(?<=\d)\.(?=\d)")
_COUNTS: Final = re.compile(r"\d+(?: ?[x×*] ?\d+)+")


class Words:
    """What cliptag itself says to a client; what a coach typed never passes through here.

    English is in the program, so a text that a catalogue lacks comes out in English. Values stand
    in braces: ``words.say("Week {week}", week=3)``. Immutable; any thread may use it.
    """

    def __init__(self, language: str, catalogue: gettext.NullTranslations) -> None:
        self.language: Final = language
        """A code of ISO 639, fit for ``lang`` in a page."""
        self._catalogue = catalogue

    @property
    def is_right_to_left(self) -> bool:
        """Whether pages and cards of this language are mirrored."""
        return self.language in _RIGHT_TO_LEFT

    def say(self, text: str, /, **values: object) -> str:
        """A text with its values put in."""
        return self._catalogue.gettext(text).format(**values)

    def say_as(self, context: str, text: str, /, **values: object) -> str:
        """A text whose translation depends on where it stands, such as 'Back' on a body."""
        return self._catalogue.pgettext(context, text).format(**values)

    def count(self, one: str, many: str, count: int, /) -> str:
        """A text with ``{count}`` in it, in the plural form that the number takes."""
        return self._catalogue.ngettext(one, many, count).format(count=count)

    def term(self, context: str, text: str) -> str:
        """A word that a review holds, translated where it is cliptag's own, else as it is."""
        return self._catalogue.pgettext(context, text) if text else ""

    def region(self, region: Region) -> str:
        """'Low back'."""
        return self.term("region", REGION_WORDS[region])

    def kind(self, kind: Kind) -> str:
        """'What I see'."""
        return self.term("kind", KIND_WORDS[kind])

    def title(self, region: Region, kind: Kind) -> str:
        """'Low back: what I see'."""
        words = KIND_WORDS[kind]
        lowered = self.term("kind, after a region", f"{words[:1].lower()}{words[1:]}")
        return f"{self.region(region)}: {lowered}"

    def movement(self, movement: Movement) -> str:
        """'Sitting down and standing up'."""
        return self.term("movement", MOVEMENT_WORDS[movement])

    def caution(self, caution: str) -> str:
        """The usual caution in this language; one that the coach wrote stays as it is."""
        return self.say(DEFAULT_CAUTION) if caution == DEFAULT_CAUTION else caution

    def figures(self, text: str) -> str:
        """A number in the signs of the language, kept in its own order among any other words."""
        sign = self.say_as("decimal sign", ".")
        text = _DECIMAL_POINT.sub(lambda _: sign, text)
        if self.is_right_to_left:
            return f"{_LEFT_TO_RIGHT_ISOLATE}{text}{_END_ISOLATE}"
        return text

    def counts(self, text: str) -> str:
        """A text of the coach in which '2 × 8' is kept in its order, so that no one does 8 × 2."""
        if not self.is_right_to_left:
            return text
        isolated = rf"{_LEFT_TO_RIGHT_ISOLATE}\g<0>{_END_ISOLATE}"
        return _COUNTS.sub(isolated, text)


ENGLISH: Final = Words("en", gettext.NullTranslations())
