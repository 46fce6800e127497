"""What tracking found: places, their uncertainty, and why a place is missing."""

from __future__ import annotations

import enum
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from cliptag.measure.camera import Camera
from cliptag.measure.tracking.keys import Placement
from cliptag.measure.trajectories import Trajectories
from cliptag.review import Facing

Floats: TypeAlias = NDArray[np.float64]
States: TypeAlias = NDArray[np.uint8]


class State(enum.IntEnum):
    """How a point stands on a frame."""

    PLACED = 0  # by the coach
    FOLLOWED = 1
    HIDDEN = 2  # something is in front of it, or it no longer looks the same
    OUTSIDE = 3  # it left the picture
    DISPUTED = 4  # followed from both sides, it came to different places

    @property
    def is_known(self) -> bool:
        return self in (State.PLACED, State.FOLLOWED)


@dataclass(frozen=True, slots=True, eq=False)
class Tracks:
    """Every point on every frame.

    ``times_us`` (N,); by name: ``points`` (N, 2) pixels as displayed, NaN where not known;
    ``sd_px`` (N,) standard deviation along each axis, placement and tracking together, NaN where
    not known; ``states`` (N,) of ``State``; ``likeness`` (N,) how like the placed patch it looks,
    1 the same, 0 nothing like it; ``keys``: the placements that it was followed from.
    """

    times_us: NDArray[np.int64]
    points: Mapping[str, Floats]
    sd_px: Mapping[str, Floats]
    states: Mapping[str, States]
    likeness: Mapping[str, Floats]
    keys: Mapping[str, tuple[Placement, ...]]

    def trajectories(self, camera: Camera, facing: Facing | None = None) -> Trajectories:
        """The same as curves and moments want it."""
        return Trajectories(self.times_us, self.points, self.sd_px, camera, facing)
