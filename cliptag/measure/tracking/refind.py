"""Looks for a point that was hidden, round the place where it is expected."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np

from cliptag.measure.tracking.align import Floats, Pose, Singles, Window
from cliptag.measure.tracking.film import Grey
from cliptag.measure.tracking.tiles import cut

_PROMISING: Final = 0.6
_FAR_COSTS: Final = 0.15
"""Off the likeness at the edge of the search, as the nearer of two twins is the likelier one."""
_RIVAL: Final = 0.06


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """A patch (n,), its last pose (of one) and how far from there it may be, in pixels."""

    patch: Singles
    pose: Pose
    reach: float


def look_for(wanted: Wanted, others: Floats, grey: Grey, window: Window) -> Floats | None:
    """The likeliest centre (2,), or None when nothing is like it or two places are as likely.

    ``others`` (Q, 2) are places taken by other points.
    """
    radius = window.radius
    tiles = cut(grey, wanted.pose.centre, 2 * (int(np.ceil(wanted.reach)) + radius))
    template = _turned(wanted, radius)
    likeness = cv2.matchTemplate(tiles.grey, template, cv2.TM_CCOEFF_NORMED)
    rows, columns = np.mgrid[: likeness.shape[0], : likeness.shape[1]] + radius
    middle = wanted.pose.centre[0] + tiles.shift[0]
    far = np.hypot(columns - middle[0], rows - middle[1])
    score = likeness - _FAR_COSTS * (far / wanted.reach) ** 2
    score[far > wanted.reach + 1] = -1.0
    for x, y in others + tiles.shift[0]:
        score[np.hypot(columns - x, rows - y) < 0.6 * radius] = -1.0
    row, column = np.unravel_index(int(score.argmax()), score.shape)
    best = score[row, column]
    if likeness[row, column] < _PROMISING:
        return None
    beside = np.hypot(columns - columns[row, column], rows - rows[row, column]) > radius
    if beside.any() and score[beside].max() > best - _RIVAL:
        return None
    return np.asarray(np.array([column + radius, row + radius]) - tiles.shift[0], np.float64)


def _turned(wanted: Wanted, radius: int) -> Grey:
    """The patch as 8-bit grey, turned the way the point was last seen."""
    side = 2 * radius + 1
    square = np.clip(wanted.patch.reshape(side, side) * 40 + 128, 0, 255)
    turn = -float(np.degrees(wanted.pose.turn[0]))
    how = cv2.getRotationMatrix2D((radius, radius), turn, float(np.exp(wanted.pose.size[0])))
    turned = cv2.warpAffine(
        square, how, (side, side), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return turned.astype(np.uint8)
