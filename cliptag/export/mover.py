"""What is asked of whoever knows where marks go with the body."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from cliptag.measure import Reading
from cliptag.review import Mark, Point


class Mover(Protocol):
    """``MovingMarks`` is one, for the points of one clip."""

    @property
    def times_us(self) -> NDArray[np.int64]:
        """(N,) when each frame is shown."""

    def has(self, mark: Mark) -> bool:
        """Whether a mark follows points, all of which are tracked."""

    def places(self, frame: int) -> Mapping[str, Point]:
        """Where the tracked points are on a frame, by name, as far as they are known.

        Where there are several bodies the names carry whose they are before a colon.
        """

    def at(self, mark: Mark, frame: int) -> Mark | None:
        """The mark as it lies on a frame; None where one of its points isn't known."""

    def reading(self, note_id: str, mark: Mark, frame: int) -> Reading | None:
        """The mark's number on a frame; None where it isn't known, or it carries none."""
