"""The small pictures of a clip in which faces are looked for."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.clip import Clip, PlanarFrame
from cliptag.cover.areas import Ellipse
from cliptag.cover.faces import LOOKED_AT_PX, Face, FaceFinder
from cliptag.errors import CoverCancelled

_KEPT_PX: Final = 320
"""The longer side of the grey pictures that are kept until the end: 60 kB each."""


@dataclass(frozen=True, slots=True, eq=False)
class Grey:
    """A small grey picture (H, W) and how many of its pixels lie on one of the clip's."""

    pixels: NDArray[np.uint8]
    by_x: float
    by_y: float

    def inside(self, area: Ellipse) -> Ellipse:
        """An area of the clip's picture on this one."""
        return area.scaled(self.by_x, self.by_y)


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """The faces in one picture, in pixels of the clip's as displayed, best first."""

    grey: Grey
    faces: tuple[Face, ...]


def look_through(
    clip: Clip,
    finder: FaceFinder,
    samples: list[int],
    least_score: float,
    progress: Callable[[float, float | None], None] | None,
    is_cancelled: Callable[[], bool] | None,
) -> list[Looked]:
    """The faces in each of the frames. Raises ClipError, and CoverCancelled when told to stop."""
    width, height = _small(clip, LOOKED_AT_PX)
    looked: list[Looked] = []
    began = time.monotonic()
    wanted = iter([*samples, -1])
    next_index = next(wanted)
    for frame in clip.planes(size=(width, height)):
        if is_cancelled is not None and is_cancelled():
            raise CoverCancelled("The search for faces was stopped.")
        if frame.index != next_index:
            continue
        next_index = next(wanted)
        faces = finder.find(_rgb(frame), least_score)
        looked.append(
            Looked(_grey(clip, frame), tuple(_onto(clip, f, width, height) for f in faces))
        )
        if progress is not None:
            done = len(looked) / len(samples)
            progress(done, (time.monotonic() - began) * (1 / done - 1))
    return looked


def _small(clip: Clip, longer: int) -> tuple[int, int]:
    """Even numbers, as 4:2:0 needs; never larger than the clip."""
    info = clip.info
    by = min(1.0, longer / max(info.width, info.height))
    return max(2, round(info.width * by / 2) * 2), max(2, round(info.height * by / 2) * 2)


def _rgb(frame: PlanarFrame) -> NDArray[np.uint8]:
    height, width = frame.y.shape
    packed = np.concatenate([np.ravel(plane) for plane in (frame.y, frame.u, frame.v)])
    picture = cv2.cvtColor(packed.reshape(height * 3 // 2, width), cv2.COLOR_YUV2RGB_I420)
    return np.asarray(picture, np.uint8)


def _grey(clip: Clip, frame: PlanarFrame) -> Grey:
    size = _small(clip, _KEPT_PX)
    pixels = np.asarray(cv2.resize(frame.y, size, interpolation=cv2.INTER_AREA), np.uint8)
    return Grey(pixels, size[0] / clip.info.width, size[1] / clip.info.height)


def _onto(clip: Clip, face: Face, width: int, height: int) -> Face:
    by_x, by_y = clip.info.width / width, clip.info.height / height
    return replace(
        face,
        left=face.left * by_x,
        top=face.top * by_y,
        width=face.width * by_x,
        height=face.height * by_y,
    )


def faces_in(clip: Clip, indices: list[int], least_score: float) -> list[tuple[Face, ...]]:
    """The faces in a few frames far from each other, in pixels of the clip's picture."""
    finder = FaceFinder()
    width, height = _small(clip, LOOKED_AT_PX)
    found = []
    for index in indices:
        frame = next(clip.planes(index, index + 1, size=(width, height)))
        faces = finder.find(_rgb(frame), least_score)
        found.append(tuple(_onto(clip, face, width, height) for face in faces))
    return found
