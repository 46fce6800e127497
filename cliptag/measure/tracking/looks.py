"""How points look, as learnt on a frame."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking import align
from cliptag.measure.tracking.align import Floats, Match, Pose, Singles, Window
from cliptag.measure.tracking.tiles import Tiles

_GAIN: Final = 0.3
"""Natural logarithm of the change of contrast that is still the same point."""
_CHANGE: Final = 0.5
_TWIN_LIKENESS: Final = 0.6


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
        self._level = np.zeros(count)
        self._contrast = np.ones(count)
        self.drift = np.zeros(count)
        self.known = np.zeros(count, bool)

    def learn(self, which: NDArray[np.intp], pose: Pose, tiles: Tiles, drift: Floats) -> None:
        """Take the look of points ``which`` from their tiles, in the same order."""
        raw = align.sample(tiles.smooth(), _moved(pose, tiles.shift), self._window)
        self._level[which], self._contrast[which] = self._light(raw)
        patches = align.standardised(raw, self._window)
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

    def is_lit_alike(
        self, which: NDArray[np.intp], pose: Pose, stack: Singles, shift: Floats
    ) -> NDArray[np.bool_]:
        """Whether patches are about as bright and as rich in contrast as when they were learnt.

        The likeness does not see that, yet it tells a dot on skin from a dot on dark cloth.
        """
        level, contrast = self._light(align.sample(stack, _moved(pose, shift), self._window))
        gain = contrast / self._contrast[which]
        change = np.abs(level - self._level[which])
        return np.asarray(
            (np.abs(np.log(gain)) < _GAIN) & (change < _CHANGE * self._contrast[which] + 4.0)
        )

    def twins_of(self, leg: int) -> NDArray[np.bool_]:
        """(L,) which other points' looks could be taken for this one's."""
        share = self._window.weight / self._window.weight.sum()
        alike = (self.patches * share) @ self.patches[leg] > _TWIN_LIKENESS
        gain = np.abs(np.log(self._contrast / self._contrast[leg])) < 1.5 * _GAIN
        twins = np.asarray(alike & gain & self.known)
        twins[leg] = False
        return twins

    def _light(self, raw: Singles) -> tuple[Floats, Floats]:
        share = self._window.weight / self._window.weight.sum()
        level = raw @ share
        contrast = np.sqrt(((raw - level[:, None]) ** 2) @ share)
        return level.astype(np.float64), np.maximum(contrast, 1.0).astype(np.float64)


def _moved(pose: Pose, shift: Floats) -> Pose:
    return Pose(pose.centre + shift, pose.turn.copy(), pose.size.copy())
