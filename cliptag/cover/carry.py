"""Carrying a head on from one picture to the next by the movement of its pixels."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.cover.areas import Ellipse

if TYPE_CHECKING:
    from cliptag.cover.looking import Grey

_MOST_POINTS: Final = 60
_LEAST_POINTS: Final = 5
_ROUND_TRIP_PX: Final = 1.0
_WINDOW: Final = (15, 15)
_LEVELS: Final = 4


def carried(before: Grey, after: Grey, area: Ellipse) -> Ellipse | None:
    """Where an area is in the next picture; None when too little of it can be followed.

    Points in the area are followed by pyramidal optical flow there and back (Lucas & Kanade;
    Bouguet 2000), and those that don't come back to where they were are left out.
    """
    here = before.inside(area)
    mask = np.zeros(before.pixels.shape, np.uint8)
    middle = round(here.x), round(here.y)
    radii = max(1, round(here.radius_x * 0.7)), max(1, round(here.radius_y * 0.7))
    cv2.ellipse(mask, middle, radii, 0, 0, 360, 255, -1)
    points = cv2.goodFeaturesToTrack(before.pixels, _MOST_POINTS, 0.02, 3, mask=mask)
    if points is None or len(points) < _LEAST_POINTS:
        return None
    there, found = _flow(before, after, points)
    back, found_back = _flow(after, before, there)
    off = np.linalg.norm((back - points).reshape(-1, 2), axis=1)
    good = found & found_back & (off < _ROUND_TRIP_PX)
    if good.sum() < _LEAST_POINTS:
        return None
    shift = np.median((there - points).reshape(-1, 2)[good], axis=0)
    return Ellipse(
        area.x + float(shift[0]) / before.by_x,
        area.y + float(shift[1]) / before.by_y,
        area.radius_x,
        area.radius_y,
    )


def _flow(before: Grey, after: Grey, points: Any) -> tuple[Any, NDArray[np.bool_]]:
    follow: Any = cv2.calcOpticalFlowPyrLK  # its types don't know that no guess may be given
    there, found, _ = follow(
        before.pixels, after.pixels, points, None, winSize=_WINDOW, maxLevel=_LEVELS
    )
    return there, found.ravel() == 1
