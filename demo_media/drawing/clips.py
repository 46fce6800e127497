"""The list of demo clips: who moves how, in which room, seen by which camera, at which times."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from drawing import bend, lift, rise
from drawing.body import Body
from drawing.camera import Camera
from drawing.furniture import WALL_FOOT
from drawing.motion import Leg, Schedule, sway
from drawing.movement import Held, Idle, Movement
from drawing.props import RULE_BASE, RULE_LENGTH
from drawing.stage import Stage
from drawing.standing import STANDING
from drawing.workshop import Room


@dataclass(frozen=True)
class Sound:
    """A sound in the room at ``at`` (s of the clip): 'creak', 'knock' or 'tap'."""

    name: str
    at: float


@dataclass(frozen=True)
class Clip:
    """One clip or photo. ``times`` are its frames' times in microseconds, from 0."""

    name: str
    movement: str
    week: int
    motion: Movement
    schedule: Schedule
    stage: Stage
    times: tuple[int, ...]
    unrest: float = 1.0
    set_down: bool = False

    @property
    def is_photo(self) -> bool:
        return len(self.times) == 1

    def idle(self, t: float) -> Idle:
        return Idle(
            sway=self.unrest * sway(t, ((0.26, 3.1, 0.15), (0.12, 1.27, 0.6))),
            breath=sway(t, ((0.55, 3.6, 0.0),)),
        )

    def body(self, t: float) -> Body:
        return self.motion.body(self.schedule.at(t), self.idle(t))

    def held(self, t: float) -> Held | None:
        return self.motion.held(self.schedule.at(t), self.idle(t))

    @cached_property
    def moments(self) -> list[tuple[str, int, int]]:
        """Named instants as ``(name, repetition from 1, microseconds)`` in order of time."""
        found = []
        repetition = 0
        for leg in self.schedule.legs:
            forward = leg.go > leg.come
            repetition += forward
            pace = (leg.end - leg.start) / (leg.go - leg.come)
            for name, at in self.motion.moments.items():
                if not min(leg.come, leg.go) <= at <= max(leg.come, leg.go):
                    continue
                if not forward:
                    if not (self.set_down and name == "load_off"):
                        continue
                    name = "set_down"
                us = round(1e6 * (leg.start + pace * (at - leg.come)))
                if us <= self.times[-1]:
                    found.append((name, repetition, us))
        return sorted(found, key=lambda moment: moment[2])

    @cached_property
    def sounds(self) -> list[Sound]:
        heard = {
            "seat_off": "creak",
            "grip": "tap",
            "set_down": "knock",
            "deepest": "tap",
        }
        return [Sound(heard[n], us / 1e6) for n, _, us in self.moments if n in heard]

    @property
    def rule(self) -> tuple[complex, complex]:
        """The rule's ends in the room, lower first (cm)."""
        x = self.stage.room.rule_x
        return complex(x, RULE_BASE), complex(x, RULE_BASE + RULE_LENGTH)

    @property
    def plumb(self) -> tuple[complex, complex]:
        """Two points of the door frame's edge, lower first (cm)."""
        x = self.stage.room.plumb_x
        return complex(x, WALL_FOOT + 10.0), complex(x, 150.0)


def steady_times(seconds: float) -> tuple[int, ...]:
    """Frame times of 30 a second, to the microsecond."""
    return tuple(round(i * 1e6 / 30) for i in range(round(seconds * 30)))


def phone_times(seconds: float, seed: int) -> tuple[int, ...]:
    """Frame times as of a phone in poor light: jitter of some ms, and one frame in nine missing.

    Times are multiples of 1/90000 s, so that the file can hold them to the microsecond's rounding.
    """
    random = np.random.default_rng(seed)
    ticks, kept = [], []
    for i in range(round(seconds * 30)):
        ticks.append(i * 3000 + (int(random.integers(-360, 361)) if i else 0))
        if i == 0 or random.random() > 0.11:
            kept.append(ticks[-1])
    return tuple(round(tick * 1e6 / 90000) for tick in kept)


