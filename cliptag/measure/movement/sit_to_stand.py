"""Moments of rising from a seat.

first_lean: the trunk's tilt has gone 1 degree forward of quiet sitting. seat_off: the hip, until
then at rest on the seat, begins to rise. upright: hip flexion first comes within 1 degree of its
value in standing. settled: from here on trunk, shank and knee stay within 0.5 degrees of standing.
Between them lie the phases of Schenkman et al. (Phys Ther 1990;70:638-651).
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from cliptag.measure.curves.curve import Curve
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.cycles import Cycle, cycles_of
from cliptag.measure.movement.onset import departure, track_of
from cliptag.measure.movement.proposal import Found, Proposal, sharpness
from cliptag.measure.movement.source import Source
from cliptag.measure.movement.swings import (
    REST_US,
    Swing,
    crossing,
    rest_before,
    rest_level,
    swing_in,
)

LEAN_DEG: Final = 1.0
UPRIGHT_DEG: Final = 1.0
SETTLED_DEG: Final = 0.5

_LEAST_RISE = 0.4
"""Of the thigh's length: less is no rise from a seat."""

_ADJUSTMENT_US = 200_000
"""About half of one small correction of posture, which the unrest of standing may hide."""

_QUIET_US = 2_000_000


def rises(source: Source) -> list[Cycle]:
    """Every rise from the seat, by the hip's height. Raises MeasureError without hip or knee."""
    thigh = source.length_px("hip", "knee")
    return cycles_of(source.height("hip"), source.in_height_unit(_LEAST_RISE * thigh))


def rise_moments(source: Source, cycle: Cycle, number: int) -> list[Proposal]:
    """The moments of one rise, as far as the curves show them, in order."""
    found = [
        _first_lean(source, cycle, number),
        _seat_off(source, cycle, number),
        *_standing(source, cycle, number),
    ]
    return [proposal for proposal in found if proposal is not None]


def _first_lean(source: Source, cycle: Cycle, number: int) -> Proposal | None:
    tilt = source.angle("trunk_tilt")
    swing = swing_in(tilt, cycle.from_us, cycle.up_us, 1)
    rest = None if swing is None else rest_before(tilt, swing, cycle.from_us)
    if swing is None or rest is None:
        return None
    height = Estimate(rest.value + LEAN_DEG, rest.sd)
    found = crossing(tilt, height, swing.first_us - REST_US, swing.fastest_us, 1, last=True)
    if found is None:
        return None
    reason = f"The trunk has leaned 1° forward of its {rest.value:.0f}° in quiet sitting."
    return found.named("first_lean", number, reason)


def _seat_off(source: Source, cycle: Cycle, number: int) -> Proposal | None:
    height = source.height("hip")
    rise = swing_in(height, cycle.from_us, cycle.high_until_us, 1)
    if rise is None:
        return None
    resting = (max(cycle.from_us, rise.first_us - REST_US), rise.first_us)
    hip = track_of(source.level, "hip", only_up=True)
    found = departure(hip, resting, cycle.up_us, let_go=True)
    if found is None:
        return None
    return found.named(
        "seat_off", number, "The hip, until then at rest on the seat, begins to rise."
    )


def _standing(source: Source, cycle: Cycle, number: int) -> list[Proposal]:
    """``upright`` and ``settled``."""
    hip = source.angle("hip_flexion")
    swing = swing_in(hip, cycle.from_us, cycle.high_until_us, -1)
    if swing is None:
        return []
    until_us = _stands_until(hip, swing, cycle)
    rest = rest_level(hip, max(swing.last_us, until_us - REST_US), until_us)
    if rest is None:
        return []
    height = Estimate(rest.value + UPRIGHT_DEG, rest.sd)
    upright = crossing(hip, height, swing.fastest_us, until_us, -1, last=False)
    if upright is None:
        return []
    reason = f"The hip is within 1° of its {rest.value:.0f}° of flexion in standing."
    found = [upright.named("upright", number, reason)]
    settled = _settled(source, upright.at_us, until_us)
    if settled is not None:
        reason = "From here on trunk, shank and knee stay within 0.5° of standing, sway aside."
        found.append(settled.named("settled", number, reason))
    return found


def _stands_until(hip: Curve, swing: Swing, cycle: Cycle) -> float:
    """When the hip begins to bend again, or the end of the clip."""
    if cycle.down_us is None:
        return cycle.until_us
    sitting = swing_in(hip, swing.last_us, cycle.until_us, 1)
    return cycle.down_us if sitting is None else max(swing.last_us, sitting.first_us)


def _settled(source: Source, upright_us: float, until_us: float) -> Found | None:
    """The last of trunk, shank and knee to come within 0.5 degrees of where it stays.

    Body sway and noise are as large as that, so that no one can see it happen. What is seen is
    when each curve last leaves the band of 0.5 degrees and twice its unrest; from there it is
    carried on at its speed, and as much is added to the uncertainty, and half a small correction
    of posture, which the band could hide; more where less than two quiet
    seconds follow.
    """
    latest: Found | None = None
    for name in ("trunk_tilt", "shank_tilt", "knee_flexion"):
        if name in source.angles:
            found = _last_outside(source.angles[name], upright_us, until_us, source.frame_us)
            if latest is None or found.at_us > latest.at_us:
                latest = found
    return latest


def _last_outside(curve: Curve, upright_us: float, until_us: float, frame_us: float) -> Found:
    rest = rest_level(curve, max(upright_us, until_us - 2.5 * REST_US), until_us)
    inside = (curve.times_us >= upright_us - 6 * frame_us) & (curve.times_us <= until_us)
    own = float(np.nanmean(curve.own_sd[inside]))
    if rest is None:
        return Found(upright_us, _ADJUSTMENT_US, 0.0)
    unrest = 2 * max(rest.sd, own)
    away = inside & (np.abs(curve.values - rest.value) > SETTLED_DEG + unrest)
    if not away.any():
        at_us, carried_us = upright_us, 0.0
    else:
        at = int(np.flatnonzero(away)[-1])
        rate = max(abs(float(curve.rate[at])), float(curve.rate_sd[at]))
        carried_us = 1e6 * unrest / rate
        at_us = float(curve.times_us[at]) + carried_us
    short_us = max(0.0, _QUIET_US - (until_us - at_us)) / 2
    sd_us = math.hypot(carried_us, _ADJUSTMENT_US if unrest > SETTLED_DEG else 0.0, short_us)
    return Found(min(max(at_us, upright_us), until_us), sd_us, sharpness(sd_us / frame_us))
