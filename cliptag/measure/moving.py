"""Marks that go with tracked points: where they are on each frame, and the number they carry there.

Places and numbers come from the smoothed points that curves are made from, and angles by the same
rule as theirs. So the number on the picture, the curve and the table agree on every frame.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Final, TypeAlias

import numpy as np

from cliptag.measure.camera import camera_of
from cliptag.measure.curves.angles import AngleKind, Way, angle_curve
from cliptag.measure.curves.displacement import in_length_unit
from cliptag.measure.curves.level import Level
from cliptag.measure.curves.smoothing import Smoothed, smooth
from cliptag.measure.geometry import LEAST_LENGTH_PX
from cliptag.measure.movement import MovementReport
from cliptag.measure.readings import (
    BETWEEN_WORDS,
    JOINT_WORDS,
    SEGMENT_WORDS,
    SPAN_WORDS,
    Reading,
    Unit,
    across_sense,
    neutral_zero,
)
from cliptag.measure.tracking import Tracks
from cliptag.measure.trajectories import Floats, Times
from cliptag.review import (
    Between,
    Joint,
    JointName,
    Mark,
    MeasuringMark,
    Point,
    Review,
    Span,
    Tilt,
    edit,
    is_measuring,
)

_Leans: TypeAlias = tuple[str, float, float]
"""Leans of ways between a mark's points (by their letters), the offset, and the middle."""

_JOINTS: Final[dict[JointName, _Leans]] = {
    "knee": ("+d>v -v>p", 0, 90),
    "hip": ("+v>p -d>v", 0, 90),
    "ankle": ("+v>p -v>d", 90, 0),
    "elbow": ("+p>v -v>d", 0, 90),
    "shoulder": ("+v>p -v>d", 0, 90),
}
"""As the curves of these joints, for a mark's proximal point, vertex and distal point."""


@dataclass(frozen=True, slots=True, eq=False)
class _Numbers:
    """A mark's number on every frame (N,), NaN where it isn't known."""

    values: Floats
    sd: Floats
    unit: Unit


