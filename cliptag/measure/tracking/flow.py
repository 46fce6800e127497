"""Pyramidal Lucas-Kanade flow from tile to tile, checked by flowing back."""

from __future__ import annotations

from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking.align import Floats, Singles
from cliptag.measure.tracking.tiles import Tiles

FLOW_SIDE: Final = 21
FLOW_LEVELS: Final = 2
FLOW_STOP: Final = (cv2.TERM_CRITERIA_EPS | cv2.TERM_CRITERIA_COUNT, 20, 0.02)

_REACH: Final = 0.4
"""Part of a tile's side beyond which flow has left what the tile shows."""


def flow(before: Tiles, after: Tiles, old: Floats, expected: Floats) -> tuple[Floats, Floats]:
    """Where the pixels at ``old`` (P, 2) went, and how many px off the way back ends (P,).

    ``expected`` (P, 2) is where to start; what failed comes back infinitely far off.
    """
    there = (old + before.shift).astype(np.float32)
    guess = (expected + after.shift).astype(np.float32)
    new, found = _lucas_kanade(before, after, there, guess)
    back, found_back = _lucas_kanade(after, before, new, there)
    sway = np.hypot(*(back - there).T).astype(np.float64)
    has_left = np.abs(new - guess).max(axis=1) > _REACH * after.side
    sway[~found | ~found_back | has_left] = np.inf
    return new - after.shift, sway


def _lucas_kanade(
    before: Tiles, after: Tiles, old: Singles, guess: Singles
) -> tuple[Singles, NDArray[np.bool_]]:
    new, found, _ = cv2.calcOpticalFlowPyrLK(
        before.grey,
        after.grey,
        old,
        guess.copy(),
        winSize=(FLOW_SIDE, FLOW_SIDE),
        maxLevel=FLOW_LEVELS,
        criteria=FLOW_STOP,
        flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
    )
    return np.asarray(new, np.float32), np.asarray(found).ravel() != 0
