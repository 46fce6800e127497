"""Everything that moments and descriptors are read from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure.curves.curve import Curve
from cliptag.measure.curves.displacement import displacement_curve
from cliptag.measure.curves.level import Level


@dataclass(frozen=True, slots=True, eq=False)
class Source:
    """Level points and the angle curves made from them."""

    level: Level
    angles: Mapping[str, Curve]

    @property
    def start_us(self) -> float:
        return float(self.level.trajectories.times_us[0])

    @property
    def end_us(self) -> float:
        return float(self.level.trajectories.times_us[-1])

    @property
    def frame_us(self) -> float:
        return 1e6 / self.level.trajectories.rate_hz

    def angle(self, name: str) -> Curve:
        """An angle curve. Raises MeasureError when its points aren't there."""
        try:
            return self.angles[name]
        except KeyError:
            spoken = name.replace("_", " ")
            raise MeasureError(
                f"The {spoken} is not known: place or track its points first."
            ) from None

    def height(self, name: str) -> Curve:
        """How far up a point has gone. Raises MeasureError when it isn't there."""
        if name not in self.level:
            raise MeasureError(f"The point {name} is not placed: place or track it first.")
        return displacement_curve(self.level, name, "up")

    def length_px(self, one: str, other: str) -> float:
        """The usual distance of two points. Raises MeasureError when one isn't there."""
        for name in (one, other):
            if name not in self.level:
                raise MeasureError(f"The point {name} is not placed: place or track it first.")
        a, b = self.level[one], self.level[other]
        gaps = np.hypot(a.forward - b.forward, a.up - b.up)
        if not np.isfinite(gaps).any():
            raise MeasureError(f"The points {one} and {other} are never known on one frame.")
        return float(np.nanmedian(gaps))

    def in_height_unit(self, px: float) -> float:
        """Pixels in the unit of the height curves."""
        scale = self.level.scale
        return px / scale.value if scale else 100.0 * px / self.level.picture_height_px
