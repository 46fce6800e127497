"""Films for the tracker that are drawn on the spot, or parts of real clips."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from cliptag.clip import Clip

Grey = NDArray[np.uint8]


@dataclass(frozen=True)
class Picture:
    index: int
    y: Grey


class DrawnFilm:
    """Frames from a function of the index; counts how often each was decoded."""

    digest = "drawn"

    def __init__(self, count: int, draw: Callable[[int], Grey], times_us: ArrayLike = ()) -> None:
        given = np.asarray(times_us, np.int64)
        self.times_us = given if len(given) else np.arange(count) * 33_333
        self._draw = draw
        self.decoded: Counter[int] = Counter()

    def __len__(self) -> int:
        return len(self.times_us)

    def planes(self, first: int = 0, stop: int | None = None) -> Iterator[Picture]:
        for index in range(first, len(self) if stop is None else stop):
            self.decoded[index] += 1
            yield Picture(index, self._draw(index))


class PartOfClip:
    """The first frames of a clip."""

    def __init__(self, clip: Clip, count: int) -> None:
        self._clip = clip
        self.times_us = clip.times_us[:count]
        self.digest = clip.digest

    def __len__(self) -> int:
        return len(self.times_us)

    def planes(self, first: int = 0, stop: int | None = None) -> Iterator[Picture]:
        for picture in self._clip.planes(first, len(self) if stop is None else stop):
            yield Picture(picture.index, picture.y)


def cloth(height: int, width: int, seed: int, low: int = 60, high: int = 190) -> Grey:
    """A patch of soft random texture."""
    rough = np.random.default_rng(seed).normal(size=(height, width))
    soft = cv2.GaussianBlur(rough, (0, 0), 2.5)
    return cv2.normalize(soft, None, low, high, cv2.NORM_MINMAX).astype(np.uint8)


class MovingCloth:
    """A textured square that is moved, turned and sized over a textured background.

    ``place(i)`` (x, y), ``turn(i)`` degrees clockwise, ``size(i)``: of the square's middle, in
    displayed pixels from the outer corner of the picture. Sensor noise of 2 grey levels.
    """

    def __init__(
        self,
        place: Callable[[int], tuple[float, float]],
        turn: Callable[[int], float] = lambda i: 0.0,
        size: Callable[[int], float] = lambda i: 1.0,
        shape: tuple[int, int] = (480, 640),
    ) -> None:
        self.place, self.turn, self.size = place, turn, size
        self._shape = shape
        self._ground = cv2.GaussianBlur(cloth(*shape, seed=1, low=90, high=140), (0, 0), 3)
        self._square = cloth(161, 161, seed=2, low=20, high=235)

    def __call__(self, index: int) -> Grey:
        x, y = self.place(index)
        # The square's middle pixel is its index 80; array coordinates count from pixel centres.
        how = cv2.getRotationMatrix2D((80, 80), -self.turn(index), self.size(index))
        how[:, 2] += (x - 0.5 - 80, y - 0.5 - 80)
        size = (self._shape[1], self._shape[0])
        moved = cv2.warpAffine(self._square, how, size, flags=cv2.INTER_CUBIC)
        cover = cv2.warpAffine(np.full((161, 161), 255, np.uint8), how, size) / 255.0
        noise = np.random.default_rng(index).normal(0, 2, self._shape)
        return np.clip(cover * moved + (1 - cover) * self._ground + noise, 0, 255).astype(np.uint8)