class MovingMarks:
    """The marks of a review that follow tracked points, frame by frame.

    Places are pixels of the picture as displayed. Gaps of up to ``LONGEST_GAP_US`` are closed, as
    the curves close them; in longer ones a point isn't known, and nothing is guessed.
    """

    def __init__(
        self, review: Review, tracks: Tracks, report: MovementReport | None = None
    ) -> None:
        """``report`` saves the smoothing; it must be that of these tracks and of this review.

        Raises MeasureError for a single frame, and for a cut-off that the frames can't bear.
        """
        camera, facing = camera_of(review), review.facing
        self._smoothed: Smoothed = (
            smooth(tracks.trajectories(camera, facing), review.cutoff_hz)
            if report is None
            else report.smoothed
        )
        self._is_facing_known = facing is not None
        self._level = _level(self._smoothed)
        self._numbers: dict[tuple[object, ...], _Numbers] = {}

    @property
    def times_us(self) -> Times:
        """(N,) when each frame is shown."""
        return self._smoothed.times_us

    def has(self, mark: Mark) -> bool:
        """Whether a mark follows points, all of which are tracked."""
        return bool(mark.follows) and all(name in self._level for name in mark.follows)

    def places(self, frame: int) -> dict[str, Point]:
        """Where the tracked points are on a frame, by name; unknown ones are left out."""
        places = {name: point.places[frame] for name, point in self._smoothed.points.items()}
        return {
            name: Point(float(place[0]), float(place[1]))
            for name, place in places.items()
            if np.isfinite(place).all()
        }

    def at(self, mark: Mark, frame: int) -> Mark | None:
        """The mark as it lies on a frame; None where one of its points isn't known."""
        if not self.has(mark):
            return None
        places = self.places(frame)
        if not all(name in places for name in mark.follows):
            return None
        return edit.with_points(mark, [places[name] for name in mark.follows])

    def reading(self, note_id: str, mark: Mark, frame: int) -> Reading | None:
        """The mark's number on a frame; None where it isn't known, or it carries none.

        Its uncertainty is that of the points on this frame, of the plumb line and of the scale.
        """
        if not is_measuring(mark) or not self.has(mark):
            return None
        numbers = self._numbers_of(mark)
        value, sd = float(numbers.values[frame]), float(numbers.sd[frame])
        if not (math.isfinite(value) and math.isfinite(sd)):
            return None
        at_us = int(self.times_us[frame])
        sense = self._sense(mark, value)
        return Reading(note_id, mark.id, at_us, _words(mark), value, sd, numbers.unit, sense)

    def _numbers_of(self, mark: MeasuringMark) -> _Numbers:
        key = (type(mark), *_quality(mark), *mark.follows)
        if key not in self._numbers:
            self._numbers[key] = self._measured(mark)
        return self._numbers[key]

    def _measured(self, mark: MeasuringMark) -> _Numbers:
        if isinstance(mark, Joint):
            return self._joint(mark)
        if isinstance(mark, Tilt):
            return self._tilt(mark)
        if isinstance(mark, Between):
            return self._angle(mark, "+a>b -c>d", 0, 0, _smaller)
        return self._span(mark)

    def _joint(self, mark: Joint) -> _Numbers:
        if self._is_facing_known and mark.joint in _JOINTS:
            return self._angle(mark, *_JOINTS[mark.joint])

        def fold(turned: Floats) -> Floats:
            return np.array([neutral_zero(mark.joint, angle) for angle in _unsigned(turned)])

        return self._angle(mark, "+v>p -v>d", 0, 0, fold)

    def _tilt(self, mark: Tilt) -> _Numbers:
        if mark.segment not in ("gaze", "head_on_neck"):
            return self._angle(mark, "+l>u", 0, 0)
        if self._is_facing_known:
            return self._angle(mark, "-l>u", 90, 0)
        return self._angle(mark, "+l>u", 0, 0, lambda lean: 90.0 - _unsigned(lean))

    def _angle(
        self,
        mark: MeasuringMark,
        ways: str,
        offset: float,
        middle: float,
        fold: Callable[[Floats], Floats] | None = None,
    ) -> _Numbers:
        letters = "pvd" if isinstance(mark, Joint) else "lu" if isinstance(mark, Tilt) else "abcd"
        named = dict(zip(letters, mark.follows, strict=True))
        parsed = tuple(
            Way(1 if way[0] == "+" else -1, named[way[1]], named[way[3]]) for way in ways.split()
        )
        curve = angle_curve(self._level, AngleKind(mark.id, "", parsed, offset, middle, ""))
        return _Numbers(fold(curve.values) if fold else curve.values, curve.sd, "°")

    def _span(self, mark: Span) -> _Numbers:
        a, b = (self._level[name] for name in mark.follows)
        forward, up = b.forward - a.forward, b.up - a.up
        straight = np.hypot(forward, up)
        length, swing = {
            "straight": (straight, np.zeros(len(straight))),
            "across": (forward if self._is_facing_known else np.abs(forward), up),
            "upright": (np.abs(up), forward),
        }[mark.axis]
        length = np.where(straight < LEAST_LENGTH_PX, np.nan, length)
        swung = self._level.roll_sd_rad * swing
        sd_px = np.sqrt(a.point.sd_px**2 + b.point.sd_px**2 + swung**2)
        values, sd, _, _ = in_length_unit(self._level, length, sd_px)
        return _Numbers(values, sd, "% of picture height" if self._level.scale is None else "cm")

    def _sense(self, mark: MeasuringMark, value: float) -> str:
        if isinstance(mark, Span):
            return across_sense(mark, self._is_facing_known, value)
        if not isinstance(mark, Tilt) or mark.segment == "head_on_neck":
            return ""
        if mark.segment == "gaze":
            return "above level" if value >= 0 else "below level"
        if self._is_facing_known:
            return "forward" if value >= 0 else "backward"
        return "to the right" if value >= 0 else "to the left"


def _level(smoothed: Smoothed) -> Level:
    """Where no one told which way the client faces, the right is taken for ahead."""
    trajectories = smoothed.trajectories
    if trajectories.facing is None:
        smoothed = replace(smoothed, trajectories=replace(trajectories, facing="right"))
    return Level(smoothed)


def _quality(mark: MeasuringMark) -> tuple[str, ...]:
    """What besides its points decides on a mark's number."""
    if isinstance(mark, Joint):
        return (mark.joint,)
    if isinstance(mark, Tilt):
        return (mark.segment,)
    return (mark.axis,) if isinstance(mark, Span) else ()


def _words(mark: MeasuringMark) -> str:
    if isinstance(mark, Joint):
        return JOINT_WORDS[mark.joint]
    if isinstance(mark, Tilt):
        return SEGMENT_WORDS[mark.segment]
    return SPAN_WORDS[mark.axis] if isinstance(mark, Span) else BETWEEN_WORDS


def _unsigned(turned: Floats) -> Floats:
    """Turns as included angles, 0 to 180 degrees."""
    return np.asarray(180.0 - np.abs(180.0 - np.abs(turned) % 360.0))


def _smaller(turned: Floats) -> Floats:
    """Turns as the smaller angle of crossing lines, 0 to 90 degrees."""
    unsigned = _unsigned(turned)
    return np.minimum(unsigned, 180.0 - unsigned)
