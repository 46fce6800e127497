"""Faces in a picture, by a small network that comes with cliptag and runs on any processor."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

import cv2
import numpy as np
from numpy.typing import NDArray

from cliptag.errors import CoverError

LOOKED_AT_PX: Final = 480
"""The longer side of the picture that is looked at; a whole client's face is 25 of them or more."""

_MODEL: Final = Path(__file__).parent / "model" / "centerface.onnx"
_GRID: Final = 32  # the network halves its picture five times
_STRIDE: Final = 4  # and tells of every fourth pixel of it
_OVERLAP: Final = 0.3


@dataclass(frozen=True, slots=True)
class Face:
    """A box round a face, in pixels of the picture that was looked at; ``score`` is 0 to 1.

    ``eyes_apart`` is how far the eyes are from each other, in parts of the box's longer side: 0.37
    from the front, half of that or less from the side. ``crown_deg`` is where the crown lies: 0
    above, 90 to the right.
    """

    left: float
    top: float
    width: float
    height: float
    score: float
    eyes_apart: float
    crown_deg: float


class FaceFinder:
    """Finds faces, from the front, from the side and turned. Any thread may use it, in turn."""

    def __init__(self) -> None:
        """Raises CoverError when the network can't be loaded."""
        self._net = _network()
        self._names = self._net.getUnconnectedOutLayersNames()

    def find(self, rgb: NDArray[np.uint8], least_score: float) -> list[Face]:
        """The faces in a picture (H, W, 3), best first."""
        height, width = rgb.shape[:2]
        size = -(-width // _GRID) * _GRID, -(-height // _GRID) * _GRID
        blob = cv2.dnn.blobFromImage(np.ascontiguousarray(rgb), 1.0, size)
        with _LOCK:
            self._net.setInput(blob)
            outputs = [np.asarray(out) for out in self._net.forward(self._names)]
        return _decoded(outputs, width / size[0], height / size[1], least_score)


_LOCK = threading.Lock()


@cache
def _network() -> Any:
    try:
        return cv2.dnn.readNetFromONNX(str(_MODEL))
    except cv2.error as error:
        raise CoverError(
            f"The face finder can't be loaded from {_MODEL} ({error.err}): install cliptag again."
        ) from error


def _decoded(
    outputs: list[NDArray[Any]], by_x: float, by_y: float, least_score: float
) -> list[Face]:
    """CenterFace (Xu et al. 2019, section 3): at the peaks of a map of likelihood, the logarithm
    of the box's size and the shift of its centre within the cell.
    """
    likely, sizes, shifts = (out[0] for out in outputs[:3])
    rows, columns = np.nonzero(likely[0] > least_score)
    heights = np.exp(sizes[0, rows, columns]) * _STRIDE * by_y
    widths = np.exp(sizes[1, rows, columns]) * _STRIDE * by_x
    middles_y = (rows + shifts[0, rows, columns] + 0.5) * _STRIDE * by_y
    middles_x = (columns + shifts[1, rows, columns] + 0.5) * _STRIDE * by_x
    scores = likely[0, rows, columns]
    marks = _landmarks(outputs[3][0][:, rows, columns], widths, heights)
    boxes = np.column_stack([middles_x - widths / 2, middles_y - heights / 2, widths, heights])
    if not len(boxes):
        return []
    kept = cv2.dnn.NMSBoxes(boxes.tolist(), scores.tolist(), least_score, _OVERLAP)
    rows_of = np.column_stack([boxes, scores, marks])[np.asarray(kept, np.int64).ravel()]
    return [Face(*map(float, row)) for row in rows_of]


def _landmarks(
    parts: NDArray[Any], widths: NDArray[Any], heights: NDArray[Any]
) -> NDArray[np.float64]:
    """(N, 2) ``eyes_apart`` and ``crown_deg`` from (10, N): y and x of both eyes, the nose and both
    corners of the mouth, in parts of the box.
    """
    ys, xs = parts[0::2] * heights, parts[1::2] * widths
    apart = np.hypot(xs[0] - xs[1], ys[0] - ys[1]) / np.maximum(widths, heights)
    right = (xs[0] + xs[1] - xs[3] - xs[4]) / 2
    up = (ys[3] + ys[4] - ys[0] - ys[1]) / 2
    return np.column_stack([apart, np.degrees(np.arctan2(right, up))])
