"""The phrase book: the coach's own sentences, kept for each user of the computer."""

from __future__ import annotations

import datetime as dt
import math
import re
import time
import unicodedata
from collections.abc import Callable, Iterable
from functools import lru_cache
from pathlib import Path
from typing import Annotated, Final, Literal

import msgspec
import platformdirs
from msgspec import Meta, Struct
from uniseg.wordbreak import words

from cliptag.errors import CliptagError
from cliptag.files import write_bytes

_HALF_LIFE_DAYS: Final = 30.0
_DAY_S: Final = 86_400.0


class _Phrase(Struct, frozen=True, kw_only=True):
    """A sentence; ``uses`` is how often it was used, each use counting half after 30 days."""

    text: Annotated[str, Meta(min_length=1, max_length=20_000)]
    uses: Annotated[float, Meta(ge=0, le=1e9)] = 1.0
    used_at: Annotated[dt.datetime, Meta(tz=True)]

    @property
    def standing(self) -> float:
        """What orders phrases at any time: the logarithm of ``uses`` as they fade."""
        days = self.used_at.timestamp() / _DAY_S
        return math.log2(max(self.uses, 1e-9)) + days / _HALF_LIFE_DAYS

    def used(self, now: dt.datetime) -> _Phrase:
        days = max(0.0, (now - self.used_at).total_seconds() / _DAY_S)
        left = self.uses * 2.0 ** (-days / _HALF_LIFE_DAYS)
        return msgspec.structs.replace(self, uses=left + 1.0, used_at=now)


class _Book(Struct, frozen=True, kw_only=True):
    schema: Literal["cliptag-phrases/1"] = "cliptag-phrases/1"
    phrases: tuple[_Phrase, ...] = ()


class PhraseBook:
    """Sentences worth writing again; those used often and lately come first.

    Each change is written at once, on top of what another window may have written meanwhile. A
    file that can't be read is kept aside under another name and the book starts anew; ``message``
    then is a sentence that says so.
    """

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or platformdirs.user_data_path("cliptag", appauthor=False) / "phrases.json"
        self.message: str | None = None
        self._phrases: tuple[_Phrase, ...] = ()
        try:
            self._phrases = self._read()
        except CliptagError as error:
            self.message = str(error)

    @property
    def phrases(self) -> tuple[str, ...]:
        """All sentences, those used often and lately first."""
        return tuple(phrase.text for phrase in self._phrases)

    def matching(self, typed: str, limit: int = 6) -> tuple[str, ...]:
        """The sentences that have a word for the beginning of each word typed.

        'he ba' finds 'Slide your heels back'. Case and accents don't matter. Sentences that begin
        with what was typed come first, then those with its words in order.
        """
        wanted = _folded(typed).split()
        if not wanted:
            return ()
        ranked = [
            (rank, phrase.text)
            for phrase in self._phrases
            if (rank := _rank(wanted, phrase.text)) is not None
        ]
        ranked.sort(key=lambda found: found[0])
        return tuple(text for _, text in ranked[:limit])

    def remember(self, text: str) -> None:
        """Keep a sentence, or count it as used. Raises CliptagError when it can't be written."""
        self._use(text, is_new=True)

    def used(self, text: str) -> None:
        """Count a kept sentence as used. Raises CliptagError when it can't be written."""
        self._use(text, is_new=False)

    def forget(self, text: str) -> None:
        """Drop a sentence, if it is kept. Raises CliptagError when that can't be written."""
        key = _folded(text)
        self._change(lambda phrases: [p for p in phrases if _folded(p.text) != key])

    def knows(self, text: str) -> bool:
        """Whether a sentence is kept, in whatever case."""
        key = _folded(text)
        return any(_folded(phrase.text) == key for phrase in self._phrases)

    def _use(self, text: str, *, is_new: bool) -> None:
        text = unicodedata.normalize("NFC", text).strip()
        key = _folded(text)
        if not key:
            return
        now = dt.datetime.fromtimestamp(time.time(), dt.UTC)

        def change(phrases: Iterable[_Phrase]) -> list[_Phrase]:
            known = next((p for p in phrases if _folded(p.text) == key), None)
            others = [p for p in phrases if p is not known]
            if known is not None:
                spelt = text if is_new else known.text
                others.append(msgspec.structs.replace(known.used(now), text=spelt))
            elif is_new:
                others.append(_Phrase(text=text, used_at=now))
            return others

        self._change(change)

    def _change(self, change: Callable[[tuple[_Phrase, ...]], Iterable[_Phrase]]) -> None:
        before = self._read()
        phrases = _in_order(change(before))
        if phrases == before:
            return
        data = msgspec.json.format(msgspec.json.encode(_Book(phrases=phrases)), indent=1)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            write_bytes(self.path, data + b"\n")
        except OSError as error:
            raise CliptagError(
                f"The phrase book can't be written to {self.path}: {error.strerror or error}. "
                "Free some space, or allow writing there."
            ) from error
        self._phrases = phrases

    def _read(self) -> tuple[_Phrase, ...]:
        try:
            book = msgspec.json.decode(self.path.read_bytes(), type=_Book)
            return _in_order(book.phrases)
        except FileNotFoundError:
            return self._phrases
        except OSError as error:
            raise CliptagError(
                f"The phrase book {self.path} can't be read: {error.strerror or error}. "
                "Allow reading it, or take it away."
            ) from error
        except ValueError:
            self._set_aside()
            return self._phrases

    def _set_aside(self) -> None:
        number = 1
        while (aside := self.path.with_suffix(f".damaged-{number}.json")).exists():
            number += 1
        try:
            self.path.rename(aside)
        except OSError as error:
            raise CliptagError(
                f"The phrase book {self.path} is damaged and can't be renamed: "
                f"{error.strerror or error}. Take it away."
            ) from error
        self.message = (
            f"The phrase book could not be read, so it starts anew; the old one is kept: {aside}"
        )


