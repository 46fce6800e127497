"""Destroying pixels: what is covered is replaced by so few numbers that nobody is in them.

A covered area is laid out in a few coarse cells. Each cell's mean is rounded to one of 16 steps,
and a smooth picture is drawn through the cells; of the pixels themselves nothing is kept. A face
takes up about two cells across, far less than the 7 x 10 that a familiar face needs to be known by
(Yip & Sinha 2002, 'Contribution of color to face recognition', Perception 31: from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any, Final, Literal, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.cover.areas import Ellipse, groups_of, hull_of, mask_of

Plane: TypeAlias = NDArray[np.uint8]
CoverStyle = Literal["blur", "solid"]

_CELLS: Final = 3
_MOST_CELLS: Final = 24
_STEP: Final = 16


def cover_pixels(
    plane: Plane, areas: Iterable[Ellipse], by_x: float, by_y: float, style: CoverStyle
) -> None:
    """Destroy the areas of a plane (H, W) or picture (H, W, C) in place.

    ``by_x`` and ``by_y`` are how many of its pixels lie on one of the picture as displayed. With
    ``solid`` a whole area gets one tone, else soft patches of a few tones.
    """
    for group in groups_of(area.scaled(by_x, by_y) for area in areas):
        box = _box_of(group, plane.shape)
        if box is not None:
            _cover(plane, group, box, style)


def _cover(
    plane: Plane, group: list[Ellipse], box: tuple[int, int, int, int], style: CoverStyle
) -> None:
    left, top, right, bottom = box
    part = plane[top:bottom, left:right]
    columns, rows = (1, 1) if style == "solid" else _cells(group, box)
    cells = np.asarray(cv2.resize(part, (columns, rows), interpolation=cv2.INTER_AREA), np.uint8)
    coarse = cells // _STEP * _STEP + _STEP // 2
    smooth = cv2.resize(coarse, (right - left, bottom - top), interpolation=cv2.INTER_LINEAR)
    inside = _filled(group, box)
    part[inside] = np.asarray(smooth, np.uint8).reshape(part.shape)[inside]


def _filled(group: list[Ellipse], box: tuple[int, int, int, int]) -> NDArray[np.bool_]:
    """The areas of a group and all that lies between them."""
    inside = mask_of(group, box)
    if len(group) > 1:
        between: NDArray[Any] = np.zeros(inside.shape, np.uint8)
        corners = np.round(hull_of(group) - np.array(box[:2], np.float32)).astype(np.int32)
        cv2.fillConvexPoly(between, corners, 1)
        inside |= between.astype(np.bool_)
    return inside


def _cells(group: list[Ellipse], box: tuple[int, int, int, int]) -> tuple[int, int]:
    """How many cells lie across and along: each a third of the group's largest area."""
    side = max(1.0, max(max(a.radius_x, a.radius_y) for a in group) * 2 / _CELLS)
    left, top, right, bottom = box
    return (
        min(_MOST_CELLS, max(1, math.floor((right - left) / side))),
        min(_MOST_CELLS, max(1, math.floor((bottom - top) / side))),
    )


def _box_of(group: list[Ellipse], shape: tuple[int, ...]) -> tuple[int, int, int, int] | None:
    """The whole pixels round a group, within the picture; None when it lies outside."""
    height, width = shape[:2]
    left = max(0, math.floor(min(a.x - a.radius_x for a in group)) - 1)
    top = max(0, math.floor(min(a.y - a.radius_y for a in group)) - 1)
    right = min(width, math.ceil(max(a.x + a.radius_x for a in group)) + 1)
    bottom = min(height, math.ceil(max(a.y + a.radius_y for a in group)) + 1)
    return (left, top, right, bottom) if left < right and top < bottom else None
