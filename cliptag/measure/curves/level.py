"""Smoothed points in the plane of the movement: forward and up, however the camera is rolled."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from cliptag.measure.curves.smoothing import Smoothed, SmoothedPoint
from cliptag.measure.geometry import Estimate
from cliptag.measure.trajectories import Floats, Trajectories


@dataclass(frozen=True, slots=True, eq=False)
class LevelPoint:
    """A point (N,) in pixels: forward where the client faces, up along the true vertical.

    The origin is the picture's (0, 0); ``point`` keeps the noise.
    """

    forward: Floats
    up: Floats
    point: SmoothedPoint


class Level:
    """All points of a clip turned upright and to one facing.

    The roll is the camera's own; its uncertainty is kept in ``roll_sd_rad``. ``facing`` mirrored
    along with the picture changes no number.
    """

    def __init__(self, smoothed: Smoothed) -> None:
        self.smoothed = smoothed
        trajectories = smoothed.trajectories
        self._forward = trajectories.forward
        self._camera = trajectories.camera
        self.roll_sd_rad = math.radians(self._camera.upright_deg.sd)

    @property
    def trajectories(self) -> Trajectories:
        return self.smoothed.trajectories

    @property
    def scale(self) -> Estimate | None:
        """Pixels per cm, where the review has a scale."""
        return self._camera.px_per_cm

    @property
    def picture_height_px(self) -> int:
        return self._camera.picture_height_px

    def __contains__(self, name: object) -> bool:
        return name in self.smoothed.points

    def __getitem__(self, name: str) -> LevelPoint:
        point = self.smoothed.points[name]
        forward, up = self.turn(point.places)
        return LevelPoint(forward, up, point)

    def raw(self, name: str) -> tuple[Floats, Floats]:
        """Forward and up (N,) of a point as it was placed, before the filter."""
        return self.turn(self.trajectories.points[name])

    def turn(self, places: Floats) -> tuple[Floats, Floats]:
        """Pixels of the picture (N, 2) as forward and up, each (N,)."""
        roll = math.radians(self._camera.upright_deg.value)
        x, y = places[:, 0], places[:, 1]
        across = x * math.cos(roll) + y * math.sin(roll)
        up = x * math.sin(roll) - y * math.cos(roll)
        return np.asarray(self._forward * across), np.asarray(up)
