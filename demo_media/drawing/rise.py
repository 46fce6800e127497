"""Standing up from a stool: in week 1 with feet far out and a great throw, in week 10 well."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from drawing.body import ANKLE_HEIGHT, SHANK, THIGH, Body, Pose, pose_body
from drawing.motion import Quintic, Track, minimum_jerk, track
from drawing.movement import Held, Idle, first_crossing

SEAT_HEIGHT = 46.0
HIP_ON_SEAT = 54.0


@dataclass(frozen=True)
class Rise:
    """The hip rolls level on the seat until ``seat_off``; from then on the knee is driven.

    Before: the shank's lean is given and the knee follows from the hip's height. After: shank and
    knee are both given, so the feet never move and the hip goes where the leg carries it.
    """

    ankle_ahead: float
    seat_off: float
    shank: tuple[tuple[float, float, float], ...]
    knee_end: float
    knee_rest: float
    knee_kick: float
    knee_after: tuple[tuple[float, float, float], ...]
    trunk: Track
    lumbar: Track
    thoracic: Track
    neck: Track
    pitch: Track
    on_thigh: Track
    length: float

    @cached_property
    def _shank(self) -> Track:
        gap = complex(self.ankle_ahead, ANKLE_HEIGHT) - complex(0.0, HIP_ON_SEAT)
        cosine = (SHANK**2 + abs(gap) ** 2 - THIGH**2) / (2 * SHANK * abs(gap))
        lean = math.degrees(math.acos(cosine)) - math.degrees(math.atan2(gap.real, -gap.imag))
        return track(lean, *self.shank)

    def _seated_knee(self, t: float) -> float:
        lean = self._shank.at(t)
        height = HIP_ON_SEAT - ANKLE_HEIGHT - SHANK * math.cos(math.radians(lean))
        return lean + math.degrees(math.acos(height / THIGH))

    @cached_property
    def _knee(self) -> Quintic:
        t, d = self.seat_off, 1e-3
        before, now, after = (self._seated_knee(t + x) for x in (-d, 0.0, d))
        velocity = (after - before) / (2 * d)
        acceleration = (after - 2 * now + before) / d**2 - self.knee_kick
        first = (now, velocity, acceleration)
        return Quintic.through(t, first, self.knee_end, (self.knee_rest, 0.0, 0.0))

    def body(self, t: float, idle: Idle) -> Body:
        shank, knee = self._shank.at(t), self._seated_knee(t)
        if t > self.seat_off:
            standing = minimum_jerk((t - self.seat_off) / (self.length - self.seat_off))
            shank += idle.sway * standing
            knee = self._knee.at(t) + track(0.0, *self.knee_after).at(t)
        on_thigh = self.on_thigh.at(t)
        pose = Pose(
            ankle=complex(self.ankle_ahead, ANKLE_HEIGHT),
            shank_lean=shank,
            knee_flexion=knee,
            trunk_tilt=self.trunk.at(t) + idle.sway + 0.25 * idle.breath,
            lumbar=self.lumbar.at(t),
            thoracic=self.thoracic.at(t) - idle.breath,
            neck_lean=self.neck.at(t) + 0.5 * idle.breath,
            head_pitch=self.pitch.at(t) + 0.6 * idle.sway,
            hang=complex(6.6, -52.2),
            thigh_share=on_thigh,
            flat=on_thigh,
            hand_bend=5.0,
        )
        return pose_body(pose)

    def held(self, t: float, idle: Idle) -> Held | None:
        return None

    @property
    def moments(self) -> dict[str, float]:
        def trunk(t: float) -> float:
            return self.body(t, Idle()).pose.trunk_tilt

        def hip(t: float) -> float:
            body = self.body(t, Idle())
            return body.pose.trunk_tilt - body.pose.shank_lean + body.pose.knee_flexion

        end = self.length
        quiet, standing = trunk(0.0), hip(end)
        settled = end
        while all(abs(self._standing(settled)[i] - self._standing(end)[i]) < 0.5 for i in range(3)):
            settled -= 1e-4
        return {
            "first_lean": first_crossing(lambda t: trunk(t) - quiet - 1.0, 0.0, end),
            "seat_off": self.seat_off,
            "upright": first_crossing(lambda t: standing + 1.0 - hip(t), self.seat_off, end),
            "settled": settled,
        }

    def _standing(self, t: float) -> tuple[float, float, float]:
        pose = self.body(t, Idle()).pose
        return pose.trunk_tilt, pose.shank_lean, pose.knee_flexion


WEEK_1 = Rise(
    ankle_ahead=47.0,
    seat_off=1.02,
    shank=(
        (0.76, 1.82, 28.0),
        (1.74, 2.72, 1.5),
        (2.70, 3.35, 5.6),
        (3.25, 3.95, 3.0),
        (3.85, 4.60, 4.2),
    ),
    knee_end=2.80,
    knee_rest=5.0,
    knee_kick=170.0,
    knee_after=((2.70, 3.30, 4.0), (3.25, 3.9, -1.0), (3.8, 4.6, 0.0)),
    trunk=track(
        3.0,
        (0.0, 1.08, 59.0),
        (1.05, 2.42, -2.0),
        (2.45, 3.15, 5.5),
        (3.10, 3.80, 1.5),
        (3.70, 4.50, 3.2),
    ),
    lumbar=track(24.0, (0.1, 1.0, 32.0), (1.2, 2.6, 4.0)),
    thoracic=track(17.0, (0.1, 1.0, 22.0), (1.3, 2.7, 11.0)),
    neck=track(42.0, (0.05, 1.05, 80.0), (1.15, 2.65, 33.0), (2.7, 3.4, 36.0)),
    pitch=track(-7.0, (0.1, 1.0, 6.0), (1.0, 2.4, -9.0), (2.5, 3.3, -5.0)),
    on_thigh=track(1.0, (1.45, 2.35, 0.0)),
    length=4.6,
)

WEEK_10 = Rise(
    ankle_ahead=37.5,
    seat_off=0.92,
    shank=((0.48, 1.30, 18.0), (1.20, 2.35, 3.6)),
    knee_end=2.30,
    knee_rest=4.0,
    knee_kick=150.0,
    knee_after=(),
    trunk=track(4.0, (0.0, 1.02, 39.0), (0.95, 2.30, 1.5)),
    lumbar=track(9.0, (0.1, 1.0, 11.0), (1.1, 2.3, 0.0)),
    thoracic=track(4.0, (1.1, 2.3, 2.0)),
    neck=track(16.0, (0.05, 1.0, 47.0), (1.0, 2.25, 13.0)),
    pitch=track(2.0, (0.1, 1.0, 24.0), (1.0, 2.2, 2.0)),
    on_thigh=track(1.0, (1.15, 2.2, 0.0)),
    length=2.6,
)
