"""What can be told of a clip by looking at a few of its frames, in grey and small.

All functions take bursts: arrays (n, h, w) uint8 of the luma (16 black, 235 white) of frames that
follow each other. They are pure, and None stands for "can't be told from this picture".
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise, product
from typing import Final, Literal, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

Burst: TypeAlias = NDArray[np.uint8]
Edge = Literal["top", "bottom", "left", "right"]

_MOVED: Final = 20  # levels; well above the noise of a phone by day
_STRONG_EDGE: Final = 40  # levels
_FEWEST_POINTS: Final = 20
_NEIGHBOURS: Final = np.ones((9, 9), np.uint8)


def brightness(bursts: Sequence[Burst]) -> float:
    """Luma, 0 to 1, that a tenth of the picture exceeds: the lit part, whatever else is dark."""
    luma = np.percentile(np.concatenate([burst[:1] for burst in bursts]), 90)
    return float(np.clip((luma - 16) / 219, 0, 1))


@dataclass(frozen=True, slots=True)
class CameraMotion:
    """In parts of the picture's height, over the bursts at worst."""

    tremor: float
    """The rms way from a smooth path."""
    way: float
    """From where the camera looked to where it looked furthest from there."""


def camera_motion(bursts: Sequence[Burst], fps: float) -> CameraMotion:
    """How the picture as a whole moves.

    The picture's way is that of points all over it, tracked from frame to frame (Lucas and Kanade,
    1981), by the one motion that most of them share (RANSAC; Fischler and Bolles, 1981): a client
    who moves in front of a still room doesn't count.
    """
    height = bursts[0].shape[1]
    paths = [_path(burst) / height for burst in bursts if len(burst) >= 6]
    return CameraMotion(
        tremor=max((_tremor(path, fps) for path in paths), default=0.0),
        way=max((float(np.hypot(*path.T).max()) for path in paths), default=0.0),
    )


def _path(burst: Burst) -> NDArray[np.float64]:
    return np.cumsum([_step(before, after) for before, after in pairwise(burst)], axis=0)


def _tremor(path: NDArray[np.float64], fps: float) -> float:
    # A pan is smooth: what a parabola over half a second doesn't follow is trembling.
    length = max(6, round(fps / 2))
    pieces = [path[start : start + length] for start in range(0, len(path) - 4, length)]
    rest = np.concatenate([piece - _parabola(piece) for piece in pieces])
    return float(np.sqrt((rest**2).sum(axis=1).mean()))


def _step(before: Burst, after: Burst) -> NDArray[np.float64]:
    """(x, y) by which the picture's middle moved, in pixels; nothing if it can't be told."""
    still = np.zeros(2)
    points = _points_all_over(before)
    if len(points) < _FEWEST_POINTS:
        return still
    moved, found, _ = cv2.calcOpticalFlowPyrLK(before, after, points, np.empty_like(points))
    kept = np.asarray(found).ravel() > 0
    if kept.sum() < _FEWEST_POINTS:
        return still
    motion, shares = cv2.estimateAffinePartial2D(
        points[kept], moved[kept], method=cv2.RANSAC, ransacReprojThreshold=0.7
    )
    if motion is None or np.mean(shares) < 0.4:
        return still
    middle = np.array([before.shape[1] / 2, before.shape[0] / 2])
    return np.asarray(motion @ np.append(middle, 1) - middle)


