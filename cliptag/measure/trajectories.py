"""Points of the body through the frames of a clip: what curves and moments are made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray

from cliptag.errors import MeasureError
from cliptag.measure.camera import Camera
from cliptag.review import Facing

Floats: TypeAlias = NDArray[np.float64]
Times: TypeAlias = NDArray[np.int64]

BODY_CHAIN: Final = (
    "ear", "c7", "shoulder", "elbow", "wrist", "hip", "knee", "ankle", "heel", "toe",
)  # fmt: skip
"""The usual points, from the head down; any subset will do."""

BACK_POINTS: Final = ("s2", "l4", "l1", "t8", "t4", "c7")
"""Skin over the spine, from the pelvis up."""


@dataclass(frozen=True, slots=True, eq=False)
class Trajectories:
    """Where each point is on each frame.

    ``times_us`` (N,): when each frame is shown, increasing, on the clip's own clock.
    ``points``: name to (N, 2) pixels of the picture as displayed, x right and y down, NaN where
    the place isn't known. Names of the usual points are in ``BODY_CHAIN`` and ``BACK_POINTS``, and
    ``eye``, ``gaze_target`` and ``load``; a name may carry ``left_`` or ``right_`` in front, and
    any other name is free.
    ``sd_px``: name to (N,) standard deviation of that placement along each axis, scatter from
    frame to frame and slow wandering together.

    Arrays are copied and made read-only. Raises MeasureError for arrays that don't fit together.
    """

    times_us: Times
    points: Mapping[str, Floats]
    sd_px: Mapping[str, Floats]
    camera: Camera
    facing: Facing | None = None

    def __post_init__(self) -> None:
        times = _times(self.times_us)
        if set(self.points) != set(self.sd_px):
            lone = sorted(set(self.points) ^ set(self.sd_px))[0]
            raise MeasureError(
                f"The point {lone} has a place or an uncertainty, but not both: give both."
            )
        points = {name: _places(name, p, len(times)) for name, p in self.points.items()}
        spreads = {name: _spread(name, sd, points[name]) for name, sd in self.sd_px.items()}
        object.__setattr__(self, "times_us", times)
        object.__setattr__(self, "points", MappingProxyType(points))
        object.__setattr__(self, "sd_px", MappingProxyType(spreads))

    def __len__(self) -> int:
        return len(self.times_us)

    @property
    def rate_hz(self) -> float:
        """Frames a second, from the median interval; phone clips vary around it."""
        if len(self) < 2:
            raise MeasureError("One frame makes no movement: curves need a clip with many frames.")
        return 1e6 / float(np.median(np.diff(self.times_us)))

    @property
    def forward(self) -> int:
        """1 when the client faces right, -1 when left.

        Where the review doesn't say, the toe tells: it lies ahead of the heel or the ankle. Raises
        MeasureError when there is none.
        """
        if self.facing is not None:
            return 1 if self.facing == "right" else -1
        for behind, ahead in (("heel", "toe"), ("ankle", "toe"), ("ear", "eye")):
            if behind in self.points and ahead in self.points:
                gap = self.points[ahead][:, 0] - self.points[behind][:, 0]
                if np.isfinite(gap).any():
                    return 1 if float(np.nanmedian(gap)) >= 0 else -1
        raise MeasureError(
            "It isn't known which way the client faces: set it in the review, or place heel and "
            "toe."
        )


def _times(given: Times) -> Times:
    times = np.array(given, np.int64)
    if times.ndim != 1 or len(times) == 0:
        raise MeasureError("The frames' times must be one row of whole microseconds.")
    if (np.diff(times) <= 0).any():
        at = int(np.flatnonzero(np.diff(times) <= 0)[0]) + 1
        raise MeasureError(
            f"The frames' times must increase, but frame {at} is shown no later than the one "
            "before it."
        )
    times.flags.writeable = False
    return times


def _places(name: str, given: Floats, count: int) -> Floats:
    places = np.array(given, np.float64)
    if places.shape != (count, 2):
        raise MeasureError(
            f"The point {name} needs one x and one y for each of the {count} frames, but has the "
            f"shape {places.shape}."
        )
    if np.isinf(places).any():
        raise MeasureError(f"The point {name} lies infinitely far away: use NaN where unknown.")
    places[np.isnan(places).any(axis=1)] = np.nan
    places.flags.writeable = False
    return places


def _spread(name: str, given: Floats, places: Floats) -> Floats:
    spread = np.array(given, np.float64)
    if spread.shape != (len(places),):
        raise MeasureError(
            f"The point {name} needs one standard deviation for each of the {len(places)} frames, "
            f"but has the shape {spread.shape}."
        )
    known = ~np.isnan(places[:, 0])
    if not (np.isfinite(spread[known]) & (spread[known] >= 0)).all():
        raise MeasureError(f"The standard deviation of the point {name} must be 0 or more pixels.")
    spread.flags.writeable = False
    return spread
