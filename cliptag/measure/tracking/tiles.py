"""Tiles: squares cut out round the points and stacked, so that one call serves them all."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking.align import Floats, Singles
from cliptag.measure.tracking.film import Grey


@dataclass(frozen=True, slots=True, eq=False)
class Tiles:
    """``grey`` (P * side, side); ``corners`` (P, 2) px, the pixel at the top left of each.

    ``shift`` (P, 2) takes picture coordinates to the stack's.
    """

    grey: Grey
    side: int
    corners: Floats
    shift: Floats

    def smooth(self) -> Singles:
        """The stack a little smoothed, against sensor noise and for even interpolation."""
        return np.asarray(cv2.GaussianBlur(self.grey.astype(np.float32), (3, 3), 0.7), np.float32)

    def of(self, which: NDArray[np.bool_]) -> Tiles:
        """Some of the tiles, restacked."""
        squares = self.grey.reshape(-1, self.side, self.side)
        return stacked(squares[which], self.corners[which])


def stacked(squares: Grey, corners: Floats) -> Tiles:
    """Tiles from (P, side, side) squares."""
    count, side, _ = squares.shape
    shift = -corners
    shift[:, 1] += np.arange(count) * side
    return Tiles(squares.reshape(-1, side), side, corners, shift)


def cut(grey: Grey, centres: Floats, side: int) -> Tiles:
    """Squares round ``centres`` (P, 2); what lies outside repeats the picture's edge."""
    squares = np.empty((len(centres), side, side), np.uint8)
    height, width = grey.shape
    corners = np.rint(centres).astype(np.int64) - side // 2
    for square, (left, top) in zip(squares, corners, strict=True):
        if 0 <= left <= width - side and 0 <= top <= height - side:
            square[:] = grey[top : top + side, left : left + side]
        else:
            rows = np.clip(np.arange(top, top + side), 0, height - 1)
            columns = np.clip(np.arange(left, left + side), 0, width - 1)
            square[:] = grey[rows[:, None], columns]
    return stacked(squares, corners.astype(np.float64))
