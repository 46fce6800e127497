"""What every movement offers the clips, and the search for balance that they share."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from drawing.angles import centre_of_mass
from drawing.body import Body, Pose, pose_body


@dataclass(frozen=True)
class Idle:
    """The small unrest of a living body at one instant, in degrees."""

    sway: float = 0.0
    breath: float = 0.0


@dataclass(frozen=True)
class Held:
    """A thing that is moved: its centre (cm) and its lean (degrees from how it lies)."""

    centre: complex
    lean: float = 0.0


class Movement(Protocol):
    """A movement in its own time (s, from 0)."""

    @property
    def moments(self) -> dict[str, float]:
        """The named instants on the way, in the movement's own time."""

    def body(self, t: float, idle: Idle) -> Body: ...

    def held(self, t: float, idle: Idle) -> Held | None: ...


def balanced(pose_at: Callable[[float], Pose], over: float, load_share: float = 0.0) -> Body:
    """The body whose shank leans so that its mass centre stands ``over`` cm before the ankle.

    A held load acts at the wrist. Secant search; the result is exact to far below a micrometre, so
    that motion stays smooth.
    """

    def miss(lean: float) -> tuple[float, Body]:
        body = pose_body(pose_at(lean))
        mass = centre_of_mass(body, body.points["wrist"], load_share)
        return mass.real - body.points["ankle"].real - over, body

    a, b = 0.0, 4.0
    miss_a, miss_b = miss(a)[0], miss(b)[0]
    for _ in range(12):
        if abs(miss_b) < 1e-10 or miss_b == miss_a:
            break
        a, b, miss_a = b, b - miss_b * (b - a) / (miss_b - miss_a), miss_b
        miss_b = miss(b)[0]
    return miss(b)[1]


def first_crossing(value: Callable[[float], float], start: float, end: float) -> float:
    """First instant (to 0.1 ms) from ``start`` on at which ``value`` is no longer negative."""
    step = 0.005
    t = start
    while value(t) < 0.0:
        t += step
        if t > end:
            raise ValueError("the value never gets there")
    if t == start:
        return t
    low, high = t - step, t
    while high - low > 1e-5:
        middle = (low + high) / 2
        low, high = (middle, high) if value(middle) < 0.0 else (low, middle)
    return high
