"""Blending a painted overlay into the 4:2:0 planes of a picture, without leaving YUV.

Pictures are 8-bit BT.709 in limited range, with U and V at half width and height (ITU-R BT.709-6,
item 3: luma 16 to 235, colour difference 128 +- 112).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Plane = NDArray[np.uint8]

_KR: Final = 0.2126
_KB: Final = 0.0722
_LUMA: Final = np.array([_KR, 1 - _KR - _KB, _KB], np.float32)
_TILE: Final = 64


class Planes:
    """One writable picture in one buffer: all of Y, then U, then V, without padding.

    ``width`` and ``height`` are even; ``y`` is (height, width), ``u`` and ``v`` are half of that.
    """

    def __init__(self, width: int, height: int) -> None:
        if width % 2 or height % 2 or width <= 0 or height <= 0:
            raise ValueError(f"4:2:0 planes need even sizes above 0, not {width} x {height}")
        self.width = width
        self.height = height
        luma, chroma = width * height, width * height // 4
        self.packed: Plane = np.empty(luma + 2 * chroma, np.uint8)
        half = (height // 2, width // 2)
        self.y: Plane = self.packed[:luma].reshape(height, width)
        self.u: Plane = self.packed[luma : luma + chroma].reshape(half)
        self.v: Plane = self.packed[luma + chroma :].reshape(half)

    def load(self, y: Plane, u: Plane, v: Plane) -> None:
        """Copy a picture of the same size in."""
        self.y[...] = y
        self.u[...] = u
        self.v[...] = v


@dataclass(frozen=True, slots=True, eq=False)
class _Layer:
    keep: NDArray[np.uint16]  # 255 - alpha
    add: NDArray[np.uint16]  # 255 times what the overlay adds, and 128 for rounding


@dataclass(frozen=True, slots=True, eq=False)
class PlanarPatch:
    """An overlay's box in YUV, premultiplied; its corner (``left``, ``top``) is at even pixels."""

    left: int
    top: int
    y: _Layer
    u: _Layer
    v: _Layer


def patches_from_rgba(rgba: NDArray[np.uint8], left: int, top: int) -> tuple[PlanarPatch, ...]:
    """Turn a painted box into what ``blend_into`` takes, without its transparent parts.

    ``rgba`` is (height, width, 4) with colours premultiplied by alpha, both sizes even; ``left``
    and ``top``, even too, are where its corner lies on the picture. Each chroma sample covers 2 x 2
    pixels and gets their mean alpha and mean premultiplied colour.
    """
    if left % 2 or top % 2 or rgba.shape[0] % 2 or rgba.shape[1] % 2:
        raise ValueError("a patch needs an even place and even sizes")
    return tuple(
        _patch(rgba[rows, columns], left + columns.start, top + rows.start)
        for rows, columns in _painted_parts(rgba[..., 3])
    )


def blend_into(planes: Planes, patch: PlanarPatch) -> None:
    """Lay a patch over a picture, in place; every sample is rounded once, to the nearest."""
    _blend(planes.y, patch.y, patch.left, patch.top)
    _blend(planes.u, patch.u, patch.left // 2, patch.top // 2)
    _blend(planes.v, patch.v, patch.left // 2, patch.top // 2)


def _painted_parts(alpha: NDArray[np.uint8]) -> list[tuple[slice, slice]]:
    """Rectangles that hold all that is not transparent and don't overlap.

    They are made of tiles: runs of painted ones side by side, joined with the run above where
    both are equally wide.
    """
    height, width = alpha.shape
    across, down = np.arange(0, width, _TILE), np.arange(0, height, _TILE)
    highest = np.maximum.reduceat(np.maximum.reduceat(alpha, down, axis=0), across, axis=1)
    parts: dict[tuple[int, int], slice] = {}  # parts that still grow downwards, by their columns
    finished: list[tuple[slice, slice]] = []
    for row, painted in zip(down.tolist(), highest > 0, strict=True):
        runs = _runs(painted)
        finished += [(rows, slice(*run)) for run, rows in parts.items() if run not in runs]
        stop = min(row + _TILE, height)
        parts = {run: slice(parts[run].start if run in parts else row, stop) for run in runs}
    finished += [(rows, slice(*run)) for run, rows in parts.items()]
    return [(rows, slice(run.start, min(run.stop, width))) for rows, run in finished]


def _runs(painted: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """First and last + 1 column of each run of painted tiles."""
    edges = np.flatnonzero(np.diff(np.pad(painted, 1).astype(np.int8)))
    return [(int(a) * _TILE, int(b) * _TILE) for a, b in edges.reshape(-1, 2)]


def _patch(rgba: NDArray[np.uint8], left: int, top: int) -> PlanarPatch:
    height, width = rgba.shape[:2]
    y = _layer(height, width)
    u, v = (_layer(height // 2, width // 2) for _ in range(2))
    for row in range(0, height, _TILE):  # by strips: a 4K card needs no 4K of floats
        strip = rgba[row : row + _TILE]
        full, half = slice(row, row + len(strip)), slice(row // 2, (row + len(strip)) // 2)
        alpha = strip[..., 3].astype(np.float32)
        rgb = strip[..., :3].astype(np.float32)
        luma = rgb @ _LUMA
        y.keep[full] = 255 - strip[..., 3]
        y.add[full] = np.rint(16 * alpha + 219 * luma) + 128
        mean_alpha = np.rint(_mean_of_blocks(alpha))
        for layer, colour, k in ((u, rgb[..., 2], _KB), (v, rgb[..., 0], _KR)):
            difference = _mean_of_blocks(colour - luma) / (1 - k)
            layer.keep[half] = 255 - mean_alpha
            layer.add[half] = np.rint(np.maximum(128 * mean_alpha + 112 * difference, 0)) + 128
    return PlanarPatch(left, top, y, u, v)


def _layer(height: int, width: int) -> _Layer:
    return _Layer(np.empty((height, width), np.uint16), np.empty((height, width), np.uint16))


def _mean_of_blocks(plane: NDArray[np.float32]) -> NDArray[np.float32]:
    # Four sums of whole planes: several times as quick as the mean over two axes.
    total: NDArray[np.float32] = plane[::2, ::2] + plane[::2, 1::2]
    total += plane[1::2, ::2]
    total += plane[1::2, 1::2]
    total *= np.float32(0.25)
    return total


def _blend(plane: Plane, layer: _Layer, left: int, top: int) -> None:
    height, width = layer.keep.shape
    box = plane[top : top + height, left : left + width]
    # With t = 255 * sample + 128 the rounded division by 255 is (t + t // 256) // 256, exactly,
    # and no sum here goes beyond 16 bits.
    total = box * layer.keep
    total += layer.add
    total += total >> 8
    total >>= 8
    box[...] = total
