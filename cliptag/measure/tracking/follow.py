"""One step of all points from a frame to the next: predict, flow there, anchor, judge.

Lucas-Kanade flow between frames finds the place roughly and is checked by flowing back (Kalal,
Mikolajczyk and Matas, "Forward-backward error", ICPR 2010). Then the patch as it looked where the
coach placed the point is laid over it, which takes away the drift that flow gathers. A patch that
slowly changes its look is renewed, which lets in a little drift, and the uncertainty says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.measure.tracking import align
from cliptag.measure.tracking.align import Floats, Match, Pose
from cliptag.measure.tracking.film import Grey
from cliptag.measure.tracking.flow import flow
from cliptag.measure.tracking.hidden import Hidden
from cliptag.measure.tracking.looks import Looks
from cliptag.measure.tracking.points import Flags, Indices, Points
from cliptag.measure.tracking.refind import Seeker
from cliptag.measure.tracking.settings import Settings
from cliptag.measure.tracking.tiles import Tiles, cut, stacked

_LEAST_RADIUS: Final = 8
_SWAY_PX: Final = 1.2
"""Flow that comes back within this is trusted to lead the anchoring."""
_CALM_PX: Final = 0.6
"""Flow that comes back within this is believed where the look has changed."""
_FLOW_VAR: Final = 0.05
_LOOSE_VAR: Final = 36.0
_UNLED_LIKENESS: Final = 0.93
_RENEW_BELOW: Final = 0.92
_RENEWED_BELOW: Final = 0.85
_CLEARLY_BETTER: Final = 0.05
_SLOW_CHANGE: Final = 0.03
_USUAL_MEMORY: Final = 0.8
_ASTRAY_RADII: Final = 0.4
_ENOUGH: Final = 3
"""Points from which to tell what all have in common."""
_TWIN_LIKENESS: Final = 0.1
_ONE_PLACE_RADII: Final = 0.4
_UNSURE_RADII: Final = 0.1


@dataclass(frozen=True, slots=True, eq=False)
class Found:
    """A step's outcome for the legs asked for; ``centre`` is NaN where a point is hidden.

    ``var`` px² of the match and the drift; ``likeness`` with the placed look.
    """

    centre: Floats
    var: Floats
    likeness: Floats
    on_trial: Flags
    outside: Flags


@dataclass(frozen=True, slots=True, eq=False)
class _Led:
    """Where a step is thought to lead: ``flowed`` and ``expected`` (P, 2) px, ``sway`` (P,) px.

    ``is_led`` where flow came back; ``surprise`` (P,) px is how far flow left what was expected,
    beyond what all points did.
    """

    flowed: Floats
    expected: Floats
    sway: Floats
    is_led: Flags
    surprise: Floats
    can_judge: Flags


@dataclass(frozen=True, slots=True, eq=False)
class _Anchored:
    """A match with one of the looks, how like the placed one it is, and the drift in that look."""

    match: Match
    placed_likeness: Floats
    drift: Floats

    def put(self, rows: Indices, other: _Anchored, which: Flags) -> None:
        self.match.put(rows, other.match.of(which))
        self.placed_likeness[rows] = other.placed_likeness[which]
        self.drift[rows] = other.drift[which]


class Follower:
    """Follows L points in one direction. Coordinates as in ``align``."""

    def __init__(self, count: int, short_side: int, settings: Settings) -> None:
        self._settings = settings
        self._window = align.window_of(max(_LEAST_RADIUS, round(settings.patch * short_side)))
        radius = self._window.radius
        self._side = 2 * (4 * radius + 4)
        self._points = Points(count)
        self._looks = (Looks(count, self._window), Looks(count, self._window))
        seeker = Seeker(self._looks, self._window, self._side, settings.find_likeness)
        reach_px = settings.reach * short_side
        self._hidden = Hidden(self._points, seeker, radius, short_side, reach_px)
        self._placed_likeness = np.ones(count)
        self._may_touch = np.zeros((count, count), bool)
        self._before = np.zeros((count, self._side, self._side), np.uint8)
        self._before_corner = np.zeros((count, 2))

    @property
    def radius(self) -> int:
        return self._window.radius

    def start(self, legs: Sequence[int], centres: Floats, grey: Grey) -> None:
        """Learn how points look where they were placed."""
        which = np.asarray(legs, np.intp)
        points = self._points
        points.place(which, centres)
        tiles = cut(grey, centres, self._side)
        self._looks[0].learn(which, points.pose.of(which), tiles, np.zeros(len(which)))
        self._remember(which, tiles)
        for leg in which:
            near = np.hypot(*(points.pose.centre - points.pose.centre[leg]).T) < self.radius
            self._may_touch[leg] |= near
            self._may_touch[:, leg] |= near

    def step(self, legs: Sequence[int], grey: Grey, elapsed_s: float) -> Found:
        """Find the points on the next frame, ``elapsed_s`` > 0 later or earlier."""
        which = np.asarray(legs, np.intp)
        points = self._points
        held = which[~points.lost[which]]
        was = points.pose.centre[held].copy()
        if len(held):
            self._follow(held, grey, elapsed_s)
        kept = ~points.lost[held]
        lost = which[points.lost[which]]
        self._placed_likeness[lost] = 0.0
        self._hidden.expect(lost, held[kept], was[kept], elapsed_s)
        self._hidden.seek(lost, held[kept], grey)
        found_again = lost[~points.lost[lost]]
        self._placed_likeness[found_again] = points.likeness[found_again]
        return self._found(which, grey)

    def _follow(self, held: Indices, grey: Grey, elapsed_s: float) -> None:
        points = self._points
        before = points.pose.of(held)
        expected = before.centre + points.speed[held] * elapsed_s
        tiles = cut(grey, expected, self._side)
        led = self._led(held, before, expected, tiles)
        flow_var = _FLOW_VAR + led.sway**2
        start = Pose(np.where(led.is_led[:, None], led.flowed, expected), before.turn, before.size)
        start_var = np.where(led.is_led, np.maximum(1.0, points.var[held] + flow_var), _LOOSE_VAR)
        anchored = self._anchored(held, start, start_var, tiles)
        self._undo_twins(held, led, start, anchored, tiles)
        sure, fair = self._judged(held, led, start, anchored.match)
        good = sure | fair
        # Where the match is only fair, it may hang on to something else: then nothing is gained.
        unsure_var = np.where(sure, 0.0, (_UNSURE_RADII * self.radius) ** 2)
        grown = points.var[held] + flow_var + unsure_var
        matched = anchored.drift + anchored.match.var
        points.var[held] = np.where(sure, np.minimum(matched, grown), grown)
        points.likeness[held] = anchored.match.likeness
        self._placed_likeness[held] = anchored.placed_likeness
        points.move(held[good], anchored.match.of(good), elapsed_s)
        points.lose(held[~good])
        self._part_twins(held[good])
        self._renew(held[sure], tiles.of(sure))
        usual = points.usual[held]
        points.usual[held] += (1 - _USUAL_MEMORY) * (anchored.match.likeness - usual)

    def _led(self, held: Indices, before: Pose, expected: Floats, tiles: Tiles) -> _Led:
        memory = stacked(self._before[held], self._before_corner[held])
        flowed, sway = flow(memory, tiles, before.centre, expected)
        is_led = sway < _SWAY_PX
        astray = flowed - expected
        has_common = is_led.sum() >= _ENOUGH
        common = np.median(astray[is_led], axis=0) if has_common else np.zeros(2)
        surprise = np.hypot(*(astray - common).T)
        can_judge = self._points.has_speed[held] | has_common
        return _Led(flowed, expected + common, sway, is_led, surprise, can_judge)

    def _anchored(self, held: Indices, start: Pose, start_var: Floats, tiles: Tiles) -> _Anchored:
        """The match with the placed look, or with the renewed one where that is much better."""
        stack, shift = tiles.smooth(), tiles.shift
        placed, renewed = self._looks
        match = placed.lay(held, start, start_var, stack, shift)
        found = _Anchored(match, match.likeness.copy(), placed.drift[held])
        rows = np.flatnonzero((match.likeness < _RENEWED_BELOW) & renewed.known[held])
        if len(rows):
            again = renewed.lay(held[rows], start.of(rows), start_var[rows], stack, shift[rows])
            better = again.likeness > match.likeness[rows] + _CLEARLY_BETTER
            match.put(rows[better], again.of(better))
            found.drift[rows[better]] = renewed.drift[held[rows[better]]]
        return found

    def _undo_twins(
        self, held: Indices, led: _Led, start: Pose, anchored: _Anchored, tiles: Tiles
    ) -> None:
        """Where flow led to a point's twin, as one stands where it was expected, take that one."""
        is_astray = led.is_led & led.can_judge & (led.surprise > _ASTRAY_RADII * self.radius)
        rows = np.flatnonzero(is_astray)
        if not len(rows):
            return
        guess = Pose(led.expected, start.turn, start.size).of(rows)
        loose = np.full(len(rows), _LOOSE_VAR)
        again = self._anchored(held[rows], guess, loose, tiles.of(is_astray))
        flowed = anchored.match.of(rows)
        apart = np.hypot(*(flowed.pose.centre - again.match.pose.centre).T)
        is_good = again.match.likeness >= self._settings.keep_likeness
        is_alike = again.match.likeness > flowed.likeness - _TWIN_LIKENESS
        is_twin = np.asarray(is_good & is_alike & (apart > 0.5 * self.radius))
        anchored.put(rows[is_twin], again, is_twin)
        start.centre[rows[is_twin]] = guess.centre[is_twin]
        led.is_led[rows[is_twin]] = False

    def _judged(self, held: Indices, led: _Led, start: Pose, match: Match) -> tuple[Flags, Flags]:
        """Which points were surely found, and which only fairly."""
        near = np.abs(match.pose.centre - start.centre).max(axis=1) <= 0.5 * self.radius
        # What flow didn't lead to must be very like, else it is looked for all round.
        needed = np.where(led.is_led, self._settings.keep_likeness, _UNLED_LIKENESS)
        sure = near & (match.likeness >= needed)
        fair = near & led.is_led & (match.likeness >= self._settings.poor_likeness)
        fair &= (led.sway < _CALM_PX) & (led.surprise <= 0.5 * self.radius)
        return np.asarray(sure), np.asarray(fair & (self._points.trial[held] == 0))

    def _part_twins(self, held: Indices) -> None:
        """Two points that came to one place: only the one that looks right there is there."""
        points = self._points
        apart = points.pose.centre[held][:, None] - points.pose.centre[held][None]
        near = np.hypot(apart[..., 0], apart[..., 1]) < _ONE_PLACE_RADII * self.radius
        for one, other in zip(*np.nonzero(np.triu(near, 1)), strict=True):
            pair = held[[one, other]]
            if not self._may_touch[pair[0], pair[1]]:
                points.lose(pair[[int(points.likeness[pair].argmin())]])

    def _renew(self, sure: Indices, tiles: Tiles) -> None:
        """Learn the look anew where it changes slowly; a sudden change is something in front."""
        points = self._points
        likeness = points.likeness[sure]
        is_slow = likeness > points.usual[sure] - _SLOW_CHANGE
        due = is_slow & (likeness < _RENEW_BELOW) & (points.trial[sure] == 0)
        if due.any():
            which = sure[due]
            pose = points.pose.of(which)
            self._looks[1].learn(which, pose, tiles.of(due), points.var[which])

    def _remember(self, which: Indices, tiles: Tiles) -> None:
        self._before[which] = tiles.grey.reshape(-1, self._side, self._side)
        self._before_corner[which] = tiles.corners

    def _found(self, which: Indices, grey: Grey) -> Found:
        points = self._points
        centre = points.pose.centre[which].copy()
        height, width = grey.shape
        is_inside = (centre > -0.5) & (centre < (width - 0.5, height - 0.5))
        outside = np.asarray(~is_inside.all(axis=1))
        points.lose(which[outside & ~points.lost[which]])
        self._remember(which, cut(grey, centre, self._side))
        centre[points.lost[which]] = np.nan
        return Found(
            centre,
            points.var[which].copy(),
            self._placed_likeness[which].copy(),
            points.trial[which] > 0,
            outside,
        )
