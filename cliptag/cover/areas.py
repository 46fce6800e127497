"""Areas to cover, as upright ellipses, and what it takes to be sure that nothing is left open."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Ellipse:
    """An upright ellipse: centre and radii in pixels of the picture as displayed."""

    x: float
    y: float
    radius_x: float
    radius_y: float

    def scaled(self, by_x: float, by_y: float) -> Ellipse:
        """The same on a picture that is that many times as wide and high."""
        return Ellipse(self.x * by_x, self.y * by_y, self.radius_x * by_x, self.radius_y * by_y)

    def touches(self, other: Ellipse) -> bool:
        """Whether the two boxes overlap."""
        return (
            abs(self.x - other.x) < self.radius_x + other.radius_x
            and abs(self.y - other.y) < self.radius_y + other.radius_y
        )

    @property
    def size(self) -> float:
        """The larger of its two diameters."""
        return 2 * max(self.radius_x, self.radius_y)


def between(before: Ellipse, after: Ellipse, part: float) -> Ellipse:
    """The ellipse that lies ``part`` (0 to 1) of the way, never smaller than the smaller one."""
    return Ellipse(
        before.x + part * (after.x - before.x),
        before.y + part * (after.y - before.y),
        before.radius_x + part * (after.radius_x - before.radius_x),
        before.radius_y + part * (after.radius_y - before.radius_y),
    )


def groups_of(areas: Iterable[Ellipse]) -> list[list[Ellipse]]:
    """The areas, with those together that overlap."""
    groups: list[list[Ellipse]] = []
    for area in areas:
        meeting = [group for group in groups if any(area.touches(other) for other in group)]
        groups = [group for group in groups if group not in meeting]
        groups.append([area, *(other for group in meeting for other in group)])
    return groups


def mask_of(areas: Iterable[Ellipse], box: tuple[int, int, int, int]) -> NDArray[np.bool_]:
    """(height, width) of a box (left, top, right, bottom): where a pixel is touched by an area.

    A pixel counts when any part of it lies inside, so the mask is never smaller than the areas.
    """
    left, top, right, bottom = box
    inside = np.zeros((bottom - top, right - left), np.bool_)
    for area in areas:
        # The point of each pixel that lies nearest to the middle: 0 where the middle is within.
        across = np.maximum(np.abs(np.arange(left, right) + 0.5 - area.x) - 0.5, 0) / area.radius_x
        along = np.maximum(np.abs(np.arange(top, bottom) + 0.5 - area.y) - 0.5, 0) / area.radius_y
        inside |= across[None, :] ** 2 + along[:, None] ** 2 <= 1.0
    return inside


def hull_of(areas: Iterable[Ellipse]) -> NDArray[np.float32]:
    """(N, 2) corners of a polygon round all of the areas together."""
    turns = np.linspace(0, 2 * np.pi, 36, endpoint=False)
    ring = np.column_stack([np.cos(turns), np.sin(turns)]) * 1.004  # outside the curve, not inside
    points = [np.array([a.x, a.y]) + ring * [a.radius_x, a.radius_y] for a in areas]
    return np.asarray(cv2.convexHull(np.concatenate(points).astype(np.float32))[:, 0], np.float32)
