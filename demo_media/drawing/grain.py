"""Repeatable random surfaces: smooth noise, wood, cloth threads. Nothing here knows of Qt."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

Plane = NDArray[np.float32]
"""A height x width surface of about -1 to 1."""


def smooth_noise(shape: tuple[int, int], cell: tuple[float, float], seed: int) -> Plane:
    """Noise whose hills are about ``cell`` = (rows, columns) pixels wide; mean 0, deviation 1."""
    random = np.random.default_rng(seed)
    small = tuple(max(2, int(n / c) + 2) for n, c in zip(shape, cell, strict=True))
    field = random.standard_normal(small).astype(np.float32)
    big = cv2.resize(field, (shape[1], shape[0]), interpolation=cv2.INTER_CUBIC)
    return np.asarray((big - big.mean()) / (big.std() + 1e-6), np.float32)


def clouds(shape: tuple[int, int], largest: float, seed: int, octaves: int = 4) -> Plane:
    """Noise of several sizes, each half as large and half as strong as the one before."""
    total = np.zeros(shape, np.float32)
    for i in range(octaves):
        size = max(1.0, largest / 2**i)
        total += smooth_noise(shape, (size, size), seed + i) * np.float32(0.5**i)
    return np.asarray(total / total.std(), np.float32)


def wood(shape: tuple[int, int], ring: float, seed: int) -> Plane:
    """Grain that runs along the columns, with rings about ``ring`` pixels apart."""
    rows, columns = shape
    drift = smooth_noise(shape, (rows / 2 + 1, columns / 3 + 1), seed) * 1.4
    across = np.arange(rows, dtype=np.float32)[:, None] / ring
    rings = np.sin(2 * np.pi * (across + drift))
    fibre = smooth_noise(shape, (1.5, 60.0), seed + 1)
    return np.asarray(0.6 * rings + 0.5 * fibre, np.float32)


def twill(shape: tuple[int, int], thread: float, seed: int) -> Plane:
    """Diagonal weave with worn patches."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    weave = np.sin(2 * np.pi * (x + 0.6 * y) / thread)
    slub = smooth_noise(shape, (2.0, 9.0), seed)
    worn = clouds(shape, 60.0, seed + 7)
    return np.asarray(0.35 * weave + 0.5 * slub + 0.9 * worn, np.float32)


def seamless(plane: Plane) -> Plane:
    """The surface and its mirror images, so that copies can be laid side by side."""
    wide = np.hstack([plane, plane[:, ::-1]])
    return np.vstack([wide, wide[::-1]])


def tinted(colour: tuple[float, float, float], plane: Plane, depth: float) -> NDArray[np.float32]:
    """RGB picture of ``colour`` (0-255) made lighter and darker by ``depth`` times the surface."""
    base = np.array(colour, np.float32)
    return base * (1.0 + depth * plane[..., None])
