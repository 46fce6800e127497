"""What to be careful of in a clip, told in one sentence each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, Literal

import numpy as np

from cliptag.clip.clip import Clip
from cliptag.clip.info import ClipInfo
from cliptag.clip.look import (
    Burst,
    Edge,
    brightness,
    camera_motion,
    edge_widths,
    edges_reached,
    roll_deg,
)

CautionCode = Literal[
    "cut_off",
    "variable_rate",
    "hdr",
    "low_rate",
    "very_short",
    "shaking",
    "low_light",
    "motion_blur",
    "camera_tilted",
    "reaches_edge",
]

LOW_FPS: Final = 24.9
VERY_SHORT_US: Final = 1_000_000
# Those below were set on made clips and are common sense, not a standard.
SHAKE_LIMIT: Final = 0.004  # of the picture's height: 8 pixels of 1920
STILL_LIMIT: Final = 0.01  # of the picture's height: a camera that looks one way
DARK_LIMIT: Final = 0.32  # luma that only a tenth of the picture exceeds
BLUR_LIMIT: Final = 0.006  # of the longer side: 12 pixels of 1920
TILT_LIMIT_DEG: Final = 2.0

_BURSTS: Final = 3
_BURST_FRAMES: Final = 24
_LONGER_SIDE: Final = 640


@dataclass(frozen=True, slots=True)
class Caution:
    """One thing to be careful of; ``sentence`` says what it is and what to do."""

    code: CautionCode
    sentence: str


def cautions_of(clip: Clip) -> tuple[Caution, ...]:
    """What to be careful of when a clip is looked at or measured.

    From the clip's facts, and from three short bursts of frames (72 at most, however long the
    clip), looked at in grey, 640 pixels long:

    - ``shaking``: the whole picture trembles by more than 0.4 % of its height.
    - ``low_light``: even the brightest tenth of the picture is below 32 % luma.
    - ``motion_blur``: edges of what moves are wider than 0.6 % of the picture, and 1.7 times as
      wide as edges that stand still.
    - ``camera_tilted``: upright and level edges of the room lean by the same angle, 2° or more.
      In a picture without such edges nothing is said.
    - ``reaches_edge``: the largest thing that moves reaches an edge of the picture in a quarter of
      the frames. It may be the client cut off, or somebody behind. Told only of a camera that
      stands still. Feet that stand still outside
      the picture can't be told, so nothing is said of them.

    Raises ClipError when the clip can't be decoded.
    """
    return (*cautions_from_facts(clip.info), *_from_looks(looks_of(clip)))


@dataclass(frozen=True, slots=True)
class Looks:
    """What can be told of a clip by looking at a few of its frames; None where it can't be told.

    ``tremor`` and ``way`` of the camera are in parts of the picture's height, the widths of edges
    that move and that stand still in parts of its longer side, ``brightness`` is 0 to 1.
    """

    tremor: float
    way: float
    brightness: float
    moving_edge: float | None
    still_edge: float | None
    roll_deg: float | None
    edges: tuple[Edge, ...]

    @property
    def is_blurred(self) -> bool:
        """Whether what moves is blurred, and not all of the picture as well."""
        moving, still = self.moving_edge, self.still_edge
        return (
            moving is not None and moving > BLUR_LIMIT and (still is None or moving > 1.7 * still)
        )


def looks_of(clip: Clip) -> Looks:
    """Look at three short bursts of frames. Raises ClipError when the clip can't be decoded."""
    bursts = _bursts(clip)
    camera = camera_motion(bursts, clip.info.nominal_fps)
    moving, still = edge_widths(bursts)
    return Looks(
        tremor=camera.tremor,
        way=camera.way,
        brightness=brightness(bursts),
        moving_edge=moving,
        still_edge=still,
        roll_deg=roll_deg(bursts),
        edges=tuple(edges_reached(bursts)) if camera.way < STILL_LIMIT else (),
    )


def _bursts(clip: Clip) -> list[Burst]:
    shown = clip.info.width, clip.info.height
    scale = min(1.0, _LONGER_SIDE / max(shown))
    width, height = (max(2, round(side * scale / 2) * 2) for side in shown)
    length = min(_BURST_FRAMES, len(clip))
    count = min(_BURSTS, max(1, len(clip) // length))
    starts = np.linspace(0, len(clip) - length, count + 2)[1:-1].astype(int).tolist()
    return [
        np.stack([frame.y for frame in clip.planes(start, start + length, size=(width, height))])
        for start in starts
    ]


def cautions_from_facts(info: ClipInfo) -> Iterator[Caution]:
    """Those that need no look at the pictures."""
    if info.missing_frames:
        fps = info.nominal_fps or 1.0
        yield Caution(
            "cut_off",
            f"The file breaks off: about {info.missing_frames / fps:.1f} s are missing at its end; "
            "ask for it to be sent again.",
        )
    if info.is_variable_rate:
        yield Caution(
            "variable_rate",
            "The frame rate varies: each frame's own time is used here, but a program that counts "
            "frames will be wrong about times.",
        )
    if info.hdr is not None:
        yield Caution(
            "hdr",
            f"The clip was filmed in HDR ({info.hdr.upper()}): its colours are brought to an "
            "ordinary screen here and may differ a little from the phone's.",
        )
    if info.is_photo:
        return
    if 0 < info.nominal_fps < LOW_FPS:
        yield Caution(
            "low_rate",
            f"There are only {info.nominal_fps:.3g} frames a second: fast moments fall between "
            "frames; ask for 30 or 60.",
        )
    if info.duration_us < VERY_SHORT_US:
        yield Caution(
            "very_short",
            f"The clip is only {info.duration_us / 1e6:.2g} s long: check that the movement is "
            "whole.",
        )


def _from_looks(looks: Looks) -> Iterator[Caution]:
    if looks.tremor > SHAKE_LIMIT:
        yield Caution(
            "shaking",
            f"The camera shakes by about {looks.tremor * 100:.1f} % of the picture: ask for a "
            "phone that stands or leans on something, and measure within single frames only.",
        )
    if looks.brightness < DARK_LIMIT:
        yield Caution(
            "low_light",
            "The picture is dark: edges and joints are harder to place; ask for more light.",
        )
    if looks.is_blurred:
        yield Caution(
            "motion_blur",
            "What moves is blurred: points on it are uncertain; ask for more light or a faster "
            "shutter.",
        )
    roll = looks.roll_deg
    if roll is not None and abs(roll) >= TILT_LIMIT_DEG:
        yield Caution(
            "camera_tilted",
            f"The camera seems tilted by about {abs(roll):.0f}°: mark the plumb line on something "
            "that truly stands upright.",
        )
    if looks.edges:
        yield Caution(
            "reaches_edge",
            f"Something that moves reaches the {' and '.join(looks.edges)} edge of the picture: "
            "check that the client isn't cut off.",
        )
