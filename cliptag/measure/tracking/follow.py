"""One step of all points from a frame to the next: predict, flow there, anchor, judge.

Lucas-Kanade flow between frames finds the place roughly and is checked by flowing back (Kalal,
Mikolajczyk and Matas, "Forward-backward error", ICPR 2010). Then the patch as it looked where the
coach placed the point is laid over it, which takes away the drift that flow gathers. A patch that
slowly changes its look is renewed, which lets in a little drift, and the uncertainty says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking import align
from cliptag.measure.tracking.align import Floats, Match, Pose
from cliptag.measure.tracking.film import Grey
from cliptag.measure.tracking.flow import flow
from cliptag.measure.tracking.looks import Looks
from cliptag.measure.tracking.refind import Seeker, Seen, undisputed
from cliptag.measure.tracking.settings import Settings
from cliptag.measure.tracking.tiles import Tiles, cut, stacked

Flags: TypeAlias = NDArray[np.bool_]
Indices: TypeAlias = NDArray[np.intp]

_LEAST_RADIUS: Final = 8
_SWAY_PX: Final = 1.2
"""Flow that comes back within this is trusted to lead the anchoring."""
_RENEW_BELOW: Final = 0.92
_SLOW_CHANGE: Final = 0.03
_TRIAL_FRAMES: Final = 5
_SPEED_MEMORY: Final = 0.5
_SPEED_FADE_S: Final = 0.15
_NEAR: Final = 0.3
"""Part of the short side within which points are thought to move alike."""
_REACH_GUIDED: Final = 0.5
_REACH_AMONG_TWINS: Final = 0.25
_ASTRAY_RADII: Final = 0.4
_ENOUGH: Final = 3
"""Points from which to tell what all have in common."""
_UNLED_LIKENESS: Final = 0.93
_LOOSE_VAR: Final = 36.0
_TWIN_LIKENESS: Final = 0.1
_ONE_PLACE_RADII: Final = 0.4


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """A step's outcome for the legs asked for; ``centre`` is NaN where a point is hidden."""

    centre: Floats
    var: Floats
    likeness: Floats
    on_trial: Flags
    outside: Flags


