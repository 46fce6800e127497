"""What is covered on each frame of a clip, and on which frames that is in doubt."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray

from cliptag.cover.areas import Ellipse, between
from cliptag.cover.found import HeadSearch
from cliptag.review import CoverArea, CoverKey, Review

Why = Literal["nobody", "lost", "brief"]

WHY_WORDS: Final[dict[Why, str]] = {
    "nobody": "no face was found",
    "lost": "the face was lost from sight",
    "brief": "something like a face was seen only briefly",
}

SURE_US: Final = 300_000
"""A head that was seen this close in time is still where it was carried to."""
PLACED_US: Final = 500_000
"""So far round a placing by hand the coach's word counts, and the search's doesn't."""


@dataclass(frozen=True, slots=True)
class Doubt:
    """Frames ``first`` to ``last``, shown from ``start_us`` to ``end_us``, that need the coach."""

    first: int
    last: int
    start_us: int
    end_us: int
    why: Why

    @property
    def sentence(self) -> str:
        """'2.4 to 3.1 s (frames 72 to 93): no face was found'."""
        start, end = self.start_us / 1e6, self.end_us / 1e6
        frames = (
            f"frame {self.first}"
            if self.first == self.last
            else (f"frames {self.first} to {self.last}")
        )
        return f"{start:.1f} to {end:.1f} s ({frames}): {WHY_WORDS[self.why]}"


class Cover:
    """The covered areas of a clip by frame; ``doubts`` are what the coach should look at."""

    def __init__(
        self,
        review: Review,
        times_us: NDArray[np.int64],
        search: HeadSearch | None = None,
        by_points: Sequence[Ellipse | None] = (),
    ) -> None:
        """Without a ``search`` only what shall be seen in no video is covered."""
        self._times_us = times_us
        self._search = search
        self._by_points = by_points
        self._others = tuple(area for area in review.covers if area.what == "other")
        self._heads = tuple(
            area for area in review.covers if area.what == "head" and search is not None
        )
        self.doubts: tuple[Doubt, ...] = () if search is None else self._doubts(review, search)

    @property
    def is_empty(self) -> bool:
        """Whether nothing is covered on any frame."""
        found = self._search is not None and bool(self._search.heads)
        return not (found or self._others or self._heads or any(self._by_points))

    def at(self, index: int) -> tuple[Ellipse, ...]:
        """The areas of a frame; they may overlap."""
        at_us = int(self._times_us[index])
        placed = [area for area in self._heads if _is_on(area, at_us)]
        areas = [
            ellipse_at(area, at_us) for area in (*placed, *self._others) if _is_on(area, at_us)
        ]
        areas += self._found(index, [ellipse_at(a, at_us) for a in placed if _is_near(a, at_us)])
        return tuple(areas)

    def _found(self, index: int, placed: list[Ellipse]) -> list[Ellipse]:
        """By the search and by points, but for heads that the coach placed near that time."""
        found: list[Ellipse] = []
        if self._search is not None:
            around = _around(self._search.samples, index)
            for head in self._search.heads:
                spots = [spot for spot in map(head.spot, around) if spot is not None]
                areas = [area for spot in spots for area in spot.areas]
                if len(spots) == 2:
                    part = _part(index, *(self._search.samples[s] for s in around))
                    areas.append(between(spots[0].areas[0], spots[1].areas[0], part))
                if not any(_is_same(area, hand) for area in areas for hand in placed):
                    found += areas
        if index < len(self._by_points):
            point = self._by_points[index]
            if point is not None and not any(_is_same(point, hand) for hand in placed):
                found.append(point)
        return found

    def _doubts(self, review: Review, search: HeadSearch) -> tuple[Doubt, ...]:
        part = review.part
        whys: list[Why | None] = []
        for sample, index in enumerate(search.samples):
            at_us = int(self._times_us[index])
            settled = (
                any(_is_near(area, at_us) and _is_on(area, at_us) for area in self._heads)
                or any(check.start_us <= at_us <= check.end_us for check in review.cover_checked)
                or (part is not None and not part.start_us <= at_us <= part.end_us)
            )
            whys.append(None if settled else self._why(search, sample, index))
        return tuple(self._stretches(search.samples, whys))

    def _why(self, search: HeadSearch, sample: int, index: int) -> Why | None:
        point = self._by_points[index] if index < len(self._by_points) else None
        seen = [point] if point is not None else []
        lost: list[tuple[Ellipse, Why]] = []
        for head in search.heads:
            spot = head.spot(sample)
            if spot is None:
                continue
            if head.is_brief:
                lost.append((spot.areas[0], "brief"))
            elif spot.far_us <= SURE_US:
                seen.append(spot.areas[0])
            else:
                lost.append((spot.areas[0], "lost"))
        open_ones = [why for area, why in lost if not any(_is_same(area, one) for one in seen)]
        if open_ones:
            return min(open_ones, key=("lost", "brief").index)
        return None if seen else "nobody"

    def _stretches(self, samples: Sequence[int], whys: Sequence[Why | None]) -> Iterable[Doubt]:
        for why, run in groupby(range(len(samples)), key=lambda sample: whys[sample]):
            if why is not None:
                numbers = list(run)
                first, last = samples[numbers[0]], samples[numbers[-1]]
                start_us, end_us = int(self._times_us[first]), int(self._times_us[last])
                yield Doubt(first, last, start_us, end_us, why)


def ellipse_at(area: CoverArea, at_us: int) -> Ellipse:
    """Where an area that was placed by hand is at a time."""
    keys = area.keys
    at = bisect_right([key.at_us for key in keys], at_us)
    if at == 0 or at == len(keys):
        return _ellipse(keys[max(0, at - 1)])
    before, after = keys[at - 1], keys[at]
    part = (at_us - before.at_us) / (after.at_us - before.at_us)
    return between(_ellipse(before), _ellipse(after), part)


def _ellipse(key: CoverKey) -> Ellipse:
    return Ellipse(key.centre.x, key.centre.y, key.radius_x, key.radius_y)


def _is_on(area: CoverArea, at_us: int) -> bool:
    return (area.start_us is None or at_us >= area.start_us) and (
        area.end_us is None or at_us <= area.end_us
    )


def _is_near(area: CoverArea, at_us: int) -> bool:
    return any(abs(key.at_us - at_us) <= PLACED_US for key in area.keys)


def _is_same(area: Ellipse, other: Ellipse) -> bool:
    """Whether both are round the same head: the middle of one lies well inside the other."""
    away = np.hypot(area.x - other.x, area.y - other.y)
    return bool(away < 0.25 * (area.size + other.size))


def _around(samples: Sequence[int], index: int) -> list[int]:
    """The pictures looked at on both sides of a frame, or the one that is this frame."""
    after = bisect_right(samples, index)
    if after == len(samples) or samples[after - 1] == index:
        return [after - 1]
    return [after - 1, after]


def _part(index: int, before: int, after: int) -> float:
    return (index - before) / (after - before)
