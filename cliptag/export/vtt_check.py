"""Whether a WebVTT file keeps to the standard, and whether people can read its captions.

Source of the syntax: W3C, WebVTT: The Web Video Text Tracks Format, section "Syntax"; where a
damaged block ends is told as by the standard's parser. Every rule is looked at in one pass.
"""

from __future__ import annotations

import codecs
import contextlib
import re
from collections.abc import Iterator, Sequence
from typing import Final, Literal, NamedTuple

from cliptag.export.splitting import CaptionRules
from cliptag.export.vtt_cue_text import CueText, read_chapter_title
from cliptag.export.vtt_findings import EnoughError, Finding, Findings, Severity, quoted
from cliptag.export.vtt_readability import Nesting, Readability
from cliptag.export.vtt_settings import check_cue_settings, check_region
from cliptag.export.vtt_times import read_time_ms

__all__ = ["Finding", "Severity", "VttKind", "check_vtt"]

VttKind = Literal["captions", "chapters"]

MOST_BYTES: Final = 20_000_000
_ARROW: Final = "-->"
_LINE: Final = re.compile("([^\r\n]*)(\r\n|\r|\n|$)")
_LINE_END: Final = re.compile("\r\n|\r|\n")
_SIGNATURE: Final = re.compile("WEBVTT(?:[ \t][^\r\n]*)?(?=[\r\n]|$)")
_TWO_LINE_ENDS: Final = re.compile("(?>\r\n|\r|\n){2}")
_COMMENT: Final = re.compile("NOTE(?:[ \t]|$)")
_HEADING: Final = re.compile("(STYLE|REGION)[ \t]*")
_SURROGATE: Final = re.compile("[\ud800-\udfff]")


def check_vtt(
    text: str | bytes, rules: CaptionRules | None = None, *, kind: VttKind = "captions"
) -> tuple[Finding, ...]:
    """Check a WebVTT file; it is sound when no finding is an error.

    ``kind`` "chapters" asks for titles without tags and for chapters inside each other or apart,
    and leaves out the advice on reading. Any input is taken, damaged or hostile: the time it takes
    grows with its length alone, and after very many findings, or above ``MOST_BYTES``, the rest is
    left.
    """
    found = Findings()
    if len(text) > MOST_BYTES:
        sentence = f"No caption file is so large: only its first {MOST_BYTES:,} bytes are checked."
        found.error(1, "too-large", sentence)
    decoded = _decoded(text, found).removeprefix("\ufeff")
    if "\0" in decoded:
        sentence = "A NUL character stands here: players show a sign for damage in its place."
        found.error(_line_at(decoded, decoded.index("\0")), "null", sentence)
    with contextlib.suppress(EnoughError):
        _File(rules or CaptionRules(), kind, found).read(decoded)
    return found.in_order()


class _Line(NamedTuple):
    number: int
    text: str


class _Block(NamedTuple):
    """Lines that belong together; ``is_joined``: the blank line before them is missing."""

    lines: list[_Line]
    is_joined: bool

    @property
    def has_arrow(self) -> bool:
        return any(_ARROW in line.text for line in self.lines[:2])


