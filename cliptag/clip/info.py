"""The facts of a clip."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from cliptag.clip.colour import Hdr

# Phones drop or repeat a frame now and then; what isn't within this of the usual interval is
# another interval. 1 ms is the coarsest clock in use (Matroska).
_SAME_INTERVAL_US = 1_500


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipInfo:
    """What a file tells of itself, and what follows from its frame times.

    ``width`` and ``height`` are those of the picture as displayed; ``coded_*`` those before the
    pixel aspect (width by height of one pixel) is mended and the picture is turned clockwise by
    ``rotation_deg``, after a left-right mirroring if ``is_mirrored``.
    """

    width: int
    height: int
    coded_width: int
    coded_height: int
    rotation_deg: int
    is_mirrored: bool
    pixel_aspect: Fraction
    codec: str
    pixel_format: str
    bit_depth: int
    matrix: str
    primaries: str
    transfer: str
    range: str
    hdr: Hdr | None
    frame_count: int
    missing_frames: int = 0
    """How many more the file lists than it holds: it breaks off before its end."""
    duration_us: int
    is_variable_rate: bool
    nominal_fps: float
    """From the median interval; 0 for a photo."""
    has_sound: bool
    sound_codec: str | None
    is_photo: bool
    size_bytes: int
    has_location: bool
    """Whether the file tells where it was filmed."""
    recorded_at: dt.datetime | None
    """When it says it was filmed."""


def nominal_fps(times_us: NDArray[np.int64]) -> float:
    """Frames a second of the median interval; 0 when there is just one frame."""
    steps = np.diff(times_us)
    steps = steps[steps > 0]
    return round(1e6 / float(np.median(steps)), 3) if len(steps) else 0.0


def is_variable_rate(times_us: NDArray[np.int64]) -> bool:
    """Whether any frame is shown for another time than most, beyond the clock's own rounding."""
    steps = np.diff(times_us)
    return bool(len(steps) and (np.abs(steps - np.median(steps)) > _SAME_INTERVAL_US).any())
