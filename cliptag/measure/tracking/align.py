"""Lays small patches over a picture: shift, turn and size to a fraction of a pixel, many at once.

Inverse compositional alignment after Baker and Matthews, "Lucas-Kanade 20 years on" (IJCV 2004),
of a similarity warp, with the pixels weighted by a Gaussian window and by their residuals.
Coordinates here count from the centre of the top-left pixel, as OpenCV's do.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, TypeAlias

import cv2
import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Singles: TypeAlias = NDArray[np.float32]

_ITERATIONS: Final = 8
_STILL_PX: Final = 0.02
_ROBUST: Final = 0.6
"""Residual, in standard deviations of the patch's grey, at which a pixel's weight has halved."""
_LEAST_CONTRAST: Final = 1.0
_TURN_SD: Final = 0.06
_SIZE_SD: Final = 0.03
_NOISE: Final = 0.15
"""Usual residual of a good match, in standard deviations of the patch's grey."""
_CORRELATED: Final = 4.0
"""Neighbouring pixels of compressed and smoothed video repeat each other: so many tell as one."""


@dataclass(frozen=True, slots=True, eq=False)
class Window:
    """Where a patch is sampled: ``grid`` (n, 2) offsets in pixels, ``weight`` (n,)."""

    radius: int
    grid: Singles
    weight: Singles


def window_of(radius: int) -> Window:
    """A square of 2 ``radius`` + 1 pixels that counts less towards its edge."""
    side = np.arange(-radius, radius + 1, dtype=np.float32)
    grid = np.stack(np.meshgrid(side, side), axis=-1).reshape(-1, 2)
    weight = np.exp(-0.5 * (grid**2).sum(axis=1) / (0.5 * radius) ** 2)
    return Window(radius, grid, weight.astype(np.float32))


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """Where patches lie: ``centre`` (P, 2) px, ``turn`` (P,) rad, ``size`` (P,) log of scale."""

    centre: Floats
    turn: Floats
    size: Floats

    def of(self, which: NDArray[np.intp] | NDArray[np.bool_]) -> Pose:
        return Pose(self.centre[which], self.turn[which], self.size[which])

    def put(self, rows: NDArray[np.intp], other: Pose) -> None:
        """Replace some by those of another."""
        self.centre[rows], self.turn[rows], self.size[rows] = other.centre, other.turn, other.size


@dataclass(frozen=True, slots=True, eq=False)
class Match:
    """``likeness`` (P,): weighted normalised cross-correlation; ``var`` (P,) px², worst axis."""

    pose: Pose
    likeness: Floats
    var: Floats

    def of(self, which: NDArray[np.intp] | NDArray[np.bool_]) -> Match:
        return Match(self.pose.of(which), self.likeness[which], self.var[which])

    def put(self, rows: NDArray[np.intp], other: Match) -> None:
        """Replace some by those of another."""
        self.pose.put(rows, other.pose)
        self.likeness[rows], self.var[rows] = other.likeness, other.var


