"""Whether the scale in the picture can resolve a small change of height, such as that of a seat.

A useful change of seat height is 1 to 2 cm (common practice, no source).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from cliptag.errors import MeasureError
from cliptag.measure.camera import camera_of
from cliptag.review import Review

SEAT_HEIGHT_CM: Final = 45.0
USEFUL_CHANGES_CM: Final = (1.0, 2.0)


@dataclass(frozen=True, slots=True)
class HeightChange:
    """Smallest detectable changes of a height of ``height_cm``, in cm.

    ``within_clip``: both heights measured in this clip, with this very scale. ``between_clips``:
    the other one in a clip of its own, with a scale of its own as good as this.
    """

    height_cm: float
    within_clip_cm: float
    between_clips_cm: float

    @property
    def sentence(self) -> str:
        """Whether 1 cm and 2 cm can be told from measuring error, in plain words."""
        return (
            f"Heights: a change of a seat's height ({self.height_cm:g} cm) shows from "
            f"{_up(self.within_clip_cm)} cm on within this clip, from "
            f"{_up(self.between_clips_cm)} cm on between two clips with scales like this one; "
            f"{_verdict(self.between_clips_cm)}."
        )


def height_change(review: Review, height_cm: float = SEAT_HEIGHT_CM) -> HeightChange:
    """What the review's scale can resolve of a height, by the smallest detectable change.

    1.96 times the standard uncertainty of a difference (Weir 2005, see ``published.repeat``): of
    two upright spans with placed ends, and between clips of two scales as well. Raises MeasureError
    without a scale.
    """
    camera = camera_of(review)
    if camera.px_per_cm is None:
        raise MeasureError(
            "There is no scale, so no height in cm: mark a known length in the plane of the "
            "movement."
        )
    placing_cm = math.sqrt(2) * camera.placement_sd_px / camera.px_per_cm.value
    scale_cm = height_cm * camera.px_per_cm.sd / camera.px_per_cm.value
    within, between = (
        1.96 * math.sqrt(2) * math.hypot(placing_cm, scale) for scale in (0.0, scale_cm)
    )
    return HeightChange(height_cm, within, between)


def _verdict(least_cm: float) -> str:
    small, large = USEFUL_CHANGES_CM
    if least_cm <= small:
        return f"so {small:g} cm and {large:g} cm can both be told"
    if least_cm <= large:
        return f"so {large:g} cm can be told between clips, {small:g} cm can't"
    return (
        f"so neither {small:g} cm nor {large:g} cm can be told between clips: use a longer or "
        "better known scale, or come nearer"
    )


def _up(cm: float) -> str:
    """Rounded upwards to a tenth, as a bound must be."""
    return f"{math.ceil(10 * cm - 1e-9) / 10:.1f}"
