"""What the client wears, as pictures to lay on tubes, and her colours.

Columns of a cloth run along the limb from its near end, rows from the back to the front.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtGui import QImage

from drawing.canvas import image_of
from drawing.grain import clouds, smooth_noise, tinted, twill
from drawing.tube import CLOTH_PX_PER_CM

SKIN = (205.0, 152.0, 120.0)
HAIR = (58.0, 39.0, 30.0)
LEATHER = (104.0, 62.0, 38.0)
SHIRT = (92.0, 122.0, 146.0)
TROUSERS = (74.0, 72.0, 78.0)
APRON = (186.0, 140.0, 84.0)
TAPE = (222.0, 246.0, 84.0)

Picture = NDArray[np.float32]


@dataclass(frozen=True)
class Wardrobe:
    """Cloths by limb; each starts at the place along its tube given in ``figure``."""

    trunk: QImage
    leg: QImage
    arm: QImage
    neck: QImage


def sew() -> Wardrobe:
    """All cloths, the same on every run."""
    return Wardrobe(image_of(_trunk()), image_of(_leg()), image_of(_arm()), image_of(_neck()))


def _shape(length_cm: float, width_cm: float) -> tuple[int, int]:
    return int(width_cm * CLOTH_PX_PER_CM), int(length_cm * CLOTH_PX_PER_CM)


def _check(shape: tuple[int, int], seed: int) -> Picture:
    """A brushed cotton check: bands along and across, fine pale lines, worn patches."""
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32) / CLOTH_PX_PER_CM
    band = 0.5 * ((x % 4.4 < 2.2).astype(np.float32) + (y % 4.4 < 2.2))
    line = np.maximum((x % 4.4 - 1.1) ** 2 < 0.016, (y % 4.4 - 1.1) ** 2 < 0.016)
    cloth = tinted(SHIRT, 0.30 * (0.5 - band) + 0.05 * twill(shape, 3.0, seed), 1.0)
    cloth += line[..., None] * np.array([44, 40, 30], np.float32)
    return np.asarray(cloth + 5 * clouds(shape, 50, seed + 3)[..., None], np.float32)


def _denim(shape: tuple[int, int], seed: int) -> Picture:
    return tinted(TROUSERS, 0.075 * twill(shape, 4.0, seed), 1.0)


def _canvas(shape: tuple[int, int], seed: int) -> Picture:
    """Apron cloth with rubbed-in varnish and rosin."""
    cloth = tinted(APRON, 0.05 * twill(shape, 3.4, seed), 1.0)
    spots = np.clip(smooth_noise(shape, (26, 30), seed + 5) - 1.35, 0, 0.8)
    return np.asarray(cloth * (1 - 0.34 * spots[..., None]), np.float32)


def _fold(picture: Picture, place: NDArray[np.float32], width: float, depth: float) -> None:
    """Darken a soft crease (and lighten its lip) where ``place`` (cm) is near 0."""
    crease = depth * np.exp(-((place / width) ** 2))
    lip = 0.6 * depth * np.exp(-(((place + 1.3 * width) / width) ** 2))
    picture *= (1 - crease + lip)[..., None]


def _step(inside: NDArray[np.float32]) -> NDArray[np.float32]:
    """0 outside to 1 inside an edge that runs where ``inside`` (cm) is 0."""
    return np.asarray(np.clip(inside * CLOTH_PX_PER_CM + 0.5, 0, 1), np.float32)


def _band(inside: NDArray[np.float32], at: float, width: float) -> NDArray[np.float32]:
    """A stitched line ``at`` cm from an edge."""
    return np.asarray(np.exp(-(((inside - at) / (width / 2)) ** 2)), np.float32)


def _over(below: Picture, above: Picture, share: NDArray[np.float32]) -> Picture:
    return np.asarray(below + share[..., None] * (above - below), np.float32)


def _leg() -> Picture:
    """From 10 cm above the hip joint to the hem; the apron's skirt lies over the front."""
    shape = _shape(90.0, 17.0)
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    along, across = x / CLOTH_PX_PER_CM - 10.0, y / shape[0]
    cloth = _denim(shape, 21)
    knee = np.exp(-(((along - 41) / 9) ** 2) - (((across - 0.85) / 0.3) ** 2))
    cloth *= (1 + 0.16 * knee)[..., None]
    for at, slant, depth in ((37, 3, 0.1), (43.5, -3, 0.12), (70, 2, 0.1), (74.5, -2, 0.13)):
        _fold(cloth, along - at - slant * (across - 0.4), 0.6, depth)
    seam = 0.42 + 0.012 * np.sin(along / 7)
    cloth *= (1 - 0.22 * (np.abs(across - seam) < 0.006))[..., None]
    inside = np.minimum((across - 0.60) * 17 - 0.04 * np.maximum(along, 0), 33.0 - along)
    inside = np.minimum(inside, along + 1.0)
    apron = _canvas(shape, 35)
    apron *= (1 - 0.25 * _band(inside, 0.45, 0.16))[..., None]
    _fold(apron, along - 16 - 5 * across, 1.0, 0.08)
    cloth *= (1 - 0.3 * np.exp(np.minimum(inside, 0) / 0.7))[..., None]
    return _over(cloth, apron, _step(inside))


