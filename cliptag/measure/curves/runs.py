"""Stretches of frames on which a point is known, with short gaps closed."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from cliptag.measure.trajectories import Times

Known = NDArray[np.bool_]


def runs_of(known: Known) -> list[slice]:
    """Each stretch of neighbouring true values, in order."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], known, [False]]).astype(np.int8)))
    return [slice(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def runs_across_gaps(known: Known, times_us: Times, longest_gap_us: int) -> list[slice]:
    """As ``runs_of``, going on over gaps of at most ``longest_gap_us``.

    A gap's length is the time from the last known frame before it to the first one after. A run
    begins and ends on a known frame.
    """
    joined: list[slice] = []
    for run in runs_of(known):
        if joined and times_us[run.start] - times_us[joined[-1].stop - 1] <= longest_gap_us:
            joined[-1] = slice(joined[-1].start, run.stop)
        else:
            joined.append(run)
    return joined
