"""What the review tells of the camera: how it was turned, and how large a pixel is.

The scale holds in the plane of the movement only. A line nearer to or farther from the camera, or
a movement plane that is turned from it, is measured wrongly, and no mark on the picture can tell.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from cliptag.measure.geometry import Estimate, distance_px, lean_of
from cliptag.review import Review, Scale

USUAL_PLACEMENT: Final = 0.002
"""Standard deviation of placing a point, as a part of the picture's short side.

About 2 px in a 1080 px wide picture (common practice, no source).
"""


@dataclass(frozen=True, slots=True)
class Camera:
    """Roll of the camera and size of a pixel, as far as the review tells.

    ``upright_deg``: how far the true vertical is turned from the picture's, clockwise positive;
    exactly 0 where no plumb line was marked. ``px_per_cm`` is None without a scale.
    """

    placement_sd_px: float
    upright_deg: Estimate
    px_per_cm: Estimate | None
    picture_height_px: int


def camera_of(review: Review) -> Camera:
    """Read the camera off a review's plumb line and scale."""
    clip = review.clip
    sd_px = USUAL_PLACEMENT * min(clip.width, clip.height)
    plumb = review.plumb
    upright = Estimate(0.0, 0.0) if plumb is None else lean_of(plumb.bottom, plumb.top, sd_px)
    scale = None if review.scale is None else _px_per_cm(review.scale, sd_px)
    return Camera(sd_px, upright, scale, clip.height)


def _px_per_cm(scale: Scale, sd_px: float) -> Estimate:
    pixels = distance_px(scale.a, scale.b)
    relative_sd = math.hypot(math.sqrt(2) * sd_px / pixels, scale.length_sd_cm / scale.length_cm)
    value = pixels / scale.length_cm
    return Estimate(value, value * relative_sd)
