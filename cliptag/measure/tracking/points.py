"""The state of points that are followed in one direction. Coordinates as in ``align``."""

from __future__ import annotations

from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking.align import Floats, Match, Pose
from cliptag.measure.tracking.refind import Seen

Flags: TypeAlias = NDArray[np.bool_]
Indices: TypeAlias = NDArray[np.intp]

_TRIAL_FRAMES: Final = 5
_SPEED_MEMORY: Final = 0.5


class Points:
    """L points; each array has L rows.

    ``pose``: where they were found last, or are expected if ``lost``; ``speed`` px/s, and
    ``has_speed`` once one is known; ``last_seen`` (L, 2) px; ``var`` px² of following; ``likeness``
    with the look that was laid last, and the ``usual`` one lately; ``lost_s`` for how long;
    ``trial`` frames for which a point that was found again has yet to hold.
    """

    def __init__(self, count: int) -> None:
        self.pose = Pose(np.zeros((count, 2)), np.zeros(count), np.zeros(count))
        self.speed = np.zeros((count, 2))
        self.has_speed = np.zeros(count, bool)
        self.last_seen = np.zeros((count, 2))
        self.var = np.zeros(count)
        self.likeness = np.ones(count)
        self.usual = np.ones(count)
        self.lost = np.zeros(count, bool)
        self.lost_s = np.zeros(count)
        self.trial = np.zeros(count, np.int64)

    def place(self, which: Indices, centres: Floats) -> None:
        self.pose.centre[which] = self.last_seen[which] = centres

    def lose(self, which: Indices) -> None:
        self.lost[which] = True
        self.lost_s[which] = 0.0

    def move(self, which: Indices, match: Match, elapsed_s: float) -> None:
        """Take over where the points were found, ``elapsed_s`` after the last time."""
        speed = (match.pose.centre - self.pose.centre[which]) / elapsed_s
        memory = np.where(self.has_speed[which], _SPEED_MEMORY, 1.0)[:, None]
        self.speed[which] += memory * (speed - self.speed[which])
        self.has_speed[which] = True
        self.pose.put(which, match.pose)
        self.last_seen[which] = match.pose.centre
        self.trial[which] = np.maximum(0, self.trial[which] - 1)

    def take_back(self, seen: Seen) -> None:
        """A lost point was found again: on trial."""
        leg, match = seen.leg, seen.match
        which = np.array([leg])
        self.speed[leg] = (match.pose.centre[0] - self.last_seen[leg]) / self.lost_s[leg]
        self.has_speed[leg] = True
        self.pose.put(which, match.pose)
        self.last_seen[which] = match.pose.centre
        self.lost[leg] = False
        self.trial[leg] = _TRIAL_FRAMES
        self.var[leg] = seen.drift + match.var[0]
        self.likeness[leg] = self.usual[leg] = match.likeness[0]
