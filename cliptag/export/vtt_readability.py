"""How well captions can be read; where each limit comes from: docs/captions.md."""

from __future__ import annotations

import heapq
from collections.abc import Sequence

from cliptag.export.plain_text import reading_length
from cliptag.export.splitting import FLICKER_US, CaptionRules
from cliptag.export.vtt_findings import Findings


class Readability:
    """Looks at cue after cue, in the order of the file."""

    def __init__(self, rules: CaptionRules, found: Findings) -> None:
        self._rules = rules
        self._found = found
        self._last_end_ms: int | None = None

    def look_at(self, line: int, start_ms: int, end_ms: int, lines: Sequence[str]) -> None:
        """Advise on one cue; ``line`` is where its times stand, ``lines`` what a reader sees."""
        shown = [text.strip() for text in lines if text.strip()]
        if not shown:
            self._found.advice(line, "no-text", "This cue has no text.")
        else:
            self._look_at_lines(line, shown)
            self._look_at_time(line, end_ms - start_ms, shown)
        self._look_at_gap(line, start_ms)
        self._last_end_ms = max(self._last_end_ms or 0, end_ms)

    def _look_at_lines(self, line: int, shown: Sequence[str]) -> None:
        if len(shown) > self._rules.max_lines:
            sentence = f"{len(shown)} lines cover much of the picture; use {self._rules.max_lines}."
            self._found.advice(line, "many-lines", sentence)
        longest = max(map(reading_length, shown))
        if longest > self._rules.max_line_length:
            most = self._rules.max_line_length
            sentence = f"A line of {longest} characters is too wide for many screens; use {most}."
            self._found.advice(line, "long-line", sentence)

    def _look_at_time(self, line: int, length_ms: int, shown: Sequence[str]) -> None:
        characters = sum(map(reading_length, shown))
        speed = characters * 1000 / length_ms
        need_ms = self._rules.reading_us(tuple(shown)) // 1000
        if speed > self._rules.max_cps:
            sentence = (
                f"{characters} characters in {_seconds(length_ms)} are {speed:.1f} a second; "
                f"give them {_seconds(need_ms)}, for {self._rules.max_cps:g} a second."
            )
            self._found.advice(line, "fast", sentence)
        if length_ms * 1000 < self._rules.min_cue_us:
            least = _seconds(self._rules.min_cue_us / 1000)
            sentence = f"{_seconds(length_ms)} is too short to notice a caption; give it {least}."
            self._found.advice(line, "short", sentence)
        if length_ms * 1000 > self._rules.max_cue_us and length_ms > need_ms:
            most = _seconds(self._rules.max_cue_us / 1000)
            sentence = f"{_seconds(length_ms)} is long: people start to read again after {most}."
            self._found.advice(line, "long", sentence)

    def _look_at_gap(self, line: int, start_ms: int) -> None:
        if self._last_end_ms is None:
            return
        gap_ms = start_ms - self._last_end_ms
        if gap_ms < 0:
            sentence = f"This cue starts {_seconds(-gap_ms)} before an earlier one ends."
            self._found.advice(line, "overlap", sentence)
        elif 0 < gap_ms * 1000 < FLICKER_US:
            sentence = f"A gap of {_seconds(gap_ms)} flickers; close it, or leave two frames."
            self._found.advice(line, "flicker", sentence)


class Nesting:
    """Whether each chapter lies within the others or apart, looking at one after the other.

    Source: W3C, WebVTT, section "WebVTT file using only nested cues".
    """

    def __init__(self, found: Findings) -> None:
        self._found = found
        self._open_ends_ms: list[int] = []
        self._same_start_ends_ms: list[int] = []
        self._start_ms = 0

    def look_at(self, line: int, start_ms: int, end_ms: int) -> None:
        """Tell of a chapter that crosses the end of one that started before it."""
        if start_ms != self._start_ms:
            for earlier_ms in self._same_start_ends_ms:
                heapq.heappush(self._open_ends_ms, earlier_ms)
            self._same_start_ends_ms = []
            self._start_ms = start_ms
        while self._open_ends_ms and self._open_ends_ms[0] <= start_ms:
            heapq.heappop(self._open_ends_ms)
        if self._open_ends_ms and self._open_ends_ms[0] < end_ms:
            sentence = "This chapter starts inside another and ends outside it."
            self._found.error(line, "crossing", sentence)
        self._same_start_ends_ms.append(end_ms)


def _seconds(time_ms: float) -> str:
    return f"{time_ms / 1000:.3f}".rstrip("0").rstrip(".") + " s"