def sample(picture: Singles, pose: Pose, window: Window) -> Singles:
    """(P, n) grey of the patches, interpolated bilinearly."""
    scale = np.exp(pose.size)
    cos, sin = scale * np.cos(pose.turn), scale * np.sin(pose.turn)
    gx, gy = window.grid.T
    x = pose.centre[:, :1] + cos[:, None] * gx - sin[:, None] * gy
    y = pose.centre[:, 1:] + sin[:, None] * gx + cos[:, None] * gy
    found = cv2.remap(
        picture,
        x.astype(np.float32),
        y.astype(np.float32),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return np.asarray(found, np.float32)


def standardised(patches: Singles, window: Window) -> Singles:
    """Weighted mean 0 and standard deviation 1, so that light does not matter."""
    weight = window.weight / window.weight.sum()
    centred = patches - (patches @ weight)[:, None]
    spread = np.sqrt((centred**2) @ weight)
    return np.asarray(centred / np.maximum(spread, _LEAST_CONTRAST)[:, None], np.float32)


def slopes(patches: Singles, window: Window) -> Singles:
    """(P, n, 4): how patches change with a shift right, a shift down, a turn and a growth."""
    side = 2 * window.radius + 1
    square = patches.reshape(-1, side, side)
    right = np.asarray(np.gradient(square, axis=2)).reshape(len(patches), -1)
    down = np.asarray(np.gradient(square, axis=1)).reshape(len(patches), -1)
    gx, gy = window.grid.T
    return np.stack([right, down, down * gx - right * gy, right * gx + down * gy], axis=-1)


def align(
    picture: Singles,
    start: Pose,
    patches: Singles,
    patch_slopes: Singles,
    window: Window,
    start_var: Floats,
) -> Match:
    """Lay ``patches`` (P, n), standardised, over the picture near ``start``.

    ``start_var`` (P,) px²: how far the start may be off; it decides along edges, where the
    patches tell nothing.
    """
    pose = Pose(start.centre.copy(), start.turn.copy(), start.size.copy())
    noise = _CORRELATED * _NOISE**2
    turn_hold, size_hold = noise / _TURN_SD**2, noise / _SIZE_SD**2
    hold = np.zeros((len(patches), 4, 4))
    hold[:, 0, 0] = hold[:, 1, 1] = noise / start_var
    hold[:, 2, 2], hold[:, 3, 3] = turn_hold, size_hold
    moving = np.arange(len(patches))
    normal = np.zeros_like(hold)
    for _ in range(_ITERATIONS):
        there, slope = pose.of(moving), patch_slopes[moving]
        residual = standardised(sample(picture, there, window), window) - patches[moving]
        weighted = slope * (window.weight / (1.0 + (residual / _ROBUST) ** 2))[..., None]
        normal[moving] = weighted.transpose(0, 2, 1) @ slope + hold[moving]
        pull = (weighted.transpose(0, 2, 1) @ residual[..., None])[..., 0]
        pull += _held(there, start.of(moving), hold[moving])
        step = np.linalg.solve(normal[moving], pull[..., None])[..., 0]
        step = np.clip(step, (-6, -6, -0.2, -0.1), (6, 6, 0.2, 0.1))
        pose.put(moving, _undone(there, step))
        # Each stops by itself, so that what is found doesn't depend on the company.
        moving = moving[np.abs(step[:, :2]).max(axis=1) >= _STILL_PX]
        if not len(moving):
            break
    now = standardised(sample(picture, pose, window), window)
    share = window.weight / window.weight.sum()
    likeness = (now * patches) @ share
    spread = np.maximum(_NOISE**2, ((now - patches) ** 2) @ share)
    shift = np.linalg.inv(normal)[:, :2, :2]
    var = _CORRELATED * spread * np.linalg.eigvalsh(shift)[:, 1]
    return Match(pose, likeness.astype(np.float64), np.asarray(var, np.float64))


def _held(pose: Pose, start: Pose, hold: Floats) -> Floats:
    """The pull back to the start, in the patches' own axes."""
    away = pose.centre - start.centre
    cos, sin, scale = np.cos(pose.turn), np.sin(pose.turn), np.exp(pose.size)
    own = np.stack(
        [
            (cos * away[:, 0] + sin * away[:, 1]) / scale,
            (cos * away[:, 1] - sin * away[:, 0]) / scale,
            pose.turn - start.turn,
            pose.size - start.size,
        ],
        axis=1,
    )
    return np.asarray(np.einsum("pii,pi->pi", hold, own))


def _undone(pose: Pose, step: Floats) -> Pose:
    turn, size = pose.turn - step[:, 2], pose.size - step[:, 3]
    cos, sin, scale = np.cos(turn), np.sin(turn), np.exp(size)
    dx, dy = step[:, 0], step[:, 1]
    shift = np.stack([scale * (cos * dx - sin * dy), scale * (sin * dx + cos * dy)], axis=1)
    return Pose(pose.centre - shift, turn, size)
