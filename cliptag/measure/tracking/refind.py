"""Looks for points that are hidden, each round the place where it is expected."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.measure.tracking.align import Floats, Match, Pose, Singles, Window
from cliptag.measure.tracking.film import Grey
from cliptag.measure.tracking.looks import Looks
from cliptag.measure.tracking.tiles import cut

_PROMISING: Final = 0.6
_FAR_COSTS: Final = 0.15
"""Off the likeness at the edge of the search, as the nearer of two twins is the likelier one."""
_FAR_NEEDS: Final = 0.08
"""More likeness that a point must have there."""
_RIVAL: Final = 0.06
_START_VAR: Final = 9.0
_CLEARLY_NEARER: Final = 0.5


@dataclass(frozen=True, slots=True)
class Seen:
    """A hidden point that seems to be there again; ``match`` is of one, ``away`` in pixels."""

    leg: int
    match: Match
    drift: float
    away: float

    def is_nearer_than(self, expected: Floats) -> bool:
        """Whether none of the places (Q, 2) where twins are expected could be meant as well."""
        others = np.hypot(*(expected - self.match.pose.centre[0]).T)
        return bool((self.away < _CLEARLY_NEARER * others).all())


class Seeker:
    """Finds hidden points by the way they look."""

    def __init__(self, looks: Sequence[Looks], window: Window, side: int, likeness: float) -> None:
        self._looks = looks
        self._window = window
        self._side = side
        self._likeness = likeness

    def seek(self, leg: int, pose: Pose, reach: float, taken: Floats, grey: Grey) -> Seen | None:
        """Look for one near its expected ``pose`` (of one), but not at the ``taken`` (Q, 2)."""
        which = np.array([leg])
        for looks in self._looks:
            if not looks.known[leg]:
                continue
            template = _turned(looks.patches[leg], pose, self._window.radius)
            centre = _likeliest(template, pose.centre[0], reach, taken, grey, self._window.radius)
            if centre is None:
                continue
            tiles = cut(grey, centre[None], self._side)
            stack = tiles.smooth()
            start = Pose(centre[None], pose.turn, pose.size)
            match = looks.lay(which, start, np.array([_START_VAR]), stack, tiles.shift)
            away = float(np.hypot(*(match.pose.centre[0] - pose.centre[0])))
            needed = self._likeness + _FAR_NEEDS * min(1.0, away / reach) ** 2
            shifted = float(np.abs(match.pose.centre - centre).max())
            if (
                match.likeness[0] >= needed
                and shifted < 0.5 * self._window.radius
                and looks.is_lit_alike(which, match.pose, stack, tiles.shift)[0]
            ):
                return Seen(leg, match, float(looks.drift[leg]), away)
        return None

    def twins(self, leg: int, among: NDArray[np.intp]) -> NDArray[np.intp]:
        """Those of these other points that could be taken for this one."""
        return among[self._looks[0].twins_of(leg)[among]]


def undisputed(found: Sequence[Seen], radius: float) -> list[Seen]:
    """Those whose place no other claims, unless the other expected it much farther off."""
    return [
        one for one in found if all(one is other or _wins(one, other, radius) for other in found)
    ]


def _wins(one: Seen, other: Seen, radius: float) -> bool:
    apart = np.hypot(*(one.match.pose.centre[0] - other.match.pose.centre[0]))
    return bool(apart > radius or one.away < _CLEARLY_NEARER * other.away)


def _likeliest(
    template: Grey, expected: Floats, reach: float, taken: Floats, grey: Grey, radius: int
) -> Floats | None:
    """The likeliest centre (2,), or None when nothing is like it or two places are as likely."""
    tiles = cut(grey, expected[None], 2 * (int(np.ceil(reach)) + radius))
    likeness = cv2.matchTemplate(tiles.grey, template, cv2.TM_CCOEFF_NORMED)
    rows, columns = np.ogrid[: likeness.shape[0], : likeness.shape[1]]
    x, y = expected + tiles.shift[0] - radius
    far = (columns - x) ** 2 + (rows - y) ** 2
    score = np.where(far <= (reach + 1) ** 2, likeness - _FAR_COSTS * far / reach**2, -1.0)
    for x, y in taken + tiles.shift[0] - radius:
        score[(columns - x) ** 2 + (rows - y) ** 2 < (0.6 * radius) ** 2] = -1.0
    row, column = np.unravel_index(int(score.argmax()), score.shape)
    if likeness[row, column] < _PROMISING:
        return None
    best = score[row, column]
    score[(columns - column) ** 2 + (rows - row) ** 2 <= radius**2] = -1.0
    if score.max() > best - _RIVAL:
        return None
    return np.asarray(np.array([column, row]) + radius - tiles.shift[0], np.float64)


def _turned(patch: Singles, pose: Pose, radius: int) -> Grey:
    """The patch as 8-bit grey, turned the way the point was last seen."""
    side = 2 * radius + 1
    square = np.clip(patch.reshape(side, side) * 40 + 128, 0, 255)
    turn, size = -float(np.degrees(pose.turn[0])), float(np.exp(pose.size[0]))
    how = cv2.getRotationMatrix2D((radius, radius), turn, size)
    turned = cv2.warpAffine(
        square, how, (side, side), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return turned.astype(np.uint8)
