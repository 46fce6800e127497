"""Where the client's head is by the points that the coach has tracked, seen from the side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from cliptag.cover.areas import Ellipse

Places = NDArray[np.float64]

HEAD_POINTS: Final = ("ear", "eye", "c7")

_OF_HEIGHT: Final[dict[tuple[str, str], float]] = {
    ("shoulder", "hip"): 0.288,
    ("hip", "knee"): 0.245,
    ("knee", "ankle"): 0.246,
    ("ear", "eye"): 0.047,
}
"""Lengths in body heights (Drillis & Contini 1966, as in Winter, 'Biomechanics and Motor Control
of Human Movement', fig. 4.1: from memory; ear to eye: an adult's 8 cm of 170)."""

_RADIUS: Final = {"ear": 0.088, "eye": 0.11, "c7": 0.15}
"""In body heights round that point alone: 15 cm round the ear reach from the crown to the chin."""
_UNKNOWN_HEIGHT: Final = 0.8
"""Of the picture's height, where nothing tells how tall the client is in it: more than usual."""


def head_by_points(
    places: Mapping[str, Places], sd_px: Mapping[str, NDArray[np.float64]], picture_height: int
) -> list[Ellipse | None]:
    """The head on every frame; None where no point of it is known well enough.

    ``places`` (N, 2) by name in pixels, NaN where not known; ``sd_px`` (N,).
    """
    names = [name for name in HEAD_POINTS if name in places]
    if not names:
        return []
    height = body_height_px(places) or _UNKNOWN_HEIGHT * picture_height
    heads: list[Ellipse | None] = []
    for index in range(len(places[names[0]])):
        heads.append(None)
        for name in names:
            x, y = places[name][index]
            radius = _RADIUS[name] * height
            if np.isfinite(x) and sd_px[name][index] < radius / 4:
                heads[-1] = Ellipse(float(x), float(y), radius, radius)
                break
    return heads


def body_height_px(places: Mapping[str, Places]) -> float | None:
    """How tall the client is in the picture by the lengths between points; None without any.

    A limb that points towards the camera looks shorter, never longer, so the tallest counts.
    """
    heights = []
    for (a, b), part in _OF_HEIGHT.items():
        if a in places and b in places:
            lengths = np.linalg.norm(places[a] - places[b], axis=1)
            if np.isfinite(lengths).any():
                heights.append(float(np.nanpercentile(lengths, 90)) / part)
    return max(heights, default=None)
