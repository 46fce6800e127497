"""Lifting a crate from the floor: in week 1 far off and from the back, in week 10 close and low.

The clips run the movement backwards to set the crate down again.
"""

from __future__ import annotations

from functools import cached_property

from drawing.fetch import Fetch, Thing
from drawing.motion import track
from drawing.movement import Idle, first_crossing

CRATE_LENGTH = 32.0
CRATE_HEIGHT = 30.0
HANDLE_UP = 9.0
"""From the crate's centre to its handle."""


class Lift(Fetch):
    """A fetch whose moments are those of lifting."""

    @cached_property
    def moments(self) -> dict[str, float]:
        def over_knee(t: float) -> float:
            knee = self.body(t, Idle()).points["knee"]
            return (self.held(t, Idle()).centre - knee).imag

        def hip(t: float) -> float:
            pose = self.body(t, Idle()).pose
            return pose.trunk_tilt - pose.shank_lean + pose.knee_flexion

        end = self.length
        return {
            "grip": self.grip,
            "load_off": self.load_off,
            "passing_knees": first_crossing(over_knee, self.load_off, end),
            "upright": first_crossing(lambda t: hip(end) + 1.0 - hip(t), self.load_off, end),
        }


def _crate(ahead: float) -> Thing:
    centre = complex(ahead, CRATE_HEIGHT / 2)
    return Thing(centre, centre + complex(0.0, HANDLE_UP), mass=0.13)


WEEK_1 = Lift(
    thing=_crate(43.5),
    grip=1.60,
    load_off=1.95,
    knee=track(5.0, (0.1, 1.4, 22.0), (1.95, 2.9, 12.0), (2.9, 3.9, 4.0)),
    trunk=track(3.0, (0.0, 1.55, 96.0), (1.95, 3.90, 1.0)),
    lumbar=track(4.0, (0.0, 1.4, 46.0), (2.3, 3.9, 4.0)),
    thoracic=track(11.0, (0.0, 1.5, 32.0), (2.2, 3.8, 13.0)),
    neck=track(36.0, (0.05, 1.5, 116.0), (1.95, 3.8, 36.0)),
    pitch=track(-2.0, (0.1, 1.45, 62.0), (1.95, 3.6, -2.0)),
    protraction=track(0.0, (0.3, 1.55, 5.0), (2.2, 3.6, 1.0)),
    over=track(3.0, (0.1, 1.5, 9.5), (2.2, 3.9, 5.0)),
    carry=complex(28.0, -34.0),
    carry_time=(2.15, 3.9),
    hand_goal=176.0,
    length=4.1,
)

WEEK_10 = Lift(
    thing=_crate(36.0),
    grip=1.75,
    load_off=2.15,
    knee=track(4.0, (0.1, 1.65, 98.0), (2.15, 3.75, 4.0)),
    trunk=track(1.5, (0.0, 1.65, 59.0), (2.25, 3.95, -1.0)),
    lumbar=track(0.0, (0.2, 1.6, 10.0), (2.3, 3.7, 0.0)),
    thoracic=track(2.0, (0.2, 1.6, 4.0), (2.3, 3.7, 2.0)),
    neck=track(13.0, (0.05, 1.6, 60.0), (2.2, 3.9, 13.0)),
    pitch=track(2.0, (0.1, 1.6, 30.0), (2.2, 3.8, 4.0)),
    protraction=track(0.0, (0.4, 1.7, 3.0), (2.3, 3.6, 0.5)),
    over=track(3.0, (0.2, 1.6, 6.0), (2.3, 3.9, 4.0)),
    carry=complex(23.0, -36.0),
    carry_time=(2.15, 3.8),
    hand_goal=172.0,
    length=4.1,
)
