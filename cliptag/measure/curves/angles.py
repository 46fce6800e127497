"""Angles over time.

Each is a sum of leans of ways between two points, so that one rule gives them all, their signs and
their uncertainty. A lean is the angle from straight up, forward positive; the lean of a way of
length L turns by 1/L radians per pixel of its ends across it, and a point that ends two ways
counts with both at once.

Signed sums can tell a knee that bends backwards (-3 degrees) from one that is bent (3 degrees),
which an included angle can't. Otherwise they are the neutral-zero angles of single frames.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.measure.curves.curve import Curve
from cliptag.measure.curves.derivative import rate_within_runs
from cliptag.measure.curves.level import Level
from cliptag.measure.geometry import LEAST_LENGTH_PX
from cliptag.measure.trajectories import BACK_POINTS, Floats


@dataclass(frozen=True, slots=True)
class Way:
    """The way from one named point to another, taken ``sign`` times (1 or -1)."""

    sign: int
    start: str
    end: str


@dataclass(frozen=True, slots=True)
class AngleKind:
    """How an angle is made: ``offset`` plus the ways' leans, brought to ``middle`` +- 180."""

    name: str
    words: str
    ways: tuple[Way, ...]
    offset: float
    middle: float
    convention: str

    @property
    def points(self) -> tuple[str, ...]:
        """The points it needs."""
        return tuple(dict.fromkeys(p for way in self.ways for p in (way.start, way.end)))


def _kind(
    name: str, words: str, ways: str, offset: float, middle: float, convention: str
) -> AngleKind:
    """``ways`` such as '+ankle>knee -knee>hip'."""
    parsed = []
    for way in ways.split():
        start, end = way[1:].split(">")
        parsed.append(Way(1 if way[0] == "+" else -1, start, end))
    return AngleKind(name, words, tuple(parsed), offset, middle, convention)


ANGLES: Final = (
    _kind("knee_flexion", "Knee flexion", "+ankle>knee -knee>hip", 0, 90,
          "Neutral zero: 0 when straight, bending positive."),
    _kind("hip_flexion", "Hip flexion", "+hip>shoulder -knee>hip", 0, 90,
          "Neutral zero: 0 with trunk and thigh in line, bending positive."),
    _kind("ankle_dorsiflexion", "Ankle dorsiflexion", "+ankle>knee -heel>toe", 90, 0,
          "Shank against the sole line heel-toe: 0 at a right angle, toes up positive."),
    _kind("ankle_dorsiflexion_to_toe", "Ankle dorsiflexion, to the toe", "+ankle>knee -ankle>toe",
          90, 0, "90 less the angle knee, ankle, toe; toes up positive."),
    _kind("elbow_flexion", "Elbow flexion", "+shoulder>elbow -elbow>wrist", 0, 90,
          "Neutral zero: 0 when straight, bending positive."),
    _kind("shoulder_flexion", "Shoulder flexion", "+shoulder>hip -shoulder>elbow", 0, 90,
          "Neutral zero: 0 with the arm along the trunk, forward positive."),
    _kind("trunk_tilt", "Trunk tilt", "+hip>shoulder", 0, 0,
          "Line hip-shoulder from the true vertical, forward positive."),
    _kind("thigh_tilt", "Thigh tilt", "+knee>hip", 0, 0,
          "Line knee-hip from the true vertical, forward positive; about -90 when seated."),
    _kind("shank_tilt", "Shank tilt", "+ankle>knee", 0, 0,
          "Line ankle-knee from the true vertical, forward positive."),
    _kind("upper_arm_tilt", "Upper arm tilt", "-shoulder>elbow", 180, 90,
          "Line shoulder-elbow from hanging straight down, forward positive."),
    _kind("forearm_tilt", "Forearm tilt", "-elbow>wrist", 180, 90,
          "Line elbow-wrist from hanging straight down, forward positive; 90 when level."),
    _kind("neck_tilt", "Neck tilt", "+c7>ear", 0, 0,
          "Line C7-tragus from the true vertical, forward positive."),
    _kind("craniovertebral", "Craniovertebral angle", "-c7>ear", 90, 0,
          "Line C7-tragus above the horizontal through C7; smaller when the head is further "
          "forward."),
    _kind("ear_eye_line", "Ear-eye line", "-ear>eye", 90, 0,
          "Line tragus-eye above the horizontal, upward positive."),
    _kind("gaze", "Gaze", "-eye>gaze_target", 90, 0,
          "Line from the eye to what is looked at, above the horizontal positive."),
    _kind("mid_back_rounding", "Mid-back rounding", "+t4>c7 -l1>t8", 0, 0,
          "How far the line T4-C7 is turned forward of the line L1-T8; skin points, not joints."),
)  # fmt: skip

