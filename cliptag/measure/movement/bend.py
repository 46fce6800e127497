"""Moments of bending down and coming up again.

start: the trunk's tilt has gone 1 degree forward of quiet standing. deepest: it is greatest.
back_up: it is back within 1 degree of standing afterwards.
"""

from __future__ import annotations

from typing import Final

from cliptag.measure.curves.curve import Curve
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.cycles import Cycle, cycles_of
from cliptag.measure.movement.proposal import Proposal
from cliptag.measure.movement.source import Source
from cliptag.measure.movement.swings import (
    REST_US,
    crossing,
    rest_before,
    rest_level,
    swing_in,
    turning,
)

STANDING_DEG: Final = 1.0

_LEAST_BEND_DEG = 20.0


def bends(source: Source) -> list[Cycle]:
    """Every bend, by the trunk's tilt. Raises MeasureError without hip or shoulder."""
    return cycles_of(source.angle("trunk_tilt"), _LEAST_BEND_DEG)


def bend_moments(source: Source, cycle: Cycle, number: int) -> list[Proposal]:
    """The moments of one bend, as far as the curve shows them, in order."""
    tilt = source.angle("trunk_tilt")
    found = [
        _start(tilt, cycle, number),
        _deepest(tilt, cycle, number),
        _back_up(tilt, cycle, number),
    ]
    return [proposal for proposal in found if proposal is not None]


def _start(tilt: Curve, cycle: Cycle, number: int) -> Proposal | None:
    swing = swing_in(tilt, cycle.from_us, cycle.high_until_us, 1)
    rest = None if swing is None else rest_before(tilt, swing, cycle.from_us)
    if swing is None or rest is None:
        return None
    height = Estimate(rest.value + STANDING_DEG, rest.sd)
    found = crossing(tilt, height, swing.first_us - REST_US, swing.fastest_us, 1, last=True)
    if found is None:
        return None
    reason = f"The trunk has gone 1° forward of its {rest.value:.0f}° in quiet standing."
    return found.named("start", number, reason)


def _deepest(tilt: Curve, cycle: Cycle, number: int) -> Proposal | None:
    found = turning(tilt, cycle.from_us, cycle.until_us)
    if found is None:
        return None
    reason = f"The trunk's tilt is greatest, {tilt.at(found.at_us).value:.0f}°."
    return found.named("deepest", number, reason)


def _back_up(tilt: Curve, cycle: Cycle, number: int) -> Proposal | None:
    if cycle.down_us is None:
        return None
    swing = swing_in(tilt, cycle.up_us, cycle.until_us, -1)
    if swing is None:
        return None
    again = None
    if cycle.until_us < tilt.times_us[-1]:
        again = swing_in(tilt, swing.last_us, cycle.until_us, 1)
    until_us = cycle.until_us if again is None else max(swing.last_us, again.first_us)
    rest = rest_level(tilt, max(swing.last_us, until_us - 2 * REST_US), until_us)
    if rest is None:
        return None
    height = Estimate(rest.value + STANDING_DEG, rest.sd)
    found = crossing(tilt, height, swing.fastest_us, until_us, -1, last=False)
    if found is None:
        return None
    reason = f"The trunk is back within 1° of its {rest.value:.0f}° in standing."
    return found.named("back_up", number, reason)
