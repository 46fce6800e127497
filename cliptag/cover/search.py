"""Looking for heads through a whole clip.

Eight pictures a second are looked at. Faces near each other in time and place are one head. Where
a head isn't seen, it is carried on by the movement of its patch from the picture before and from
the one after, and all three places (with the one half-way) are covered; before it is first seen
and after it is last seen it is carried on as well, and covered where it stood besides.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

import numpy as np

from cliptag.clip import Clip
from cliptag.cover.areas import Ellipse, between
from cliptag.cover.carry import carried
from cliptag.cover.faces import FaceFinder
from cliptag.cover.found import Head, HeadSearch, How, Spot
from cliptag.cover.looking import Looked, look_through

Progress = Callable[[float, float | None], None]

_STEP_US: Final = 120_000
_LEAST_SCORE: Final = 0.25
_FACE_SCORE: Final = 0.5
_GROWN: Final = 0.9
"""Of a face's longer side: the radius round its middle that holds hair, ears and chin too."""
_FORGOTTEN_US: Final = 1_500_000
"""A face that appears after so long is another head, unless it is where the last one stood."""
_REACH: Final = 1.2
"""In head sizes: as far as a head may go from one picture to the next that is looked at."""
_LEAST_SEEN: Final = 3
_BRIEF_US: Final = 1_000_000


def search_heads(
    clip: Clip,
    finder: FaceFinder | None = None,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> HeadSearch:
    """Find the heads of a clip and follow them.

    ``progress`` is told the part done (0 to 1). Raises ClipError, CoverError, and CoverCancelled
    when ``is_cancelled`` said so.
    """
    finder = finder or FaceFinder()
    samples = samples_of(clip)
    looked = look_through(clip, finder, samples, _LEAST_SCORE, progress, is_cancelled)
    times_us = [int(clip.times_us[index]) for index in samples]
    chains = _chains(looked, times_us)
    return HeadSearch(
        samples=tuple(samples), heads=tuple(_head(chain, looked, times_us) for chain in chains)
    )


def samples_of(clip: Clip) -> list[int]:
    """The frames to look at: the first, the last, and between them as few as are needed."""
    samples = [0]
    for index in range(1, len(clip)):
        at_end = index == len(clip) - 1
        # The next one would be too late already.
        if at_end or clip.times_us[index + 1] - clip.times_us[samples[-1]] > _STEP_US:
            samples.append(index)
    return samples


@dataclass
class _Chain:
    """One head as it is put together from the faces seen."""

    seen: dict[int, Ellipse] = field(default_factory=dict)
    best: float = 0.0

    @property
    def last(self) -> int:
        return max(self.seen)


def _chains(looked: list[Looked], times_us: list[int]) -> list[_Chain]:
    chains: list[_Chain] = []
    for sample, picture in enumerate(looked):
        taken: set[int] = set()
        for face in picture.faces:
            radius = _GROWN * max(face.width, face.height)
            area = Ellipse(face.left + face.width / 2, face.top + face.height / 2, radius, radius)
            nearest = _nearest(chains, taken, area, sample, times_us)
            if nearest is None:
                nearest = len(chains)
                chains.append(_Chain())
            taken.add(nearest)
            chains[nearest].seen[sample] = area
            chains[nearest].best = max(chains[nearest].best, face.score)
    return chains


def _nearest(
    chains: list[_Chain], taken: set[int], area: Ellipse, sample: int, times_us: list[int]
) -> int | None:
    best, least = None, np.inf
    for number, chain in enumerate(chains):
        if number in taken:
            continue
        last = chain.seen[chain.last]
        away = float(np.hypot(area.x - last.x, area.y - last.y)) / max(area.size, last.size)
        since_us = times_us[sample] - times_us[chain.last]
        # What was lost for a moment may have gone farther, up to three sizes.
        reach = min(3.0, _REACH * max(1.0, since_us / _STEP_US))
        if since_us > _FORGOTTEN_US:
            reach = 0.5
        if away < min(reach, least):
            best, least = number, away
    return best


def _head(chain: _Chain, looked: list[Looked], times_us: list[int]) -> Head:
    seen = sorted(chain.seen)
    last = len(times_us) - 1
    is_brief = (chain.best < _FACE_SCORE or len(seen) < _LEAST_SEEN) and last + 1 >= _LEAST_SEEN
    first_us, last_us = times_us[seen[0]], times_us[seen[-1]]
    reached = [
        sample
        for sample, at_us in enumerate(times_us)
        if not is_brief or first_us - _BRIEF_US <= at_us <= last_us + _BRIEF_US
    ]
    forwards = _carried_on(chain, looked, seen, reached[-1], 1)
    backwards = _carried_on(chain, looked, seen[::-1], reached[0], -1)
    spots = [
        _spot(chain, seen, sample, forwards.get(sample), backwards.get(sample), times_us)
        for sample in reached
    ]
    return Head(first=reached[0], spots=tuple(spots), is_brief=is_brief)


def _carried_on(
    chain: _Chain, looked: list[Looked], seen: list[int], end: int, step: int
) -> dict[int, Ellipse]:
    """Where the head is carried to from each picture in which it was seen until the next one."""
    places: dict[int, Ellipse] = {}
    for start, stop in zip(seen, [*seen[1:], end + step], strict=True):
        area = chain.seen[start]
        for sample in range(start + step, stop, step):
            moved = carried(looked[sample - step].grey, looked[sample].grey, area)
            if moved is None:
                break
            places[sample] = area = moved
    return places


def _spot(
    chain: _Chain,
    seen: list[int],
    sample: int,
    forward: Ellipse | None,
    backward: Ellipse | None,
    times_us: list[int],
) -> Spot:
    if sample in chain.seen:
        return Spot((chain.seen[sample],), "seen", 0)
    before = max((s for s in seen if s < sample), default=None)
    after = min((s for s in seen if s > sample), default=None)
    far_us = min(abs(times_us[sample] - times_us[s]) for s in (before, after) if s is not None)
    areas = [area for area in (forward, backward) if area is not None]
    how: How = "followed" if areas else "held"
    if before is not None and after is not None:
        part = (times_us[sample] - times_us[before]) / (times_us[after] - times_us[before])
        areas.append(between(chain.seen[before], chain.seen[after], part))
    areas += [chain.seen[s] for s in (before, after) if s is not None]
    return Spot(tuple(areas), how, far_us)
