"""Standing at ease, as for a photo."""

from __future__ import annotations

from dataclasses import dataclass

from drawing.body import ANKLE_HEIGHT, Body, Pose
from drawing.movement import Held, Idle, balanced


@dataclass(frozen=True)
class Standing:
    """A pose that only breathes and sways."""

    trunk_tilt: float
    knee_flexion: float
    thoracic: float
    neck_lean: float
    head_pitch: float

    def body(self, t: float, idle: Idle) -> Body:
        return balanced(lambda shank: self._pose(idle, shank), over=3.4)

    def held(self, t: float, idle: Idle) -> Held | None:
        return None

    @property
    def moments(self) -> dict[str, float]:
        return {}

    def _pose(self, idle: Idle, shank: float) -> Pose:
        return Pose(
            ankle=complex(0.0, ANKLE_HEIGHT),
            shank_lean=shank,
            knee_flexion=self.knee_flexion,
            trunk_tilt=self.trunk_tilt + idle.sway + 0.25 * idle.breath,
            lumbar=3.0,
            thoracic=self.thoracic - idle.breath,
            neck_lean=self.neck_lean,
            head_pitch=self.head_pitch,
            hand_bend=5.0,
        )


STANDING = Standing(trunk_tilt=1.9, knee_flexion=3.5, thoracic=9.0, neck_lean=33.0, head_pitch=-3.0)