def _trunk() -> Picture:
    """From 9 cm below the hip joint to the collar: trousers, shirt, apron with bib and ties."""
    shape = _shape(76.0, 22.0)
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    along, across = x / CLOTH_PX_PER_CM - 9.0, y / shape[0]
    cloth = _check(shape, 51)
    for at, slant, depth in ((21, 5, 0.10), (25, -4, 0.12), (29, 4, 0.08), (44, 7, 0.08)):
        _fold(cloth, along - at - slant * (across - 0.4), 0.8, depth)
    waist = 15.5
    denim = _denim(shape, 61)
    cloth = np.where((along < waist)[..., None], denim, cloth)
    belt = (along > waist - 2.6) & (along < waist)
    cloth *= (1 - 0.30 * belt)[..., None]
    edge = 0.60 + 0.10 * np.clip((along - 18) / 26, 0, 1)
    inside = np.minimum(np.minimum((across - edge) * 22, 46.0 - along), along + 0.5)
    apron = _canvas(shape, 71)
    apron *= (1 - 0.25 * _band(inside, 0.5, 0.16))[..., None]
    _fold(apron, along - 20 - 4 * across, 0.9, 0.10)
    cloth *= (1 - 0.28 * np.exp(np.minimum(inside, 0) / 0.7))[..., None]
    tie = 0.9 - np.abs(along - 19.5 - 2.0 * (0.6 - across))
    strap = np.minimum(0.8 - 22 * np.abs(across - 0.70 + 0.022 * (along - 46)), along - 45.6)
    bands = np.maximum(tie, strap)
    cloth *= (1 - 0.25 * np.exp(np.minimum(bands, 0) / 0.3))[..., None]
    cloth = _over(cloth, apron * 0.93, _step(bands))
    return _over(cloth, apron, _step(inside))


def _arm() -> Picture:
    """From 6.5 cm above the shoulder joint: shirt sleeve, rolled below the elbow, then skin."""
    shape = _shape(66.0, 11.0)
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(np.float32)
    along, across = x / CLOTH_PX_PER_CM - 6.5, y / shape[0]
    cloth = _check(shape, 81)
    for at, slant, depth in ((5, 5, 0.08), (24, -3, 0.10), (28.5, 3, 0.14), (32.5, -3, 0.12)):
        _fold(cloth, along - at - slant * (across - 0.5), 0.7, depth)
    cuff = along > 34.0
    cloth *= (1 + 0.10 * cuff - 0.35 * (np.abs(along - 34.0) < 0.25))[..., None]
    cloth *= (1 - 0.28 * (np.abs(along - 36.2) < 0.2))[..., None]
    pores = smooth_noise(shape, (2, 2), 92)
    skin = tinted(SKIN, 0.025 * clouds(shape, 40, 91) + 0.012 * pores, 1.0)
    shadow = np.exp(-np.clip(along - 38.3, 0, None) / 1.2)
    skin *= (1 - 0.35 * shadow)[..., None]
    return np.asarray(np.where((along > 38.3)[..., None], skin, cloth), np.float32)


def _neck() -> Picture:
    shape = _shape(22.0, 10.0)
    return tinted(SKIN, 0.02 * clouds(shape, 40, 95) - 0.05, 1.0)