def _in_order(phrases: Iterable[_Phrase]) -> tuple[_Phrase, ...]:
    return tuple(sorted(phrases, key=lambda phrase: -phrase.standing))


@lru_cache(maxsize=8192)
def _folded(text: str) -> str:
    """The text as it is compared: without case, accents, points and doubled spaces."""
    bare = "".join(
        char
        for char in unicodedata.normalize("NFKD", text.replace("’", "'").casefold())
        if unicodedata.category(char) != "Mn"
    )
    return " ".join(bare.split())


@lru_cache(maxsize=8192)
def _word_starts(folded: str) -> tuple[int, ...]:
    """Where words start, as Unicode Standard Annex 29 parts them; scripts without spaces too.

    A word goes on behind an apostrophe there, but "l'épaule" is looked for by 'épaule' as well.
    """
    starts, place = [], 0
    for word in words(folded):
        for part in re.finditer(r"[^']+", word):
            if any(char.isalnum() for char in part[0]):
                starts.append(place + part.start())
        place += len(word)
    return tuple(starts)


def _rank(wanted: list[str], text: str) -> int | None:
    """0: the sentence begins so; 1: the words come in this order; 2: in any; None: not at all."""
    folded = _folded(text)
    starts = _word_starts(folded)
    if folded.startswith(" ".join(wanted)):
        return 0
    if _in_this_order(wanted, folded, starts):
        return 1
    free = list(starts)
    # The longest first: where a short beginning is part of a long one it must leave it its word.
    for beginning in sorted(wanted, key=len, reverse=True):
        found = next((start for start in free if folded.startswith(beginning, start)), None)
        if found is None:
            return None
        free.remove(found)
    return 2


def _in_this_order(wanted: list[str], folded: str, starts: tuple[int, ...]) -> bool:
    coming = iter(starts)
    return all(any(folded.startswith(beginning, start) for start in coming) for beginning in wanted)