def _bench_room(stool: bool, plumb_x: float, rule_x: float) -> Room:
    return Room(
        left=-80, right=150, window_x=66, bench=(-19, 62),
        violins=((-8, 146, 0), (17, 150, 1), (42, 147, 2)),
        plumb_x=plumb_x, rule_x=rule_x, stool_x=0.0 if stool else None,
    )  # fmt: skip


_STORE_ROOM = Room(
    left=-220, right=240, window_x=140, bench=(-112, -20),
    violins=((-96, 112, 0), (-67, 115, 1), (-38, 112, 3)),
    plumb_x=-128, rule_x=-52, store=(58, 126), tools=False,
)  # fmt: skip
_LIFT_ROOM = Room(
    left=-110, right=110, window_x=-104, bench=(-24, 48),
    violins=((-14, 146, 2), (11, 150, 0), (35, 146, 3)),
    plumb_x=53, rule_x=-53, door_right=True,
)  # fmt: skip

_PORTRAIT = Camera(1080, 1920, px_per_cm=8.3, centre_x=29.0, floor=130)


def _lift_camera(roll: float) -> Camera:
    return Camera(1080, 1920, px_per_cm=8.6, centre_x=0.0, floor=130, roll=roll)


def _once(start: float, length: float) -> Schedule:
    return Schedule((Leg(start, start + length, 0.0, length),))


def all_clips() -> dict[str, Clip]:
    """Every demo clip by name, without its ending."""
    sit = Stage(_bench_room(stool=True, plumb_x=-31.5, rule_x=-26), _PORTRAIT, 0.0, True)
    first = _once(1.6, rise.WEEK_1.length)
    d = rise.WEEK_10.length
    twice = Schedule((Leg(1.2, 1.2 + d, 0, d), Leg(4.5, 7.5, d, 0), Leg(8.1, 8.1 + d, 0, d)))
    clips = [
        Clip(
            "sit_to_stand_week01", "sit_to_stand", 1, rise.WEEK_1,
            first, sit, steady_times(8.2), 1.8,
        ),
        Clip(
            "sit_to_stand_week10", "sit_to_stand", 10, rise.WEEK_10,
            twice, sit, steady_times(11.6),
        ),
        Clip(
            "sit_to_stand_week01_vfr", "sit_to_stand", 1, rise.WEEK_1,
            _once(0.5, rise.WEEK_1.length), sit, phone_times(5.6, 5), 1.8,
        ),
        Clip(
            "sit_to_stand_week01_rotated", "sit_to_stand", 1, rise.WEEK_1,
            _once(0.4, rise.WEEK_1.length), sit, steady_times(5.2), 1.8,
        ),
    ]  # fmt: skip
    for week, bending, handheld in ((1, bend.WEEK_1, True), (10, bend.WEEK_10, False)):
        camera = Camera(1920, 1080, 5.6, 2.0, 72, handheld=handheld)
        stage = Stage(_STORE_ROOM, camera, 0.0, True, "billet")
        name = f"bend_week{week:02}"
        plan = _once(1.3, bending.length)
        times = steady_times(6.6)
        clips.append(Clip(name, "bend", week, bending, plan, stage, times, 2.0 / week**0.3))
    for week, lifting, roll in ((1, lift.WEEK_1, 1.5), (10, lift.WEEK_10, 0.0)):
        stage = Stage(_LIFT_ROOM, _lift_camera(roll), 18.0, False, "crate")
        d = lifting.length
        plan = Schedule((Leg(1.0, 1.0 + d, 0, d), Leg(5.7, 5.7 + d, d, 0)))
        clips.append(
            Clip(
                f"lift_week{week:02}", "lift", week, lifting, plan, stage, steady_times(10.0),
                2.0 / week**0.3, set_down=True,
            )
        )  # fmt: skip
    camera = Camera(1512, 2016, px_per_cm=10.6, centre_x=22.0, floor=120)
    photo = Stage(_bench_room(stool=False, plumb_x=-28, rule_x=72), camera, 18.0, True)
    clips.append(Clip("standing_week01", "standing", 1, STANDING, _once(0, 1), photo, (0,)))
    return {clip.name: clip for clip in clips}
