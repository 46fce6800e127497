"""From the coded picture to the displayed one: pixel aspect first, then orientation."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from cliptag.clip.orientation import Orientation


@dataclass(frozen=True, slots=True)
class Geometry:
    """The coded size, the shape of a coded pixel, and how the picture is turned.

    A pixel that isn't square is stretched along its longer side, so that no detail is lost.
    """

    coded_width: int
    coded_height: int
    pixel_aspect: Fraction
    orientation: Orientation

    @property
    def square_size(self) -> tuple[int, int]:
        """(width, height) in square pixels, before the picture is turned."""
        width, height = self.coded_width, self.coded_height
        if self.pixel_aspect > 1:
            return max(1, round(width * self.pixel_aspect)), height
        return width, max(1, round(height / self.pixel_aspect))

    @property
    def displayed_size(self) -> tuple[int, int]:
        """(width, height) as displayed."""
        return self.orientation.size(*self.square_size)

    def unturned(self, width: int, height: int) -> tuple[int, int]:
        """The size before turning of a picture that is displayed at this size."""
        return self.orientation.size(width, height)
