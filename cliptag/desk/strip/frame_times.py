"""The times of a clip's frames, and what is nearest to a time among them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cliptag.times import frame_at


@dataclass(frozen=True, slots=True)
class FrameTimes:
    """The clip's frame times, and its end."""

    times_us: NDArray[np.int64]
    duration_us: int

    def index_at(self, time_us: float) -> int:
        """The frame shown at a time."""
        return frame_at(self.times_us, time_us)

    def start_near(self, time_us: float) -> int:
        """The start of a frame that is nearest to a time."""
        index = self.index_at(time_us)
        near = self.times_us[index : index + 2]
        return int(near[np.argmin(np.abs(near - time_us))])

    def end_near(self, time_us: float) -> int:
        """The start of a frame, or the end of the clip, that is nearest to a time."""
        start_us = self.start_near(time_us)
        nearer_to_end = abs(self.duration_us - time_us) < abs(start_us - time_us)
        return self.duration_us if nearer_to_end else start_us
