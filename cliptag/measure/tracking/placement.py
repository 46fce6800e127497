"""How surely a point was placed: from how sharp the picture is, or from placing it repeatedly."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.errors import MeasureError

HAND_PX: Final = 1.5
"""Scatter of a hand with a mouse, in pixels of the screen (common practice, no source)."""
_SHARE_OF_BLUR: Final = 0.5
_ADDED_VAR: Final = 1.0 + 1 / 3
"""Of the first smoothing, and of slopes taken over two pixels."""
_SHARPEST_PX: Final = 0.5
_BLURRIEST_PX: Final = 12.0


def placement_sd(grey_patch: NDArray[np.uint8], zoom: float = 1.0) -> float:
    """Standard deviation (px of the picture, along each axis) of a point placed once.

    ``grey_patch`` (h, w) uint8 round the point, ``zoom`` screen pixels for each picture pixel.
    The hand's scatter shrinks with the zoom; the picture's blur does not: half the standard
    deviation of the blur of its sharpest edge (our own rule) is added in quadrature. The blur is
    estimated by blurring once more and comparing the steepest slopes: an edge of Gaussian blur s
    has the slope 1 / (s sqrt(2 pi)), so slopes fall by s / hypot(s, t) under a further blur t.
    Raises MeasureError for a patch of fewer than 5 x 5 pixels or a zoom that is not above 0.
    """
    if grey_patch.ndim != 2 or min(grey_patch.shape) < 5:
        raise MeasureError("The patch round a point must be at least 5 × 5 pixels.")
    if not zoom > 0:
        raise MeasureError("The zoom must be above 0.")
    return float(np.hypot(HAND_PX / zoom, _SHARE_OF_BLUR * edge_blur(grey_patch)))


def edge_blur(grey_patch: NDArray[np.uint8]) -> float:
    """Standard deviation in pixels of the blur of the patch's sharpest edges."""
    picture = cv2.GaussianBlur(grey_patch.astype(np.float32), (0, 0), 1.0)
    further = cv2.GaussianBlur(picture, (0, 0), 2.0)
    steep, eased = _steepest(picture), _steepest(further)
    if steep < 1.0:
        return _BLURRIEST_PX
    ratio = min(eased / steep, 0.999)
    blurred = 2.0 * ratio / np.sqrt(1.0 - ratio**2)
    own = np.sqrt(max(blurred**2 - _ADDED_VAR, 0.0))
    return float(np.clip(own, _SHARPEST_PX, _BLURRIEST_PX))


def sd_of_repeats(points: Sequence[tuple[float, float]]) -> float:
    """Standard deviation (px, along each axis) of ONE placement, from placing it several times.

    Pooled over both axes, with n - 1 degrees of freedom each; the mean of the n placements has
    this divided by sqrt(n). Raises MeasureError for fewer than two placements.
    """
    places = np.asarray(points, np.float64)
    if places.ndim != 2 or places.shape[1] != 2 or len(places) < 2:
        raise MeasureError("Place the point at least twice to see how surely it is placed.")
    return float(np.sqrt(places.var(axis=0, ddof=1).mean()))


def _steepest(picture: cv2.typing.MatLike) -> float:
    down, right = np.gradient(picture)
    return float(np.percentile(np.hypot(down, right), 98))
