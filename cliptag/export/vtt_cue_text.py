"""The text of a WebVTT cue: its tags and character references checked, and what a reader sees.

Source: W3C, WebVTT: The Web Video Text Tracks Format, "WebVTT caption or subtitle cue text" and
"WebVTT chapter title text".
"""

from __future__ import annotations

import html
import re
import sys
from collections.abc import Sequence
from html.entities import html5
from typing import Final

from cliptag.export.vtt_findings import Findings, quoted
from cliptag.export.vtt_times import read_time_ms

# No reference is longer; html.unescape fails at numbers of thousands of digits.
_REFERENCE: Final = re.compile("&([#A-Za-z0-9]{0,40})(;?)")
_MARKUP: Final = re.compile(f"<([^>]*)(>?)|{_REFERENCE.pattern}")
_NUMERIC: Final = re.compile("#(?:([0-9]{1,7})|[xX]([0-9A-Fa-f]{1,6}))")
_START_TAG: Final = re.compile(r"([^.\s]*)((?:\.[^.\s&<]+)*)(?:[ \t](.*))?", re.DOTALL)
_LANGUAGE: Final = re.compile("[A-Za-z]{1,8}(?:-[A-Za-z0-9]{1,8})*")
"""The shape of a language tag (RFC 5646, section 2.1); not whether it is registered."""

_PLAIN_TAGS: Final = frozenset(("c", "i", "b", "u", "ruby", "rt"))
_NAMING_TAGS: Final = frozenset(("v", "lang"))


class CueText:
    """One cue's text, read line by line; ``span_ms`` is when the cue is on, if that is known."""

    def __init__(self, span_ms: tuple[int, int] | None, found: Findings) -> None:
        self._found = found
        self._after_ms, self._until_ms = span_ms or (-1, sys.maxsize)
        self._open: list[str] = []
        self._is_balanced = True
        self._is_one_voice = False
        self._has_begun = False

    def read(self, lines: Sequence[str], first_line: int) -> tuple[str, ...]:
        """Check the lines; return them as a reader sees them."""
        shown = tuple(self._read_line(text, first_line + n) for n, text in enumerate(lines))
        if self._open and self._is_balanced and not (self._is_one_voice and self._open == ["v"]):
            sentence = f"The tag <{self._open[-1]}> is never closed."
            self._found.error(first_line + len(lines) - 1, "tag-not-closed", sentence)
        return shown

    def _read_line(self, text: str, line: int) -> str:
        shown = []
        end = 0
        for match in _MARKUP.finditer(text):
            shown.append(text[end : match.start()])
            self._has_begun = self._has_begun or match.start() > end
            end = match.end()
            if match[1] is not None:
                self._read_tag(match[1], bool(match[2]), line)
            else:
                shown.append(html.unescape(match[0]))
                _check_reference(match[3], bool(match[4]), line, self._found)
            self._has_begun = True
        shown.append(text[end:])
        self._has_begun = self._has_begun or end < len(text)
        return "".join(shown)

    def _read_tag(self, tag: str, is_closed: bool, line: int) -> None:
        if not is_closed:
            sentence = "A tag isn't closed on its line; a < that is meant to be read is &lt;."
            self._found.error(line, "tag-open", sentence)
        elif tag[:1].isdigit():
            self._read_time(tag, line)
        elif tag.startswith("/"):
            self._read_end(tag[1:], line)
        else:
            self._read_start(tag, line)

    def _read_time(self, tag: str, line: int) -> None:
        time_ms = read_time_ms(tag)
        if isinstance(time_ms, str):
            self._found.error(line, "time-in-text", time_ms)
        elif time_ms <= self._after_ms or (
            self._until_ms is not None and time_ms >= self._until_ms
        ):
            sentence = f"The time <{tag}> must be within its cue and after any time before it."
            self._found.error(line, "time-in-text", sentence)
        else:
            self._after_ms = time_ms

    def _read_start(self, tag: str, line: int) -> None:
        match = _START_TAG.fullmatch(tag)
        name = match[1] if match else re.split(r"[.\s]", tag, maxsplit=1)[0]
        if name not in _PLAIN_TAGS and name not in _NAMING_TAGS:
            sentence = f"There is no tag called {quoted(name)}; a < that is meant is &lt;."
            self._found.error(line, "unknown-tag", sentence)
            return
        if match is None:
            sentence = f"{quoted(tag)}: a class is a full stop and a name without spaces."
            self._found.error(line, "tag-class", sentence)
        else:
            self._check_annotation(name, match[3], line)
        if name == "rt" and self._open[-1:] != ["ruby"]:
            self._found.error(line, "tag-place", "The tag <rt> stands only inside <ruby>.")
        self._is_one_voice = name == "v" and not self._has_begun
        self._open.append(name)

    def _check_annotation(self, name: str, annotation: str | None, line: int) -> None:
        words = (annotation or "").strip()
        if name in _PLAIN_TAGS and annotation is not None:
            self._found.error(line, "annotation", f"The tag <{name}> takes no words after it.")
        elif name in _NAMING_TAGS and not words:
            what = "a speaker's name" if name == "v" else "a language such as en"
            self._found.error(line, "annotation", f"The tag <{name}> needs {what} after it.")
        elif name == "lang" and not _LANGUAGE.fullmatch(words):
            self._found.error(line, "language", f"{quoted(words)} isn't a language tag (BCP 47).")
        for reference in _REFERENCE.finditer(words):
            _check_reference(reference[1], bool(reference[2]), line, self._found)

    def _read_end(self, name: str, line: int) -> None:
        if name not in _PLAIN_TAGS and name not in _NAMING_TAGS:
            self._found.error(line, "unknown-tag", f"There is no tag called {quoted(name)}.")
            return
        if name == "ruby" and self._open[-1:] == ["rt"]:
            self._open.pop()  # the last </rt> may be left out
        if self._open[-1:] == [name]:
            self._open.pop()
            self._is_one_voice = False
        elif self._is_balanced:
            # Once tags are crossed, every later one would be blamed for it.
            self._is_balanced = False
            sentence = f"The tag </{name}> closes nothing, or something else must be closed first."
            self._found.error(line, "tag-crossed", sentence)


def read_chapter_title(lines: Sequence[str], first_line: int, found: Findings) -> tuple[str, ...]:
    """Check a chapter's title, which has no tags; return it as a reader sees it."""
    for number, text in enumerate(lines, first_line):
        if "<" in text:
            sentence = "A chapter's title has no tags; a < that is meant to be read is &lt;."
            found.error(number, "tag-in-title", sentence)
        for match in _REFERENCE.finditer(text):
            _check_reference(match[1], bool(match[2]), number, found)
    return tuple(_REFERENCE.sub(lambda match: html.unescape(match[0]), text) for text in lines)


def _check_reference(name: str, has_end: bool, line: int, found: Findings) -> None:
    if not (has_end and _is_reference(name)):
        sentence = f"{quoted('&' + name)} isn't a character reference; an & that is meant is &amp;."
        found.error(line, "ampersand", sentence)


def _is_reference(name: str) -> bool:
    match = _NUMERIC.fullmatch(name)
    if match is None:
        return f"{name};" in html5
    code = int(match[1]) if match[1] else int(match[2], 16)
    is_character = 0x20 <= code <= 0x10FFFF and not 0xD800 <= code <= 0xDFFF
    return code in (0x9, 0xA) or (is_character and not 0x7F <= code <= 0x9F)