def _points_all_over(frame: Burst) -> NDArray[np.float32]:
    """(n, 2) corners, the best few of each part of the picture, so that no object outweighs it."""
    points = []
    height, width = frame.shape
    for y, x in product(range(0, height, height // 6 + 1), range(0, width, width // 6 + 1)):
        part = frame[y : y + height // 6 + 1, x : x + width // 6 + 1]
        corners: object = cv2.goodFeaturesToTrack(part, 5, 0.1, 5)
        if corners is not None:
            points.append(
                np.asarray(corners, np.float32).reshape(-1, 2) + np.array([x, y], np.float32)
            )
    return np.concatenate(points) if points else np.zeros((0, 2), np.float32)


def _parabola(path: NDArray[np.float64]) -> NDArray[np.float64]:
    basis = np.vander(np.arange(len(path)), 3)
    return np.asarray(basis @ np.linalg.lstsq(basis, path, rcond=None)[0])


def edge_widths(bursts: Sequence[Burst]) -> tuple[float | None, float | None]:
    """Usual width of strong edges, in parts of the picture's longer side: what moves, what doesn't.

    An edge's width is its height in levels by its steepest slope.
    """
    moving, still = [], []
    for burst in bursts:
        for before, frame, after in zip(burst[:-2], burst[1:-1], burst[2:], strict=True):
            widths, is_edge = _edge_widths(frame)
            change = np.minimum(cv2.absdiff(frame, before), cv2.absdiff(frame, after))
            has_moved = cv2.dilate((change > _MOVED).astype(np.uint8), _NEIGHBOURS) > 0
            near = cv2.dilate(has_moved.astype(np.uint8), _NEIGHBOURS) > 0
            moving.append(widths[is_edge & has_moved])
            still.append(widths[is_edge & ~near])
    longer = max(bursts[0].shape[1:])
    return _usual(moving, longer), _usual(still, longer)


def _edge_widths(frame: Burst) -> tuple[NDArray[np.float32], NDArray[np.bool_]]:
    grey = frame.astype(np.float32)
    slope = np.hypot(cv2.Sobel(grey, cv2.CV_32F, 1, 0), cv2.Sobel(grey, cv2.CV_32F, 0, 1)) / 8
    steepest = cv2.dilate(slope, _NEIGHBOURS)
    height = cv2.morphologyEx(grey, cv2.MORPH_GRADIENT, _NEIGHBOURS)
    widths = np.asarray(height / np.maximum(steepest, 1e-3), np.float32)
    return widths, (height > _STRONG_EDGE) & (slope >= steepest)


def _usual(widths: list[NDArray[np.float32]], longer: int) -> float | None:
    every = np.concatenate(widths) if widths else np.zeros(0, np.float32)
    return float(np.median(every)) / longer if len(every) >= 200 else None


def roll_deg(bursts: Sequence[Burst]) -> float | None:
    """How far the camera is turned about its own axis, clockwise positive, in degrees.

    Told only by long straight edges of the room: those near the upright and those near the level
    must lean by the same angle. One family alone might be a ramp, or verticals that converge.
    """
    upright, level = [], []
    for burst in bursts:
        for angle, length in _long_lines(burst[0]):
            if abs(angle) <= 12:
                level.append((angle, length))
            elif abs(abs(angle) - 90) <= 12:
                upright.append((angle - 90 if angle > 0 else angle + 90, length))
    leans = _agreed(upright), _agreed(level)
    if leans[0] is None or leans[1] is None or abs(leans[0] - leans[1]) > 1.5:
        return None
    return (leans[0] + leans[1]) / 2


def _long_lines(frame: Burst) -> list[tuple[float, float]]:
    """(angle, length) of long straight edges; angle in degrees, -90 to 90, clockwise positive."""
    shorter = min(frame.shape)
    found: object = cv2.createLineSegmentDetector().detect(frame)[0]
    if found is None:
        return []
    x0, y0, x1, y1 = np.asarray(found, np.float64).reshape(-1, 4).T
    length = np.hypot(x1 - x0, y1 - y0)
    angle = np.degrees(np.arctan2(y1 - y0, x1 - x0))
    angle = (angle + 90) % 180 - 90
    keep = length > 0.15 * shorter
    return list(zip(angle[keep].tolist(), length[keep].tolist(), strict=True))


def _agreed(lines: list[tuple[float, float]]) -> float | None:
    """The angle that most of the length has, or None when there is too little or it differs."""
    if len(lines) < 4:
        return None
    angles, lengths = np.array(lines).T
    order = np.argsort(angles)
    middle = np.searchsorted(np.cumsum(lengths[order]), lengths.sum() / 2)
    angle = float(angles[order][middle])
    agreeing = lengths[np.abs(angles - angle) < 1].sum()
    return angle if agreeing > 0.6 * lengths.sum() else None


def edges_reached(bursts: Sequence[Burst]) -> tuple[Edge, ...]:
    """The picture's edges that something moving reaches in a good part of the frames.

    What moves is what differs from the usual picture of the whole clip; so this is told only of
    a camera that stands still.
    """
    frames = np.concatenate([burst[::6] for burst in bursts])
    if len(frames) < 5:
        return ()
    usual = np.median(frames, axis=0).astype(np.uint8)
    counts = Counter(edge for frame in frames for edge in _edges_touched(cv2.absdiff(frame, usual)))
    return tuple(edge for edge, count in counts.items() if count >= 0.25 * len(frames))


def _edges_touched(difference: cv2.typing.MatLike) -> list[Edge]:
    changed = np.asarray(difference > 1.5 * _MOVED, np.uint8)
    specks_gone = cv2.morphologyEx(changed, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8))
    moving = cv2.dilate(specks_gone, _NEIGHBOURS)
    if moving.mean() > 0.5:  # the camera or the light changed
        return []
    count, labels, areas, _ = cv2.connectedComponentsWithStats(moving)
    if count < 2:
        return []
    largest = 1 + int(np.argmax(areas[1:, cv2.CC_STAT_AREA]))
    if areas[largest, cv2.CC_STAT_AREA] < 0.005 * moving.size:
        return []
    body = labels == largest
    sides: dict[Edge, NDArray[np.bool_]] = {
        "top": body[0],
        "bottom": body[-1],
        "left": body[:, 0],
        "right": body[:, -1],
    }
    return [edge for edge, side in sides.items() if side.mean() > 0.03]