SIDES: Final = ("", "left_", "right_")
_SIDE_WORDS = {"": "", "left_": "Left: ", "right_": "Right: "}


def angle_curves(level: Level) -> dict[str, Curve]:
    """Every angle whose points are there, by name, in a fixed order."""
    curves: dict[str, Curve] = {}
    for kind in kinds_for(level):
        curve = angle_curve(level, kind)
        if curve.is_known:
            curves[kind.name] = curve
    return curves


def kinds_for(level: Level) -> list[AngleKind]:
    """The angles whose points are placed, on either side where names say so."""
    kinds = [_of_side(kind, side) for side in SIDES for kind in ANGLES]
    low_back = low_back_kind([name for name in BACK_POINTS[:-2] if name in level])
    if low_back is not None:
        kinds.append(low_back)
    return [kind for kind in kinds if all(point in level for point in kind.points)]


def low_back_kind(names: list[str]) -> AngleKind | None:
    """Rounding of the low back from three or more skin points, listed from the pelvis up.

    How far the line of the upper two is turned forward of the line of the lower two: negative in a
    hollow back. It compares postures of one person and is no anatomical flexion of the spine.
    """
    if len(names) < 3:
        return None
    lower, upper = Way(-1, names[0], names[1]), Way(1, names[-2], names[-1])
    written = "-".join(names[-2:]).upper(), "-".join(names[:2]).upper()
    return AngleKind(
        "low_back_rounding",
        "Low-back rounding",
        (upper, lower),
        0,
        0,
        f"How far the line {written[0]} is turned forward of the line {written[1]}; skin points, "
        "not joints.",
    )


def angle_curve(level: Level, kind: AngleKind) -> Curve:
    """One angle over the clip, in degrees, NaN where a point is missing or two coincide."""
    total = np.full(len(level.trajectories), float(kind.offset))
    # Radians that the angle turns by per pixel that a point goes forward, and up.
    pull: dict[str, tuple[Floats | float, Floats | float]] = {}
    for way in kind.ways:
        start, end = level[way.start], level[way.end]
        forward, up = end.forward - start.forward, end.up - start.up
        square = forward**2 + up**2
        square[square < LEAST_LENGTH_PX**2] = np.nan
        total += way.sign * np.degrees(np.arctan2(forward, up))
        by_forward, by_up = way.sign * up / square, -way.sign * forward / square
        total[np.isnan(square)] = np.nan
        for name, sense in ((way.end, 1), (way.start, -1)):
            was_forward, was_up = pull.get(name, (0.0, 0.0))
            pull[name] = (was_forward + sense * by_forward, was_up + sense * by_up)
    values = _continuous(kind.middle - 180.0 + (total - kind.middle + 180.0) % 360.0)
    leverage = {name: np.asarray(by_f**2 + by_u**2) for name, (by_f, by_u) in pull.items()}
    roll_rad = abs(sum(way.sign for way in kind.ways)) * level.roll_sd_rad
    return Curve(
        name=kind.name,
        words=kind.words,
        unit="°",
        convention=kind.convention,
        times_us=level.trajectories.times_us,
        values=values,
        sd=_spread(level, leverage, "sd_px", roll_rad),
        common_sd=np.full(len(values), math.degrees(roll_rad)),
        rate=rate_within_runs(values, level.trajectories.times_us / 1e6),
        rate_sd=_spread(level, leverage, "sd_px_per_s"),
        bend_sd=_spread(level, leverage, "sd_px_per_s2"),
    )


def _spread(level: Level, leverage: dict[str, Floats], what: str, also_rad: float = 0.0) -> Floats:
    square: Floats = np.full(len(level.trajectories), also_rad**2)
    for name, lever in leverage.items():
        square = square + lever * getattr(level.smoothed.points[name], what) ** 2
    return np.asarray(np.degrees(np.sqrt(square)))


def _continuous(degrees: Floats) -> Floats:
    """The same angles without jumps of 360 degrees between neighbouring known frames."""
    known = ~np.isnan(degrees)
    smooth = degrees.copy()
    smooth[known] = np.unwrap(degrees[known], period=360.0)
    return smooth


def _of_side(kind: AngleKind, side: str) -> AngleKind:
    ways = tuple(Way(way.sign, side + way.start, side + way.end) for way in kind.ways)
    words = f"{_SIDE_WORDS[side]}{kind.words}"
    return AngleKind(side + kind.name, words, ways, kind.offset, kind.middle, kind.convention)
