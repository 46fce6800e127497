"""Real people in made clips: pictures that come with scikit-image, moved about.

``astronaut`` faces the camera (NASA, public domain), ``cameraman`` is seen from the side (scikit-
image, CC0).
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

import cv2
import numpy as np
from numpy.typing import NDArray
from skimage import data
from skimage.feature import Cascade
from support.media import write_frames

Person = Literal["astronaut", "cameraman"]
Picture = NDArray[np.uint8]

FACES: dict[Person, tuple[float, float, float, float]] = {
    "astronaut": (222, 118, 46, 62),
    "cameraman": (232, 158, 30, 40),
}
"""Where the face is in the picture, read off it by eye: middle and half sizes."""


def person(who: Person) -> Picture:
    """(512, 512, 3) R'G'B'."""
    if who == "astronaut":
        return np.asarray(data.astronaut())
    return np.repeat(np.asarray(data.camera())[..., None], 3, axis=2)


def shifts(count: int, reach: float = 60.0) -> list[tuple[float, float]]:
    """Where the person has moved to, frame by frame: slowly across, a little up and down."""
    turns = np.linspace(0, 2 * np.pi, count)
    return [(float(reach * np.sin(t)), float(20 * (1 - np.cos(2 * t)))) for t in turns]


def moved(picture: Picture, by: tuple[float, float]) -> Picture:
    """The picture shifted by pixels; its edges go on."""
    matrix = np.array([[1, 0, by[0]], [0, 1, by[1]]], np.float64)
    size = picture.shape[1], picture.shape[0]
    return np.asarray(cv2.warpAffine(picture, matrix, size, borderMode=cv2.BORDER_REPLICATE))


def write_person(path: Path, who: Person, count: int = 30, fps: int = 30) -> Path:
    """A clip of the person moving about."""
    return write_frames(path, [moved(person(who), by) for by in shifts(count)], fps)


@cache
def _cascade() -> Cascade:
    return Cascade(data.lbp_frontal_face_cascade_filename())


def frontal_faces(picture: Picture, x: float, y: float) -> int:
    """How many faces scikit-image's own detector finds round a place (local binary patterns, seen
    from the front; Liao et al. 2007), which has nothing in common with ours. Elsewhere in these
    pictures it sees faces in pockets and badges.
    """
    found = _cascade().detect_multi_scale(
        img=picture, scale_factor=1.2, step_ratio=1, min_size=(40, 40), max_size=(200, 200)
    )
    return sum(
        box["c"] <= x <= box["c"] + box["width"] and box["r"] <= y <= box["r"] + box["height"]
        for box in found
    )
