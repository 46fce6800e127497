"""Scores that change at fixed limits of a measured number."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from itertools import product

from cliptag.measure.geometry import Estimate
from cliptag.measure.rounding import COVERAGE_FACTOR


@dataclass(frozen=True, slots=True)
class Bands:
    """Rising ``limits`` and the scores between them, one more than there are limits.

    A number that lies on a limit belongs to the band above it, or to the band below it where the
    limit is listed in ``lower_keeps``.
    """

    limits: tuple[float, ...]
    scores: tuple[int, ...]
    lower_keeps: frozenset[float] = frozenset()

    def at(self, value: float) -> int:
        """The score of one number."""
        return self.scores[self._band(value)]

    def possible(self, measured: Estimate) -> frozenset[int]:
        """All scores within the shown interval (k = 2) of a measured number."""
        reach = COVERAGE_FACTOR * measured.sd
        first, last = self._band(measured.value - reach), self._band(measured.value + reach)
        return frozenset(self.scores[first : last + 1])

    def _band(self, value: float) -> int:
        if value in self.lower_keeps:
            return bisect_left(self.limits, value)
        return bisect_right(self.limits, value)


def span_of_scores(
    parts: Mapping[str, frozenset[int]], total: Callable[[Mapping[str, int]], int]
) -> tuple[int, int]:
    """Lowest and highest total that the possible part scores allow.

    All combinations are tried, since a published table may fall where a part score rises.
    """
    totals = {total(dict(zip(parts, scores, strict=True))) for scores in product(*parts.values())}
    return min(totals), max(totals)
