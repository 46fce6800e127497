"""A person's text made safe to show: nothing lost that can be seen, nothing left that can harm.

Text comes from anywhere: typed, pasted from a message, read from a damaged file. What leaves here
is in Unicode's form NFC, has no control characters, and its directional formatting is balanced on
each line, so that right-to-left text can't turn round what is written beside it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import Final

_LINE_END: Final = re.compile("\r\n|[\n\r\v\f\x85\u2028\u2029]")

# Controls, the soft hyphen (nothing here would draw it at a line's end), byte order marks,
# interlinear and deprecated format characters, and code points that are not characters.
_NO_CHARACTERS: Final = "".join(
    f"{chr(plane + 0xFFFE)}{chr(plane + 0xFFFF)}" for plane in range(0, 0x110000, 0x10000)
)
_UNWANTED: Final = re.compile(
    "[\x00-\x08\x0e-\x1f\x7f-\x9f\u00ad\ufeff\ufff9-\ufffb\u206a-\u206f\ufdd0-\ufdef"
    f"{_NO_CHARACTERS}]"
)
_SURROGATE: Final = re.compile("[\ud800-\udfff]")

# Unicode Standard Annex 9, section 2: directional formatting that opens, and what closes it.
_EMBEDDINGS: Final = "\u202a\u202b\u202d\u202e"
_ISOLATES: Final = "\u2066\u2067\u2068"
_END_EMBEDDING: Final = "\u202c"
_END_ISOLATE: Final = "\u2069"
_DIRECTIONAL: Final = re.compile("[\u202a-\u202e\u2066-\u2069]")
_FIRST_STRONG_ISOLATE: Final = "\u2068"
_UNSEEN: Final = frozenset(("Cc", "Cf", "Zs"))
_MAX_DEPTH: Final = 16


def clean(text: str) -> str:
    """The text in NFC, its lines parted by ``\\n`` and free of controls and needless spaces.

    Blank lines between other lines stay, for they part paragraphs. A line without anything that
    can be seen counts as blank.
    """
    if _SURROGATE.search(text):
        text = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace")
    text = _UNWANTED.sub("", _LINE_END.sub("\n", text).replace("\t", " "))
    text = unicodedata.normalize("NFC", text)
    lines = (re.sub(" {2,}", " ", line).strip() for line in text.split("\n"))
    return "\n".join(line if can_be_seen(line) else "" for line in lines).strip("\n")


def one_line(text: str) -> str:
    """The cleaned text on a single line, balanced."""
    return balance([" ".join(clean(text).split("\n"))])[0]


def inline(text: str) -> str:
    """The cleaned text on a single line, fit to stand between other words.

    Text with right-to-left letters is isolated (Unicode Standard Annex 9, section 2.7), so that it
    keeps its own order and the words round it keep theirs.
    """
    line = one_line(text)
    if any(unicodedata.bidirectional(char) in ("R", "AL", "AN") for char in line):
        return f"{_FIRST_STRONG_ISOLATE}{line}{_END_ISOLATE}"
    return line


def balance(lines: Iterable[str]) -> tuple[str, ...]:
    """Close on each line what it opens, and open it again on the next.

    Marks that close nothing are dropped, and so is nesting deeper than any text needs.
    """
    lines = tuple(lines)
    if not any(_DIRECTIONAL.search(line) for line in lines):
        return lines
    balanced = []
    stack: list[str] = []
    too_deep = 0
    for line in lines:
        kept = list(stack)
        for char in line:
            if char in _EMBEDDINGS or char in _ISOLATES:
                if len(stack) == _MAX_DEPTH:
                    too_deep += 1
                    continue
                stack.append(char)
            elif char in (_END_EMBEDDING, _END_ISOLATE):
                if too_deep:
                    too_deep -= 1
                    continue
                kept.append(_close(stack, char))
                continue
            kept.append(char)
        kept.extend(_closer(opener) for opener in reversed(stack))
        balanced.append("".join(kept))
    return tuple(balanced)


def paragraphs(text: str) -> tuple[str, ...]:
    """The cleaned lines of a text that can be seen."""
    return balance(line for line in clean(text).split("\n") if line)


def can_be_seen(text: str) -> bool:
    """Whether there is more in a text than spaces, marks of direction and joiners."""
    return any(unicodedata.category(char) not in _UNSEEN for char in text)


def reading_length(text: str) -> int:
    """How many characters a reader reads, spaces and punctuation included.

    Marks without a shape of their own (directional marks, joiners, variation selectors) don't
    count. Wide characters (Chinese, Japanese, Korean, emoji: Unicode Standard Annex 11) count
    twice, since a reader takes about twice as long over each: at 17 characters a second that
    makes 8.5, under the 9 for Chinese and 12 for Korean of the subtitle guides in use.
    """
    if text.isascii():
        return len(text)
    return sum(_weight(char) for char in text)


def _weight(char: str) -> int:
    if unicodedata.category(char) == "Cf" or "\ufe00" <= char <= "\ufe0f":
        return 0
    return 2 if unicodedata.east_asian_width(char) in "WF" else 1


def _closer(opener: str) -> str:
    return _END_EMBEDDING if opener in _EMBEDDINGS else _END_ISOLATE


def _close(stack: list[str], closer: str) -> str:
    # The end of an isolate ends the embeddings inside it too; the end of an embedding never
    # reaches out of an isolate (Unicode Standard Annex 9, rules X6a and X7).
    if closer == _END_EMBEDDING:
        return closer if stack and stack[-1] in _EMBEDDINGS and stack.pop() else ""
    if not any(opener in _ISOLATES for opener in stack):
        return ""
    closed = ""
    while True:
        opener = stack.pop()
        closed += _closer(opener)
        if opener in _ISOLATES:
            return closed
