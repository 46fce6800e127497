"""Bending down to a thing, taking hold of it and coming up with it.

The movement runs from standing to upright with the thing in hand.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from drawing.body import ANKLE_HEIGHT, PALM, Body, Pose, palm, up
from drawing.motion import Track, track
from drawing.movement import Held, Idle, balanced

_HANGING = complex(6.6, -52.2)


@dataclass(frozen=True)
class Thing:
    """What is fetched: where its centre and its handle rest (cm, in her frame), its mass as a
    share of hers, and the lean (degrees) that it takes on the way up."""

    centre: complex
    handle: complex
    mass: float
    lean: float = 0.0


@dataclass(frozen=True)
class Fetch:
    """Knee, trunk and spine are given; the ankle gives way so that she stays in balance.

    Up to ``load_off`` the hands come to the handle and rest there; from then on they go from where
    they are to ``carry``, both seen from the shoulder, and the thing goes with them.
    """

    thing: Thing
    grip: float
    load_off: float
    knee: Track
    trunk: Track
    lumbar: Track
    thoracic: Track
    neck: Track
    pitch: Track
    protraction: Track
    over: Track
    carry: complex
    carry_time: tuple[float, float]
    hand_goal: float
    length: float

    def body(self, t: float, idle: Idle) -> Body:
        gate = self._unrest.at(t)
        still = Idle(idle.sway * gate, idle.breath * gate)
        load = track(0.0, (self.load_off, self.load_off + 0.6, self.thing.mass)).at(t)
        over = self.over.at(t) + still.sway
        return balanced(lambda shank: self._pose(t, still, shank), over, load)

    def held(self, t: float, idle: Idle) -> Held:
        if t <= self.load_off:
            return Held(self.thing.centre)
        lean = track(0.0, (*self.carry_time, self.thing.lean)).at(t)
        handle = self.thing.handle - self.thing.centre
        return Held(palm(self.body(t, idle)) - handle, lean)

    @cached_property
    def _unrest(self) -> Track:
        rest = (self.grip - 0.8, self.grip - 0.1, 0.0)
        return track(1.0, rest, (self.load_off + 0.1, self.length, 1.0))

    @cached_property
    def _closing(self) -> Track:
        open_, shut = (self.grip - 0.7, self.grip - 0.3, 0.0), (self.grip - 0.25, self.grip, 1.0)
        return track(0.25, open_, shut)

    @property
    def _wrist_on_handle(self) -> complex:
        return self.thing.handle - PALM * up(self.hand_goal)

    @cached_property
    def _grip_from_shoulder(self) -> complex:
        body = self.body(self.load_off, Idle())
        return self._wrist_on_handle - body.points["shoulder"]

    def _hang(self, t: float) -> complex:
        if t <= self.load_off:
            return _HANGING
        raised = track(0.0, (*self.carry_time, 1.0)).at(t)
        return self._grip_from_shoulder + raised * (self.carry - self._grip_from_shoulder)

    def _pose(self, t: float, idle: Idle, shank: float) -> Pose:
        reach = track(0.0, (0.3, self.grip, 1.0)).at(t)
        return Pose(
            ankle=complex(0.0, ANKLE_HEIGHT),
            shank_lean=shank,
            knee_flexion=self.knee.at(t),
            trunk_tilt=self.trunk.at(t) + idle.sway + 0.25 * idle.breath,
            lumbar=self.lumbar.at(t),
            thoracic=self.thoracic.at(t) - idle.breath,
            neck_lean=self.neck.at(t) + 0.5 * idle.breath,
            head_pitch=self.pitch.at(t) + 0.6 * idle.sway,
            hang=self._hang(t),
            goal_share=0.0 if t > self.load_off else reach,
            goal=self._wrist_on_handle,
            protraction=self.protraction.at(t),
            hand_bend=5.0,
            hand_share=reach,
            hand_goal=self.hand_goal,
            grip=self._closing.at(t),
        )
