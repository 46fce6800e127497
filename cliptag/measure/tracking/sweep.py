"""Legs that run the same way, followed together through one walk over the frames."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking.blend import Trail
from cliptag.measure.tracking.film import Grey, GreyFilm
from cliptag.measure.tracking.follow import Follower, Found
from cliptag.measure.tracking.keys import Leg, Placement
from cliptag.measure.tracking.settings import Settings
from cliptag.measure.tracking.tracks import State
from cliptag.measure.tracking.uncertainty import tracking_var

Tick = Callable[[], None]


class Sweep:
    """Follows legs over frames that come in their order; places are pixels as displayed."""

    def __init__(
        self, legs: Sequence[Leg], times_us: NDArray[np.int64], film: GreyFilm, settings: Settings
    ) -> None:
        self.legs = legs
        self._times_us = times_us
        self._film = film
        self._settings = settings
        self._follower: Follower | None = None
        count, frames = len(legs), len(times_us)
        self._places = np.full((count, frames, 2), np.nan)
        self._var = np.full((count, frames), np.nan)
        self._likeness = np.zeros((count, frames))
        self._states = np.full((count, frames), State.HIDDEN, np.uint8)
        self._trial_from = np.full(count, -1)
        self.radius_px = 0.0

    @property
    def frames(self) -> range:
        """All frames from the first to the last that a leg needs, its start included."""
        ends = [frame for leg in self.legs for frame in (leg.start.frame, leg.end)]
        return range(min(ends), max(ends) + 1) if ends else range(0)

    def run(self, pictures: Iterable[tuple[int, Grey]], tick: Tick) -> None:
        """Walk over the frames; ``tick`` is called after each and may raise to stop."""
        last = -1
        for index, grey in pictures:
            follower = self._ready(grey)
            active = [at for at, leg in enumerate(self.legs) if leg.covers(index)]
            if active:
                elapsed_s = abs(int(self._times_us[index] - self._times_us[last])) / 1e6
                # Times may repeat in damaged clips; a microsecond keeps speeds finite.
                found = follower.step(active, grey, max(elapsed_s, 1e-6))
                self._write(active, index, found, grey)
            starting = [at for at, leg in enumerate(self.legs) if leg.start.frame == index]
            if starting:
                centres = np.array([self._working(self.legs[at].start) for at in starting])
                follower.start(starting, centres, grey)
            last = index
            tick()

    def trail(self, at: int, placed_sd: float) -> Trail:
        """The leg's outcome, in frame order."""
        leg = self.legs[at]
        low, high = sorted((leg.start.frame + (1 if leg.is_up else -1), leg.end))
        part = slice(low, high + 1)
        away_s = np.abs(self._times_us[part] - self._times_us[leg.start.frame]) / 1e6
        var = tracking_var(self._var[at, part], self._likeness[at, part], away_s, self.radius_px)
        return Trail(
            self._places[at, part], var, self._states[at, part], self._likeness[at, part], placed_sd
        )

    def _ready(self, grey: Grey) -> Follower:
        if self._follower is None:
            self._follower = Follower(len(self.legs), min(grey.shape), self._settings)
            self.radius_px = float(self._follower.radius * self._film.shrink)
        return self._follower

    def _working(self, placement: Placement) -> tuple[float, float]:
        shrink = self._film.shrink
        return placement.x / shrink - 0.5, placement.y / shrink - 0.5

    def _write(self, active: Sequence[int], index: int, found: Found, grey: Grey) -> None:
        rows = np.asarray(active)
        shrink = self._film.shrink
        self._places[rows, index] = (found.centre + 0.5) * shrink
        seen = ~np.isnan(found.centre[:, 0])
        self._var[rows, index] = np.where(seen, found.var * shrink**2, np.nan)
        self._likeness[rows, index] = np.clip(found.likeness, 0.0, 1.0)
        self._states[rows[seen], index] = State.FOLLOWED
        self._states[rows[found.outside], index] = State.OUTSIDE
        for leg, is_seen, on_trial in zip(active, seen, found.on_trial, strict=True):
            self._judge_trial(leg, index, bool(is_seen), bool(on_trial))

    def _judge_trial(self, leg: int, index: int, is_seen: bool, on_trial: bool) -> None:
        """A point found again and lost at once was none: take its few places back."""
        if is_seen and on_trial:
            if self._trial_from[leg] < 0:
                self._trial_from[leg] = index
            return
        if not is_seen and self._trial_from[leg] >= 0:
            low, high = sorted((int(self._trial_from[leg]), index))
            self._places[leg, low : high + 1] = np.nan
            self._var[leg, low : high + 1] = np.nan
            self._states[leg, low : high + 1] = State.HIDDEN
        self._trial_from[leg] = -1