class Follower:
    """The state of L points that are followed in one direction. Coordinates as in ``align``."""

    def __init__(self, count: int, short_side: int, settings: Settings) -> None:
        self._settings = settings
        self._short = short_side
        self._window = align.window_of(max(_LEAST_RADIUS, round(settings.patch * short_side)))
        radius = self._window.radius
        self._side = 2 * (4 * radius + 4)
        self._looks = (Looks(count, self._window), Looks(count, self._window))
        self._seeker = Seeker(self._looks, self._window, self._side, settings.find_likeness)
        self._pose = Pose(np.zeros((count, 2)), np.zeros(count), np.zeros(count))
        self._speed = np.zeros((count, 2))
        self._has_speed = np.zeros(count, bool)
        self._last_seen = np.zeros((count, 2))
        self._var = np.zeros(count)
        self._usual = np.ones(count)
        self._recent = np.ones(count)
        self._may_touch = np.zeros((count, count), bool)
        self._lost_s = np.zeros(count)
        self._lost = np.zeros(count, bool)
        self._trial = np.zeros(count, np.int64)
        self._before = np.zeros((count, self._side, self._side), np.uint8)
        self._before_corner = np.zeros((count, 2))

    @property
    def radius(self) -> int:
        return self._window.radius

    def start(self, legs: Sequence[int], centres: Floats, grey: Grey) -> None:
        """Learn how points look where they were placed."""
        which = np.asarray(legs, np.intp)
        self._pose.centre[which] = self._last_seen[which] = centres
        tiles = cut(grey, centres, self._side)
        self._looks[0].learn(which, self._pose.of(which), tiles, np.zeros(len(which)))
        self._remember(which, tiles)
        for leg in which:
            near = np.hypot(*(self._pose.centre - self._pose.centre[leg]).T) < self.radius
            self._may_touch[leg] |= near
            self._may_touch[:, leg] |= near

    def step(self, legs: Sequence[int], grey: Grey, elapsed_s: float) -> Found:
        """Find the points on the next frame, ``elapsed_s`` > 0 later or earlier."""
        which = np.asarray(legs, np.intp)
        held = which[~self._lost[which]]
        was = self._pose.centre[held].copy()
        likeness = np.zeros(len(self._lost))
        if len(held):
            likeness[held] = self._follow(held, grey, elapsed_s)
        kept = ~self._lost[held]
        moved = held[kept]
        self._drift_lost(which[self._lost[which]], moved, was[kept], elapsed_s)
        missing = which[self._lost[which]]
        if len(missing):
            likeness[missing] = self._refind(missing, moved, grey)
        return self._found(which, likeness, grey)

    def _follow(self, held: Indices, grey: Grey, elapsed_s: float) -> Floats:
        before = self._pose.of(held)
        expected = before.centre + self._speed[held] * elapsed_s
        tiles = cut(grey, expected, self._side)
        flowed, sway = flow(self._remembered(held), tiles, before.centre, expected)
        led = sway < _SWAY_PX
        start = Pose(np.where(led[:, None], flowed, expected), before.turn, before.size)
        flow_var = 0.05 + sway**2
        start_var = np.where(led, np.maximum(1.0, self._var[held] + flow_var), _LOOSE_VAR)
        match, placed_likeness, drift = self._anchored(held, start, start_var, tiles)
        common = _common(flowed - expected, led)
        surprise = np.hypot(*(flowed - expected - common).T)
        known = self._has_speed[held] | (led.sum() >= _ENOUGH)
        rows = np.flatnonzero(led & known & (surprise > _ASTRAY_RADII * self.radius))
        if len(rows):
            guess = Pose(expected + common, before.turn, before.size).of(rows)
            loose = np.full(len(rows), _LOOSE_VAR)
            part = tiles.of(np.isin(np.arange(len(held)), rows))
            again = self._anchored(held[rows], guess, loose, part)
            nearer = self._is_twin(match.of(rows), again[0])
            match.put(rows[nearer], again[0].of(nearer))
            start.centre[rows[nearer]] = guess.centre[nearer]
            placed_likeness[rows[nearer]], drift[rows[nearer]] = again[1][nearer], again[2][nearer]
            led[rows[nearer]] = False
        away = np.abs(match.pose.centre - start.centre).max(axis=1)
        near = away <= 0.5 * self.radius
        # What flow didn't lead to must be very like, else it is looked for all round.
        needed = np.where(led, self._settings.keep_likeness, _UNLED_LIKENESS)
        sure = near & (match.likeness >= needed)
        fair = near & led & (match.likeness >= self._settings.poor_likeness)
        fair &= self._trial[held] == 0
        self._take(held, before, match, sure | fair, elapsed_s)
        # Where the match is only fair, it may hang on to something else: then nothing is gained.
        grown = self._var[held] + flow_var + np.where(sure, 0.0, (0.1 * self.radius) ** 2)
        self._var[held] = np.where(sure, np.minimum(drift + match.var, grown), grown)
        self._renew(held[sure], match.likeness[sure], tiles.of(sure))
        change = match.likeness - self._usual[held]
        self._usual[held] += 0.2 * change
        return placed_likeness

    def _is_twin(self, flowed: Match, expected: Match) -> Flags:
        """Whether flow led to a point's twin, as one stands where the point was expected too."""
        apart = np.hypot(*(flowed.pose.centre - expected.pose.centre).T)
        good = expected.likeness >= self._settings.keep_likeness
        alike = expected.likeness > flowed.likeness - _TWIN_LIKENESS
        return np.asarray(good & alike & (apart > 0.5 * self.radius))

    def _part_twins(self, held: Indices) -> None:
        """Two points that came to one place: only the one that looks right there is there."""
        kept = held[~self._lost[held]]
        apart = self._pose.centre[kept][:, None] - self._pose.centre[kept][None]
        near = np.hypot(apart[..., 0], apart[..., 1]) < _ONE_PLACE_RADII * self.radius
        for one, other in zip(*np.nonzero(np.triu(near, 1)), strict=True):
            pair = kept[[one, other]]
            if not self._may_touch[pair[0], pair[1]]:
                self._lose(pair[[int(self._recent[pair].argmin())]])

    def _anchored(
        self, held: Indices, start: Pose, start_var: Floats, tiles: Tiles
    ) -> tuple[Match, Floats, Floats]:
        """The match with the placed look, or with the renewed one where that is much better.

        Also the likeness with the placed look, and the drift in the look that was laid.
        """
        stack, shift = tiles.smooth(), tiles.shift
        placed, renewed = self._looks
        match = placed.lay(held, start, start_var, stack, shift)
        placed_likeness, drift = match.likeness.copy(), placed.drift[held]
        rows = np.flatnonzero((match.likeness < _RENEW_BELOW - 0.07) & renewed.known[held])
        if len(rows):
            again = renewed.lay(held[rows], start.of(rows), start_var[rows], stack, shift[rows])
            better = again.likeness > match.likeness[rows] + 0.05
            match.put(rows[better], again.of(better))
            drift[rows[better]] = renewed.drift[held[rows[better]]]
        return match, placed_likeness, drift

    def _take(
        self, held: Indices, before: Pose, match: Match, good: Flags, elapsed_s: float
    ) -> None:
        taken = held[good]
        self._pose.centre[taken] = match.pose.centre[good]
        self._pose.turn[taken] = match.pose.turn[good]
        self._pose.size[taken] = match.pose.size[good]
        speed = (match.pose.centre - before.centre)[good] / elapsed_s
        memory = np.where(self._has_speed[taken], _SPEED_MEMORY, 1.0)[:, None]
        self._speed[taken] += memory * (speed - self._speed[taken])
        self._has_speed[taken] = True
        self._last_seen[taken] = self._pose.centre[taken]
        self._recent[held] = match.likeness
        self._lose(held[~good])
        self._part_twins(held)
        self._trial[taken] = np.maximum(0, self._trial[taken] - 1)

    def _lose(self, which: Indices) -> None:
        self._lost[which] = True
        self._lost_s[which] = 0.0

    def _renew(self, sure: Indices, likeness: Floats, tiles: Tiles) -> None:
        """Learn the look anew where it changes slowly; a sudden change is something in front."""
        slow = likeness > self._usual[sure] - _SLOW_CHANGE
        due = slow & (likeness < _RENEW_BELOW) & (self._trial[sure] == 0)
        if due.any():
            which = sure[due]
            drift = self._var[which]
            self._looks[1].learn(which, self._pose.of(which), tiles.of(due), drift)

    def _remember(self, which: Indices, tiles: Tiles) -> None:
        self._before[which] = tiles.grey.reshape(-1, self._side, self._side)
        self._before_corner[which] = tiles.corners

    def _remembered(self, which: Indices) -> Tiles:
        return stacked(self._before[which], self._before_corner[which])

    def _drift_lost(self, lost: Indices, moved: Indices, was: Floats, elapsed_s: float) -> None:
        """A hidden point is expected to go with the points near it, else on for a moment."""
        self._lost_s[lost] += elapsed_s
        shift = self._pose.centre[moved] - was
        for leg in lost:
            own = self._speed[leg] * elapsed_s
            if len(moved):
                way = was - self._pose.centre[leg]
                near = 1.0 / ((way**2).sum(axis=1) + (0.05 * self._short) ** 2)
                near *= (way**2).sum(axis=1) < (_NEAR * self._short) ** 2
                if near.sum() > 0:
                    own = near @ shift / near.sum()
            self._pose.centre[leg] += own
            self._speed[leg] *= np.exp(-elapsed_s / _SPEED_FADE_S)

    def _refind(self, missing: Indices, moved: Indices, grey: Grey) -> Floats:
        taken = self._pose.centre[moved]
        found = []
        for leg in missing:
            reach = self._reach(int(leg), taken, missing[missing != leg])
            seen = self._seeker.seek(int(leg), self._pose.of(np.array([leg])), reach, taken, grey)
            if seen is not None:
                found.append(seen)
        likeness = np.zeros(len(missing))
        for seen in undisputed(found, 0.6 * self.radius):
            self._take_back(seen)
            likeness[missing == seen.leg] = seen.match.likeness
        return likeness

    def _reach(self, leg: int, taken: Floats, rivals: Indices) -> float:
        """How far off its expected place a hidden point may be.

        Less where neighbours show the way, and little while a hidden twin could be taken for it.
        """
        away = np.hypot(*(taken - self._pose.centre[leg]).T)
        if self._seeker.has_twins(leg, rivals):
            part = _REACH_AMONG_TWINS
        else:
            part = _REACH_GUIDED if (away < _NEAR * self._short).sum() >= 2 else 1.0
        most = part * self._settings.reach * self._short
        # From a placement it may have started at any speed.
        least = (1.2 if self._has_speed[leg] else 3.0) * self.radius
        return min(most, least + most * float(self._lost_s[leg]))

    def _take_back(self, seen: Seen) -> None:
        leg, match = seen.leg, seen.match
        self._pose.centre[leg] = match.pose.centre[0]
        self._pose.turn[leg], self._pose.size[leg] = match.pose.turn[0], match.pose.size[0]
        self._lost[leg] = False
        self._trial[leg] = _TRIAL_FRAMES
        self._var[leg] = seen.drift + match.var[0]
        self._usual[leg] = match.likeness[0]
        self._speed[leg] = (match.pose.centre[0] - self._last_seen[leg]) / self._lost_s[leg]
        self._has_speed[leg] = True
        self._last_seen[leg] = match.pose.centre[0]

    def _found(self, which: Indices, likeness: Floats, grey: Grey) -> Found:
        centre = self._pose.centre[which].copy()
        height, width = grey.shape
        is_inside = (centre > -0.5) & (centre < (width - 0.5, height - 0.5))
        outside = np.asarray(~is_inside.all(axis=1))
        self._lost[which[outside]] = True
        seen = ~self._lost[which]
        self._remember(which, cut(grey, centre, self._side))
        centre[~seen] = np.nan
        return Found(
            centre, self._var[which].copy(), likeness[which], self._trial[which] > 0, outside
        )


def _common(residual: Floats, led: Flags) -> Floats:
    """What all points did unexpectedly, such as with a shaking camera."""
    return np.asarray(np.median(residual[led], axis=0) if led.sum() >= _ENOUGH else np.zeros(2))
