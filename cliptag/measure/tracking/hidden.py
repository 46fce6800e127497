"""What becomes of points while they are hidden: where they are expected, and finding them."""

from __future__ import annotations

from typing import Final

import numpy as np

from cliptag.measure.tracking.align import Floats
from cliptag.measure.tracking.film import Grey
from cliptag.measure.tracking.points import Indices, Points
from cliptag.measure.tracking.refind import Seeker, undisputed

_SPEED_FADE_S: Final = 0.15
_NEAR: Final = 0.3
"""Part of the short side within which points are thought to move alike."""
_ENOUGH_NEIGHBOURS: Final = 2
_REACH_GUIDED: Final = 0.5
_REACH_AMONG_TWINS: Final = 0.25


class Hidden:
    """Keeps the hidden ones among ``points`` in mind. ``reach_px`` is the farthest to look."""

    def __init__(
        self, points: Points, seeker: Seeker, radius: int, short_side: int, reach_px: float
    ) -> None:
        self._points = points
        self._seeker = seeker
        self._radius = radius
        self._short = short_side
        self._reach_px = reach_px

    def expect(self, lost: Indices, moved: Indices, was: Floats, elapsed_s: float) -> None:
        """A hidden point is expected to go with the points near it, else on for a moment.

        ``was`` (M, 2) is where the ``moved`` ones were a step before.
        """
        points = self._points
        points.lost_s[lost] += elapsed_s
        shift = points.pose.centre[moved] - was
        for leg in lost:
            away_squared = ((was - points.pose.centre[leg]) ** 2).sum(axis=1)
            near = 1.0 / (away_squared + (0.05 * self._short) ** 2)
            near *= away_squared < (_NEAR * self._short) ** 2
            is_guided = near.sum() > 0
            own = near @ shift / near.sum() if is_guided else points.speed[leg] * elapsed_s
            points.pose.centre[leg] += own
            points.speed[leg] *= np.exp(-elapsed_s / _SPEED_FADE_S)

    def seek(self, lost: Indices, moved: Indices, grey: Grey) -> None:
        """Look for the hidden ones, where the ``moved`` ones are not."""
        points = self._points
        taken = points.pose.centre[moved]
        found = []
        for leg in lost:
            twins = self._seeker.twins(int(leg), lost[lost != leg])
            reach = self._reach(int(leg), taken, has_twins=len(twins) > 0)
            pose = points.pose.of(np.array([leg]))
            seen = self._seeker.seek(int(leg), pose, reach, taken, grey)
            if seen is not None and seen.is_nearer_than(points.pose.centre[twins]):
                found.append(seen)
        for seen in undisputed(found, 0.6 * self._radius):
            points.take_back(seen)

    def _reach(self, leg: int, taken: Floats, *, has_twins: bool) -> float:
        """How far off its expected place a hidden point may be, in pixels.

        Less where neighbours show the way, and little while a hidden twin could be taken for it.
        """
        away = np.hypot(*(taken - self._points.pose.centre[leg]).T)
        if has_twins:
            part = _REACH_AMONG_TWINS
        else:
            is_guided = (away < _NEAR * self._short).sum() >= _ENOUGH_NEIGHBOURS
            part = _REACH_GUIDED if is_guided else 1.0
        most = part * self._reach_px
        # From a placement it may have started at any speed.
        least = (1.2 if self._points.has_speed[leg] else 3.0) * self._radius
        return float(min(most, least + most * self._points.lost_s[leg]))