class _File:
    """What must be kept in mind from one block to the next."""

    def __init__(self, rules: CaptionRules, kind: VttKind, found: Findings) -> None:
        self._found = found
        self._kind = kind
        self._readability = Readability(rules, found)
        self._nesting = Nesting(found)
        self._regions: set[str] = set()
        self._ids: set[str] = set()
        self._last_start_ms = 0
        self._seen_cue = False

    def read(self, text: str) -> None:
        signature = _SIGNATURE.match(text)
        if signature is None:
            sentence = "The file doesn't start with WEBVTT, so players refuse it whole."
            self._found.error(1, "signature", sentence)
            return
        lines = _lines(text)
        next(lines)
        if not _TWO_LINE_ENDS.match(text, signature.end()):
            sentence = "A blank line must follow the first line, before anything else."
            self._found.error(2, "header", sentence)
        for block in _blocks(lines):
            self._read_block(block)
        if not self._seen_cue:
            self._found.advice(1, "no-cues", "There are no cues in this file.")

    def _read_block(self, block: _Block) -> None:
        number, first = block.lines[0]
        if block.is_joined:
            sentence = "Here --> stands inside a block: put a blank line before a new cue, or "
            self._found.error(number, "arrow", sentence + "write --&gt; where it is to be read.")
        heading = _HEADING.fullmatch(first)
        if _COMMENT.match(first):
            if _ARROW in first:
                self._found.error(number, "arrow", "A comment may not hold -->.")
        elif block.has_arrow:
            self._read_cue(block.lines)
        elif heading:
            self._read_heading(heading[1], block.lines)
        elif first != "ATTRIBUTES" or self._seen_cue:
            sentence = f"{quoted(first)} is no cue: it has no times, so players leave it out."
            self._found.error(number, "stray-text", sentence)

    def _read_heading(self, name: str, lines: Sequence[_Line]) -> None:
        number = lines[0].number
        if self._seen_cue:
            sentence = f"A {name} block belongs before the first cue; here players leave it out."
            self._found.error(number, "late-block", sentence)
        if name == "REGION":
            region = check_region(lines[1:], number, self._found)
            if region in self._regions:
                sentence = f"There are two regions called {quoted(region or '')}."
                self._found.error(number, "id-twice", sentence)
            self._regions.add(region or "")

    def _read_cue(self, lines: Sequence[_Line]) -> None:
        self._seen_cue = True
        place = 0 if _ARROW in lines[0].text else 1
        if place == 1:
            self._check_id(lines[0])
        times = self._read_times(lines[place])
        number = lines[place].number
        payload = [line.text for line in lines[place + 1 :]]
        if self._kind == "chapters":
            shown = read_chapter_title(payload, number + 1, self._found)
            if times is not None:
                self._nesting.look_at(number, *times)
            if not any(text.strip() for text in shown):
                self._found.advice(number, "no-text", "This chapter has no title.")
        else:
            shown = CueText(times, self._found).read(payload, number + 1)
            if times is not None:
                self._readability.look_at(number, *times, shown)

    def _check_id(self, line: _Line) -> None:
        if line.text in self._ids:
            sentence = f"The identifier {quoted(line.text)} is used twice in this file."
            self._found.error(line.number, "id-twice", sentence)
        self._ids.add(line.text)

    def _read_times(self, line: _Line) -> tuple[int, int] | None:
        """When the cue is on, in milliseconds; None when that can't be told."""
        before, _, after = line.text.partition(_ARROW)
        if before[:1] in (" ", "\t"):
            self._found.error(
                line.number,
                "timings",
                "Nothing, not even a space, may stand before a cue's first time.",
            )
        if before[-1:] not in (" ", "\t") or after[:1] not in (" ", "\t"):
            self._found.error(line.number, "timings", "A space must stand on each side of -->.")
        end, *settings = re.split("[ \t]+", after.strip(" \t"), maxsplit=1)
        for rest in settings:
            check_cue_settings(rest, line.number, self._regions, self._found)
        start_ms = self._read_time(before.strip(" \t"), line.number)
        end_ms = self._read_time(end, line.number)
        if start_ms is None or end_ms is None:
            return None
        if start_ms < self._last_start_ms:
            sentence = "A cue may not start before the cues that stand above it."
            self._found.error(line.number, "order", sentence)
        self._last_start_ms = max(self._last_start_ms, start_ms)
        if end_ms <= start_ms:
            self._found.error(line.number, "no-length", "A cue must end after it starts.")
            return None
        return start_ms, end_ms

    def _read_time(self, text: str, number: int) -> int | None:
        time_ms = read_time_ms(text)
        if isinstance(time_ms, str):
            self._found.error(number, "time", time_ms)
            return None
        return time_ms


def _lines(text: str) -> Iterator[_Line]:
    for number, match in enumerate(_LINE.finditer(text), 1):
        yield _Line(number, match[1])
        if not match[2]:
            return


def _blocks(lines: Iterator[_Line]) -> Iterator[_Block]:
    """The blocks as the standard's parser parts them: at blank lines, and before a late arrow."""
    block: list[_Line] = []
    is_joined = has_arrow = False
    for line in lines:
        if not line.text:
            if block:
                yield _Block(block, is_joined)
            block, is_joined, has_arrow = [], False, False
            continue
        if _ARROW in line.text:
            may_start = not block or (len(block) == 1 and not has_arrow and _is_id(block[0].text))
            if not may_start:
                yield _Block(block, is_joined)
                block, is_joined = [], True
            has_arrow = True
        block.append(line)
    if block:
        yield _Block(block, is_joined)


def _is_id(text: str) -> bool:
    return not (_COMMENT.match(text) or _HEADING.fullmatch(text))


def _decoded(text: str | bytes, found: Findings) -> str:
    if isinstance(text, str):
        half = _SURROGATE.search(text)
        if half:
            sentence = "Half a character stands here: the file can't be written as UTF-8."
            found.error(_line_at(text, half.start()), "encoding", sentence)
        return text[:MOST_BYTES]
    head = text[:MOST_BYTES]
    if head.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        found.error(1, "encoding", "The file is in UTF-16; save it as UTF-8.")
        return head.decode("utf-16", "replace")
    try:
        return codecs.getincrementaldecoder("utf-8")().decode(head, final=len(head) == len(text))
    except UnicodeDecodeError as error:
        before = head[: error.start].decode("utf-8")
        found.error(
            _line_at(before, len(before)), "encoding", "From here on the file isn't in UTF-8."
        )
        return head.decode("utf-8", "replace")


def _line_at(text: str, place: int) -> int:
    return 1 + sum(1 for _ in _LINE_END.finditer(text, 0, place))
