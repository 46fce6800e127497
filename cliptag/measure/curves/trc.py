"""Smoothed points as a TRC file, which biomechanics programs read.

Tab-separated text: three lines of facts, two lines that name the markers and their axes, an empty
line, then a line per frame. It knows one frame rate only, so that the points are given at even
steps of the clip's median interval. X points forward, Y up, Z to the client's right and is 0, for
one camera sees no depth; lengths in mm from the first known place of the ankle, else of another
point. 'NaN' stands where a point isn't known: an empty field would shift the others in programs
that split at blanks.
"""

from __future__ import annotations

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure.curves.level import Level
from cliptag.measure.trajectories import Floats

_AS_GOOD_AS_THERE = 0.02
_ORIGINS = ("ankle", "heel", "toe", "knee", "hip")


def trc_text(level: Level, file_name: str) -> str:
    """The whole file. Raises MeasureError without a scale, or when no point is known."""
    scale = level.scale
    if scale is None:
        raise MeasureError(
            "A TRC file holds millimetres, and this clip has no scale: mark a known length in the "
            "plane of the movement first."
        )
    times_us = level.trajectories.times_us
    rate_hz = level.trajectories.rate_hz
    span_s = float(times_us[-1] - times_us[0]) / 1e6
    at_s = np.arange(round(span_s * rate_hz) + 1) / rate_hz
    names = [n for n in level.smoothed.points if np.isfinite(level[n].forward).any()]
    if not names:
        raise MeasureError("No point is known on any frame: place or track points first.")
    zero = _first_place(level, next((n for n in _ORIGINS if n in names), names[0]))
    mm = 10.0 / scale.value
    columns = []
    for name in names:
        for axis, start in zip((level[name].forward, level[name].up), zero, strict=True):
            even = _at_even_times(at_s, (times_us - times_us[0]) / 1e6, axis)
            columns.append((even - start) * mm)
    shown = [name.replace(" ", "_") for name in names]
    lines = [*_head(file_name, rate_hz, len(at_s), shown), ""]
    for i, t in enumerate(at_s):
        cells = [f"{columns[k][i]:.3f}" for k in range(len(columns))]
        places = [
            f"{x}\t{y}\t{'0.000' if x != 'nan' else 'nan'}"
            for x, y in zip(cells[::2], cells[1::2], strict=True)
        ]
        lines.append("\t".join([str(i + 1), f"{t:.6f}", *places]).replace("nan", "NaN"))
    return "\n".join(lines) + "\n"


def _at_even_times(at_s: Floats, times_s: Floats, axis: Floats) -> Floats:
    """Straight between the frames; a frame that is as good as there needs no known neighbour."""
    even = np.interp(at_s, times_s, axis)
    last = len(times_s) - 1
    after = np.clip(np.searchsorted(times_s, at_s), 1, last)
    nearest = after - (at_s - times_s[after - 1] < times_s[after] - at_s)
    is_there = np.abs(times_s[nearest] - at_s) < _AS_GOOD_AS_THERE * np.median(np.diff(times_s))
    return np.where(is_there, axis[nearest], even)


def _head(file_name: str, rate_hz: float, frames: int, names: list[str]) -> list[str]:
    facts = {
        "DataRate": f"{rate_hz:.6f}",
        "CameraRate": f"{rate_hz:.6f}",
        "NumFrames": str(frames),
        "NumMarkers": str(len(names)),
        "Units": "mm",
        "OrigDataRate": f"{rate_hz:.6f}",
        "OrigDataStartFrame": "1",
        "OrigNumFrames": str(frames),
    }
    axes = [f"{axis}{k}" for k in range(1, len(names) + 1) for axis in "XYZ"]
    return [
        f"PathFileType\t4\t(X/Y/Z)\t{file_name}",
        "\t".join(facts),
        "\t".join(facts.values()),
        "Frame#\tTime\t" + "\t\t\t".join(names),
        "\t\t" + "\t".join(axes),
    ]


def _first_place(level: Level, name: str) -> tuple[float, float]:
    point = level[name]
    both: Floats = point.forward + point.up
    first = int(np.flatnonzero(np.isfinite(both))[0])
    return float(point.forward[first]), float(point.up[first])
