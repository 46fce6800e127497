"""How points look, as learnt on a frame."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking import align
from cliptag.measure.tracking.align import Floats, Match, Pose, Singles, Window
from cliptag.measure.tracking.tiles import Tiles


class Looks:
    """One look for each of L points: a standardised patch, its slopes, and the drift in it.

    ``drift`` (L,) px² is the variance of following up to where the look was learnt; ``known``
    (L,) tells which points have one.
    """

    def __init__(self, count: int, window: Window) -> None:
        pixels = len(window.grid)
        self._window = window
        self.patches = np.zeros((count, pixels), np.float32)
        self._slopes = np.zeros((count, pixels, 4), np.float32)
        self.drift = np.zeros(count)
        self.known = np.zeros(count, bool)

    def learn(self, which: NDArray[np.intp], pose: Pose, tiles: Tiles, drift: Floats) -> None:
        """Take the look of points ``which`` from their tiles, in the same order."""
        patches = align.sample(tiles.smooth(), _moved(pose, tiles.shift), self._window)
        patches = align.standardised(patches, self._window)
        self.patches[which] = patches
        self._slopes[which] = align.slopes(patches, self._window)
        self.drift[which] = drift
        self.known[which] = True

    def lay(
        self,
        which: NDArray[np.intp],
        start: Pose,
        start_var: Floats,
        stack: Singles,
        shift: Floats,
    ) -> Match:
        """Lay the looks of ``which`` over a smoothed stack of tiles near ``start``."""
        match = align.align(
            stack,
            _moved(start, shift),
            self.patches[which],
            self._slopes[which],
            self._window,
            start_var,
        )
        return Match(_moved(match.pose, -shift), match.likeness, match.var)


def _moved(pose: Pose, shift: Floats) -> Pose:
    return Pose(pose.centre + shift, pose.turn.copy(), pose.size.copy())
