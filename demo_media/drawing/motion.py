"""Smooth motion: minimum-jerk steps that add up, and a clip's time mapped to a movement's time."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass


def minimum_jerk(share: float) -> float:
    """0 to 1 with no velocity or acceleration at either end (Flash and Hogan 1985)."""
    x = min(1.0, max(0.0, share))
    return x * x * x * (10.0 + x * (6.0 * x - 15.0))


@dataclass(frozen=True)
class Step:
    """A change by ``by`` that takes from ``start`` to ``end`` (s)."""

    start: float
    end: float
    by: float


@dataclass(frozen=True)
class Track:
    """A value over time: where it starts, and steps that may overlap."""

    rest: float
    steps: tuple[Step, ...] = ()

    def at(self, t: float) -> float:
        return self.rest + sum(
            step.by * minimum_jerk((t - step.start) / (step.end - step.start))
            for step in self.steps
        )


def track(rest: float, *steps: tuple[float, float, float]) -> Track:
    """A track whose steps are written ``(start, end, value reached)``."""
    made = []
    value = rest
    for start, end, reached in steps:
        made.append(Step(start, end, reached - value))
        value = reached
    return Track(rest, tuple(made))


@dataclass(frozen=True)
class Quintic:
    """The fifth-order curve between two states ``(value, velocity, acceleration)``."""

    start: float
    end: float
    coefficients: tuple[float, float, float, float, float, float]

    @classmethod
    def through(
        cls,
        start: float,
        first: tuple[float, float, float],
        end: float,
        last: tuple[float, float, float],
    ) -> Quintic:
        d = end - start
        p0, v0, a0 = first[0], first[1] * d, first[2] * d * d
        p1, v1, a1 = last[0], last[1] * d, last[2] * d * d
        gap, velocity, acceleration = p1 - p0 - v0 - a0 / 2, v1 - v0 - a0, a1 - a0
        c3 = 10 * gap - 4 * velocity + acceleration / 2
        c4 = -15 * gap + 7 * velocity - acceleration
        c5 = 6 * gap - 3 * velocity + acceleration / 2
        return cls(start, end, (p0, v0, a0 / 2, c3, c4, c5))

    def at(self, t: float) -> float:
        x = min(1.0, max(0.0, (t - self.start) / (self.end - self.start)))
        total = 0.0
        for coefficient in reversed(self.coefficients):
            total = total * x + coefficient
        return total


@dataclass(frozen=True)
class Leg:
    """A stretch of the clip (s) during which the movement's own time runs ``come`` to ``go``."""

    start: float
    end: float
    come: float
    go: float


@dataclass(frozen=True)
class Schedule:
    """Which part of a movement is seen when; it stands still between the legs."""

    legs: tuple[Leg, ...]

    def at(self, t: float) -> float:
        """Movement time at clip time ``t``, both in s."""
        now = self.legs[0].come
        for leg in self.legs:
            if t >= leg.start:
                share = min(1.0, (t - leg.start) / (leg.end - leg.start))
                now = leg.come + share * (leg.go - leg.come)
        return now


def sway(t: float, parts: Sequence[tuple[float, float, float]]) -> float:
    """Sum of slow sines written ``(amplitude, period in s, phase in turns)``."""
    return sum(a * math.sin(2 * math.pi * (t / period + turns)) for a, period, turns in parts)
