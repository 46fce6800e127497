"""Where a label stands: near its mark, inside the picture, and not on what it speaks of."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSizeF
from PyQt6.QtGui import QPainterPath

from cliptag.paint.sketch import Anchor, Sketch

_TURNS_DEG: Final = np.array(
    [0, 30, -30, 60, -60, 90, -90, 120, -120, 150, -150, 180], dtype=np.float64
)
_REACHES: Final = np.array([0.0, 1.0, 2.5, 5.0])
_SAMPLES: Final = 160


def place_label(
    size: QSizeF,
    anchor: Anchor,
    sketch: Sketch,
    picture: QRectF,
    step: float,
    keep_clear: Sequence[QRectF] = (),
) -> QRectF:
    """The best place for a label of a given size.

    Of places all round the anchor and at several distances, each pushed into the picture, that
    one is taken which covers least of the mark and of ``keep_clear``; between equals the one
    nearest to where the anchor asks for it. ``step`` is a distance in pixels that looks like one
    step away.
    """
    centres, effort = _candidates(size, anchor, step)
    half = np.array([size.width() / 2.0, size.height() / 2.0])
    low = np.array([picture.left(), picture.top()]) + half
    high = np.array([picture.right(), picture.bottom()]) - half
    inside = np.clip(centres, low, np.maximum(low, high))
    moved = np.hypot(*(inside - centres).T)
    cost = effort + moved / step + 40.0 * _share_covered(inside, half, sketch, step / 2.0)
    for rect in keep_clear:
        cost += 20.0 * _overlap_share(inside, half, rect)
    best = inside[int(np.argmin(cost))]
    return QRectF(float(best[0] - half[0]), float(best[1] - half[1]), size.width(), size.height())


def _candidates(
    size: QSizeF, anchor: Anchor, step: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Centres of the places to try (N x 2), and how far each is from what was asked (N)."""
    turns = np.radians(np.repeat(_TURNS_DEG + anchor.towards_deg, len(_REACHES)))
    reaches = np.tile(_REACHES, len(_TURNS_DEG)) * step + anchor.gap
    direction = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    support = np.abs(direction[:, 0]) * size.width() / 2 + np.abs(direction[:, 1]) * (
        size.height() / 2
    )
    centres = np.array([anchor.at.x(), anchor.at.y()]) + direction * (reaches + support)[:, None]
    effort = np.repeat(np.abs(_TURNS_DEG) / 60.0, len(_REACHES)) + np.tile(
        _REACHES, len(_TURNS_DEG)
    )
    return centres, effort


def _share_covered(
    centres: NDArray[np.float64], half: NDArray[np.float64], sketch: Sketch, near: float
) -> NDArray[np.float64]:
    """For each place, the share of the mark's sampled points that the label would cover."""
    points = _sampled(sketch)
    if not len(points):
        return np.zeros(len(centres))
    distance = np.abs(points[None, :, :] - centres[:, None, :]) - (half + near)
    covered: NDArray[np.float64] = (distance < 0).all(axis=2).mean(axis=1)
    return covered


def _overlap_share(
    centres: NDArray[np.float64], half: NDArray[np.float64], rect: QRectF
) -> NDArray[np.float64]:
    low = np.maximum(centres - half, [rect.left(), rect.top()])
    high = np.minimum(centres + half, [rect.right(), rect.bottom()])
    area: NDArray[np.float64] = np.clip(high - low, 0.0, None).prod(axis=1)
    return area / max(4.0 * float(half.prod()), 1e-9)


def _sampled(sketch: Sketch) -> NDArray[np.float64]:
    paths = [part.path for part in sketch.traces] + [part.path for part in sketch.solids]
    each = max(8, _SAMPLES // max(1, len(paths)))
    points = [point for path in paths for point in _along(path, each)]
    return np.array(points, dtype=np.float64).reshape(-1, 2)


def _along(path: QPainterPath, count: int) -> list[tuple[float, float]]:
    """About ``count`` points along a path: on its straight pieces, and its curves' own points."""
    elements = path.elementCount()
    corners = [path.elementAt(i) for i in range(0, elements, max(1, elements // count))]
    found: list[tuple[float, float]] = []
    pieces = max(1, count // max(1, len(corners)))
    for before, after in itertools.pairwise(corners):
        if after.isMoveTo():
            continue
        for k in range(pieces):
            part = k / pieces
            found.append(
                (before.x + part * (after.x - before.x), before.y + part * (after.y - before.y))
            )
    if corners:
        found.append((corners[-1].x, corners[-1].y))
    return found


def direction_deg(start: QPointF, end: QPointF) -> float:
    """The direction from one point to another, in degrees clockwise from the right."""
    return math.degrees(math.atan2(end.y() - start.y(), end.x() - start.x()))
