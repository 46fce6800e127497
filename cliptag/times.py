"""Which frame is on at a time: the one rule that every room follows."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def frame_at(times_us: NDArray[np.int64], time_us: float) -> int:
    """The frame that is shown at a time, from the times at which each is shown first, rising.

    Before the first frame's time the first one; of frames that share a time the last.
    """
    return max(0, int(np.searchsorted(times_us, time_us, side="right")) - 1)
