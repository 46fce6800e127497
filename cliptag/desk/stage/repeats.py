"""One point placed several times: where it lies on the whole, and how surely."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Final

from cliptag.review import Point

TIMES: Final = 3
_LEAST_OF_SHARPNESS: Final = 0.5
"""Three placements have few degrees of freedom (two along each axis), and may agree by chance: the
outcome is never better than this part of what the picture's sharpness and the zoom promise."""


@dataclass(slots=True)
class Repeats:
    """A followed point (``name``) or a point of a mark (``mark_id``), and its places so far."""

    words: str
    name: str | None = None
    mark_id: str | None = None
    places: list[Point] = field(default_factory=list)

    @property
    def is_complete(self) -> bool:
        return len(self.places) >= TIMES

    @property
    def hint(self) -> str:
        """What to do next."""
        return f"Click {self.words}: {len(self.places) + 1} of {TIMES}."

    def take_back(self) -> None:
        """Take back the last place."""
        if self.places:
            self.places.pop()

    def outcome(self, usual_sd_px: float | None) -> tuple[Point, float]:
        """The mean of the places and its standard deviation in pixels along each axis.

        That of one placement divided by the root of their number; ``usual_sd_px`` is what one
        placement has by sharpness and zoom.
        """
        from cliptag.measure import sd_of_repeats

        count = len(self.places)
        xs, ys = [p.x for p in self.places], [p.y for p in self.places]
        sd_px = sd_of_repeats(list(zip(xs, ys, strict=True))) / math.sqrt(count)
        least = _LEAST_OF_SHARPNESS * (usual_sd_px or 0.0)
        return Point(sum(xs) / count, sum(ys) / count), round(max(sd_px, least, 0.01), 3)

    def told(self, sd_px: float) -> str:
        """What came out, with twice the standard deviation as everywhere on the desk."""
        return f"Placed {len(self.places)} times: ± {2 * sd_px:.1f} px."
