"""Where a label stands: near its mark, inside the picture, and not on what it speaks of."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final, TypeAlias

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSizeF
from PyQt6.QtGui import QPainterPath

from cliptag.paint.sketch import Anchor, Sketch

Points: TypeAlias = NDArray[np.float64]
"""Places as an N x 2 array of x, y in picture pixels."""

_TURNS_DEG: Final = np.array(
    [0, 22, -22, 45, -45, 70, -70, 90, -90, 120, -120, 150, -150, 180], dtype=np.float64
)
_REACHES: Final = np.array([0.0, 1.0, 2.5, 5.0, 8.0])
_CLEARANCE: Final = 0.5
# In steps of effort: a label goes that far out of its way rather than cover one.
_NEXT_ANCHOR: Final = 0.8
_COVERED_POINT: Final = 2.5
_COVERED_RECT: Final = 40.0
_MOST_POINTS: Final = 600


def place_label(
    size: QSizeF,
    anchors: Sequence[Anchor],
    taken: Points,
    room: QRectF,
    step: float,
    keep_clear: Sequence[QRectF],
) -> QRectF:
    """The best place for a label of a given size.

    Of places all round each anchor and at several distances, each pushed into ``room``, that one
    is taken which covers least of the points in ``taken`` and of ``keep_clear``; between equals
    the one nearest to what the anchors ask for. ``step`` is a distance that looks like one step.
    """
    half = _half(size)
    centres, effort = _candidates(half, anchors, step)
    inside, cost = _cost_of(centres, half, Surroundings(taken, room, step, keep_clear))
    x, y = inside[int(np.argmin(effort + cost))] - half
    return QRectF(float(x), float(y), size.width(), size.height())


def steady_offset(
    size: QSizeF, anchors: Sequence[Anchor], pictures: Sequence[tuple[Points, Surroundings]]
) -> tuple[int, QPointF]:
    """By which of its mark's points a label stands best all through a movement, and how far off.

    ``pictures`` tell where the points (P x 2) are on each of several pictures, and what lies there;
    ``anchors`` are those of the first one.
    """
    half = _half(size)
    centres, effort = _candidates(half, anchors, pictures[0][1].step)
    best: tuple[float, int, Points] | None = None
    for which, start in enumerate(pictures[0][0]):
        costs = [
            _cost_of(centres + (points[which] - start), half, surroundings)[1]
            for points, surroundings in pictures
        ]
        cost = effort + np.mean(costs, axis=0)
        at = int(np.argmin(cost))
        if best is None or cost[at] < best[0]:
            best = float(cost[at]), which, centres[at] - start
    assert best is not None
    return best[1], QPointF(*best[2].tolist())


def rect_at(size: QSizeF, centre: QPointF, room: QRectF) -> QRectF:
    """The rectangle round a centre, pushed into ``room``."""
    half = _half(size)
    inside = _inside(np.array([[centre.x(), centre.y()]]), half, room)[0] - half
    return QRectF(float(inside[0]), float(inside[1]), size.width(), size.height())


@dataclass(frozen=True, slots=True, eq=False)
class Surroundings:
    """What there is on a picture besides a label; the names are those of ``place_label``."""

    taken: Points
    room: QRectF
    step: float
    keep_clear: Sequence[QRectF]


def _cost_of(
    centres: Points, half: Points, around: Surroundings
) -> tuple[Points, NDArray[np.float64]]:
    """Centres (N x 2) pushed into the room, and (N,) what a label costs there."""
    inside = _inside(centres, half, around.room)
    cost: NDArray[np.float64] = np.hypot(*(inside - centres).T) / around.step
    reach = half + 0.8 * _CLEARANCE * around.step
    cost += _COVERED_POINT * _points_covered(inside, reach, around.taken)
    for rect in around.keep_clear:
        share = _covered_share(inside, half, rect)
        cost += np.where(share > 0.0, _COVERED_RECT * (1.0 + 4.0 * share), 0.0)
    return inside, cost


def _half(size: QSizeF) -> Points:
    return np.array([size.width() / 2.0, size.height() / 2.0])


def _inside(centres: Points, half: Points, room: QRectF) -> Points:
    low = np.array([room.left(), room.top()]) + half
    high = np.array([room.right(), room.bottom()]) - half
    return np.clip(centres, low, np.maximum(low, high))


def _candidates(half: Points, anchors: Sequence[Anchor], step: float) -> tuple[Points, Points]:
    """Centres of the places to try (N x 2), and how far each is from what was asked (N)."""
    turns = np.repeat(_TURNS_DEG, len(_REACHES))
    reaches = np.tile(_REACHES, len(_TURNS_DEG))
    centres, efforts = [], []
    for rank, anchor in enumerate(anchors):
        angle = np.radians(turns + anchor.towards_deg)
        direction = np.stack([np.cos(angle), np.sin(angle)], axis=1)
        support = np.abs(direction) @ half
        away = anchor.gap + (reaches + _CLEARANCE) * step + support
        centres.append(np.array([anchor.at.x(), anchor.at.y()]) + direction * away[:, None])
        efforts.append(np.abs(turns) / 60.0 + reaches + _NEXT_ANCHOR * rank)
    return np.concatenate(centres), np.concatenate(efforts)


def _points_covered(centres: Points, reach: Points, taken: Points) -> NDArray[np.float64]:
    """For each place, how many of the points lie within ``reach`` of it in x and in y."""
    near = (taken > centres.min(axis=0) - reach) & (taken < centres.max(axis=0) + reach)
    points = taken[near.all(axis=1)]
    covered = np.abs(points[:, 0] - centres[:, :1]) < reach[0]
    covered &= np.abs(points[:, 1] - centres[:, 1:]) < reach[1]
    counts: NDArray[np.float64] = covered.sum(axis=1).astype(np.float64)
    return counts


def _covered_share(centres: Points, half: Points, rect: QRectF) -> NDArray[np.float64]:
    """For each place, the share of the label that would lie on a rectangle."""
    low = np.maximum(centres - half, [rect.left(), rect.top()])
    high = np.minimum(centres + half, [rect.right(), rect.bottom()])
    area: NDArray[np.float64] = np.clip(high - low, 0.0, None).prod(axis=1)
    return area / max(4.0 * float(half.prod()), 1e-9)


def points_taken(sketch: Sketch, step: float) -> Points:
    """Points along a sketch's lines, about a step from each other: what a label should not hide."""
    paths = [part.path for part in sketch.traces] + [part.path for part in sketch.solids]
    found = [points for path in paths for points in _along(path, step)]
    points = np.concatenate(found) if found else np.empty((0, 2))
    return points[:: max(1, len(points) // _MOST_POINTS)]


def _along(path: QPainterPath, step: float) -> list[Points]:
    runs = []
    for polygon in path.toSubpathPolygons():
        corners = np.array([(polygon[i].x(), polygon[i].y()) for i in range(len(polygon))])
        lengths = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(corners, axis=0).T))])
        wanted = np.linspace(0.0, lengths[-1], 2 + min(_MOST_POINTS, int(lengths[-1] / step)))
        runs.append(
            np.stack([np.interp(wanted, lengths, corners[:, axis]) for axis in (0, 1)], axis=1)
        )
    return runs


def around(box: QRectF, gap: float) -> tuple[Anchor, ...]:
    """Anchors above, below, right and left of a box."""
    centre = box.center()
    return (
        Anchor(QPointF(centre.x(), box.top()), -90.0, gap),
        Anchor(QPointF(centre.x(), box.bottom()), 90.0, gap),
        Anchor(QPointF(box.right(), centre.y()), 0.0, gap),
        Anchor(QPointF(box.left(), centre.y()), 180.0, gap),
    )
