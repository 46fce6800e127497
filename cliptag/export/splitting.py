"""Splitting a text into pages of one or two lines that a person can read in time.

The best pages of a paragraph are found together by dynamic programming, as Knuth and Plass find
the best lines of one (Breaking Paragraphs into Lines, Software: Practice and Experience 1981).
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import Final, TypeAlias

from cliptag.export.breaks import FREE, INSIDE_WORD, clusters_of, cost_between, units_of
from cliptag.export.plain_text import balance, can_be_seen, clean, reading_length

Fits: TypeAlias = Callable[[str], bool]
"""Whether a line of text fits the picture; a part of a line that fits must fit too."""


FLICKER_US: Final = 83_333
"""A shorter gap between captions is seen as flicker: two frames at 24 frames a second."""


@dataclass(frozen=True, slots=True)
class CaptionRules:
    """The limits of a readable caption; where each comes from: docs/captions.md.

    ``max_cps`` is characters a second, spaces and punctuation included; wide characters count
    twice there and in ``max_line_length``. ``max_lines`` is 1 or 2.
    """

    max_cps: float = 17.0
    min_cue_us: int = 1_000_000
    max_cue_us: int = 7_000_000
    max_lines: int = 2
    max_line_length: int = 42

    def __post_init__(self) -> None:
        if not (self.max_cps > 0 and math.isfinite(self.max_cps)):
            raise ValueError("the reading speed must be above 0 characters a second")
        if not 0 < self.min_cue_us <= self.max_cue_us:
            raise ValueError("a cue's shortest time must be above 0 and at most its longest time")
        if self.max_lines not in (1, 2):
            raise ValueError("a caption has one or two lines")
        if self.max_line_length < 1:
            raise ValueError("a line must be able to hold a character")

    def reading_us(self, lines: tuple[str, ...]) -> int:
        """How long a page must stay to be read, in whole milliseconds; line ends don't count."""
        characters = sum(reading_length(line) for line in lines)
        need_ms = math.ceil(characters * 1000 / self.max_cps)
        return max(need_ms * 1000, -(-self.min_cue_us // 1000) * 1000)


@dataclass(frozen=True, slots=True)
class Page:
    """What stands on the picture at one time, and how long it takes to read."""

    lines: tuple[str, ...]
    reading_us: int


def split_text(text: str, fits: Fits, rules: CaptionRules | None = None) -> tuple[Page, ...]:
    """Split a text into pages of at most ``rules.max_lines`` lines that fit and aren't too long.

    A line end in the text ends a line, and a blank line ends a page. A word too wide for a line is
    broken between characters as a reader sees them (grapheme clusters, Unicode Standard Annex 29);
    a single one too wide stands alone. Nothing visible is lost; an empty text gives no pages.
    """
    rules = rules or CaptionRules()

    def holds(line: str) -> bool:
        return reading_length(line) <= rules.max_line_length and fits(line)

    pages: list[tuple[str, ...]] = []
    for paragraph in re.split("\n{2,}", clean(text)):
        if paragraph:
            pages.extend(_Paragraph(paragraph, holds).pages(rules))
    lines = iter(balance(line for page in pages for line in page))
    balanced = [tuple(next(lines) for _ in page) for page in pages]
    return tuple(Page(page, rules.reading_us(page)) for page in balanced)


_PER_PAGE: Final = 12.0
_LINE_SHARE: Final = 0.5
"""A line end disturbs reading less than a page's end."""
_LONE_WORD: Final = 5.0
_IMBALANCE: Final = 6.0
_FULLNESS: Final = 10.0
_TOO_SHORT: Final = 6.0
_BEGUN: Final = 10.0
"""A page that ends one sentence and only begins another: better each on its own."""
_SEARCH_REACH: Final = 8
"""How many places on either side of a page's middle are tried for its line end."""


class _Paragraph:
    """Pieces of text, unbreakable in themselves, and what it costs to part them.

    ``reach[a]`` is how far a line that starts with piece ``a`` can go: the first piece that no
    longer fits. It never falls, so a page that starts at ``a`` goes to ``reach[reach[a]]`` at most.
    """

    def __init__(self, text: str, fits: Fits) -> None:
        self.pieces: list[str] = []
        self.costs: list[float] = []
        self.ends_line: list[bool] = []
        for line in text.split("\n"):
            self._add_line(line, fits)
        lengths = [reading_length(piece) for piece in self.pieces]
        self.offsets = list(accumulate(lengths, initial=0))
        self.sentences = list(accumulate((cost == FREE for cost in self.costs), initial=0))
        self.reach = self._reach(fits)

    def pages(self, rules: CaptionRules) -> Iterator[tuple[str, ...]]:
        """The lines of each page; the sum of all costs is the least there is."""
        count = len(self.pieces)
        capacity = max(self._length(a, self._page_reach(a, rules)) for a in range(count))
        short = rules.max_cps * rules.min_cue_us / 1e6
        best = [math.inf] * count + [0.0]
        choice: list[tuple[int, int]] = [(0, 0)] * count
        for a in reversed(range(count)):
            for b in reversed(range(a + 1, self._page_reach(a, rules) + 1)):
                length = self._length(a, b)
                cost = _PER_PAGE + self.costs[b - 1] + best[b]
                cost += _FULLNESS * (length / max(capacity, 1)) ** 2
                cost += _TOO_SHORT * max(0.0, 1 - length / short)
                if self.costs[b - 1] > FREE and self.sentences[b] > self.sentences[a]:
                    cost += _BEGUN
                if cost >= best[a]:
                    continue
                line_cost, middle = self._line_end(a, b)
                if cost + line_cost < best[a]:
                    best[a] = cost + line_cost
                    choice[a] = middle, b
        a = 0
        while a < count:
            middle, b = choice[a]
            yield (
                (self._text(a, b),)
                if middle == b
                else (
                    self._text(a, middle),
                    self._text(middle, b),
                )
            )
            a = b

    def _add_line(self, line: str, fits: Fits) -> None:
        units = _seen(units_of(line))
        costs = [
            cost_between(before, after, at_start=place == 0)
            for place, (before, after) in enumerate(pairwise(units))
        ]
        for unit, cost in zip(units, [*costs, FREE], strict=True):
            parts = [unit] if fits(unit.rstrip(" ")) else list(_parts_of_word(unit, fits))
            self.pieces += parts
            self.costs += [INSIDE_WORD] * (len(parts) - 1) + [cost]
        self.ends_line += [False] * (len(self.pieces) - len(self.ends_line))
        self.ends_line[-1] = True

    def _reach(self, fits: Fits) -> list[int]:
        reach = []
        b = 0
        for a in range(len(self.pieces)):
            b = max(b, a + 1)
            while not self.ends_line[b - 1] and fits(self._text(a, b + 1)):
                b += 1
            reach.append(b)
        return reach

    def _page_reach(self, a: int, rules: CaptionRules) -> int:
        end = self.reach[a]
        return end if rules.max_lines == 1 or end == len(self.pieces) else self.reach[end]

    def _line_end(self, a: int, b: int) -> tuple[float, int]:
        """The cheapest place to end the first line of the page from ``a`` to ``b``; ``b``: none."""
        if b <= self.reach[a]:
            return 0.0, b
        first = max(a + 1, bisect_left(self.reach, b))
        last = self.reach[a]
        centre = bisect_right(self.offsets, (self.offsets[a] + self.offsets[b]) / 2)
        centre = min(max(centre, first), last)
        tried = range(max(first, centre - _SEARCH_REACH), min(last, centre + _SEARCH_REACH) + 1)
        return min((self._line_cost(a, middle, b), middle) for middle in tried)

    def _line_cost(self, a: int, middle: int, b: int) -> float:
        whole = max(self._length(a, b), 1)
        difference = abs(self._length(a, middle) - self._length(middle, b))
        cost = _LINE_SHARE * self.costs[middle - 1] + _IMBALANCE * difference / whole
        if b - a > 2:
            cost += _LONE_WORD * ((middle - a == 1) + (b - middle == 1))
        return cost

    def _length(self, a: int, b: int) -> int:
        return self.offsets[b] - self.offsets[a]

    def _text(self, a: int, b: int) -> str:
        return "".join(self.pieces[a:b]).rstrip(" ")


def _parts_of_word(word: str, fits: Fits) -> Iterator[str]:
    clusters = _seen(clusters_of(word))
    start = size = 0
    while start < len(clusters):
        rest = len(clusters) - start
        size = max(1, min(size, rest))

        def holds(count: int, start: int = start) -> bool:
            return fits("".join(clusters[start : start + count]).rstrip(" "))

        while size < rest and holds(size + 1):
            size += 1
        while size > 1 and not holds(size):
            size -= 1
        yield "".join(clusters[start : start + size])
        start += size


def _seen(parts: Iterable[str]) -> list[str]:
    """The parts of a text, those that can't be seen joined to their neighbours."""
    joined: list[str] = []
    for part in parts:
        if joined and not (can_be_seen(part) and can_be_seen(joined[-1])):
            joined[-1] += part
        else:
            joined.append(part)
    return joined
