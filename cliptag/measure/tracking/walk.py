"""Plans the walks over the frames so that each is decoded once where memory allows."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from typing import Final, TypeAlias

import numpy as np

from cliptag.errors import TrackingCancelled
from cliptag.measure.tracking.blend import Trail
from cliptag.measure.tracking.film import Film, Grey, GreyFilm
from cliptag.measure.tracking.keys import Leg, Placement
from cliptag.measure.tracking.placement import placement_sd
from cliptag.measure.tracking.settings import Settings
from cliptag.measure.tracking.sweep import Sweep

Progress: TypeAlias = Callable[[float, float], None]
"""Is told the part done, 0 to 1, and the seconds left."""

_SHARPNESS_RADIUS: Final = 16


class Clock:
    """Counts frames, tells how far it is, and looks whether to stop."""

    def __init__(self, progress: Progress | None, is_cancelled: Callable[[], bool] | None) -> None:
        self._progress = progress
        self._is_cancelled = is_cancelled
        self._since = time.monotonic()
        self._done = 0
        self.total = 1

    def tick(self) -> None:
        """One frame more. Raises TrackingCancelled."""
        if self._is_cancelled is not None and self._is_cancelled():
            raise TrackingCancelled("Tracking was stopped.")
        self._done += 1
        if self._progress is not None:
            part = min(1.0, self._done / self.total)
            gone_s = time.monotonic() - self._since
            self._progress(part, gone_s * (1.0 - part) / part)


class Walk:
    """Follows all legs; afterwards ``trails`` and ``placed_sds`` hold what was found."""

    def __init__(
        self, film: Film, legs: Sequence[Leg], measured: Sequence[Placement], settings: Settings
    ) -> None:
        self._film = GreyFilm(film, settings.keep_bytes)
        times_us = film.times_us
        self._up = Sweep([leg for leg in legs if leg.is_up], times_us, self._film, settings)
        self._down = Sweep([leg for leg in legs if not leg.is_up], times_us, self._film, settings)
        self._measured = measured
        self.placed_sds: dict[Placement, float] = {}
        self.trails: dict[Leg, Trail] = {}

    @property
    def radius_px(self) -> float:
        """Half the side of the patches that points are known by."""
        return max(self._up.radius_px, self._down.radius_px)

    def run(self, clock: Clock) -> None:
        """Raises TrackingCancelled and what the film raises."""
        up, down = self._up.frames, self._down.frames
        if len(down) <= self._film.room:
            every = self._with_measured(up, down)
            clock.total = len(every) + len(down)
            self._walk_up(every, down, clock)
            self._walk_down(down, clock)
        else:
            clock.total = len(down) + len(up)
            self._walk_down(down, clock)
            self._walk_up(self._with_measured(up), range(0), clock)
        for sweep in (self._up, self._down):
            for at, leg in enumerate(sweep.legs):
                self.trails[leg] = sweep.trail(at, self.placed_sds[leg.start])

    def _with_measured(self, *spans: range) -> range:
        """One span over these and the placements whose sharpness isn't known yet."""
        frames = [p.frame for p in self._measured if p not in self.placed_sds]
        frames += [end for span in spans if span for end in (span[0], span[-1])]
        return range(min(frames), max(frames) + 1) if frames else range(0)

    def _walk_up(self, frames: range, keep: range, clock: Clock) -> None:
        if frames:
            pictures = self._film.upwards(frames[0], frames[-1], keep)
            self._up.run(self._measuring(pictures), clock.tick)

    def _walk_down(self, frames: range, clock: Clock) -> None:
        if frames:
            pictures = self._film.downwards(frames[0], frames[-1])
            self._down.run(self._measuring(pictures), clock.tick)

    def _measuring(self, pictures: Iterator[tuple[int, Grey]]) -> Iterator[tuple[int, Grey]]:
        for index, grey in pictures:
            for placement in self._measured:
                if placement.frame == index:
                    self.placed_sds[placement] = _sd_of(placement, grey, self._film.shrink)
            yield index, grey


def _sd_of(placement: Placement, grey: Grey, shrink: int) -> float:
    if placement.sd_px is not None:
        return placement.sd_px
    height, width = grey.shape
    x, y = (
        int(np.clip(v / shrink, 0, side - 1))
        for v, side in ((placement.x, width), (placement.y, height))
    )
    radius = _SHARPNESS_RADIUS
    patch = grey[max(0, y - radius) : y + radius + 1, max(0, x - radius) : x + radius + 1]
    return placement_sd(patch) * shrink
