"""Moments of lifting something from below and setting it down again.

grip: the hands have come to rest on the load. load_off: the load, until then at rest, begins to
rise. passing_knees: the load's centre is as high as the knee on the way up. upright: hip flexion
first comes within 1 degree of its value in standing with the load. set_down: the load has come to
rest below again.

Without a point ``load`` the wrist stands in for it, with less confidence.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.cycles import Cycle, cycles_of
from cliptag.measure.movement.onset import arrival, departure, track_of
from cliptag.measure.movement.proposal import FRAME_SHARE, Found, Proposal, sharpness
from cliptag.measure.movement.source import Source
from cliptag.measure.movement.swings import REST_US, crossing, rest_level, swing_in

UPRIGHT_DEG: Final = 1.0
CARRIED: Final = ("load", "wrist")
"""Points that stand for the load, the better one first."""

_LEAST_LIFT = 0.35
"""Of the trunk's length from hip to shoulder."""

_STAND_IN = 0.5
_GRIP_SCATTERS = 8.0
"""A hand closes in slowly and not on one line, so that only the very last bit is followed."""

_HOLD_US = 200_000
"""The hands rest on the load at least so long before it rises (common practice, no source)."""


def lifts(source: Source) -> list[Cycle]:
    """Every lift, by the load's height. Raises MeasureError without hip, shoulder or wrist."""
    trunk = source.length_px("hip", "shoulder")
    height = source.height(carried(source))
    return cycles_of(height, source.in_height_unit(_LEAST_LIFT * trunk))


def carried(source: Source) -> str:
    """The point that stands for the load: ``load``, else ``wrist``."""
    for name in CARRIED:
        if name in source.level:
            return name
    raise MeasureError("Neither the load nor the wrist is placed: place or track one first.")


def lift_moments(source: Source, cycle: Cycle, number: int) -> list[Proposal]:
    """The moments of one lift, as far as the curves show them, in order."""
    what = carried(source)
    words = "load" if what == "load" else "wrist"
    found: list[Proposal | None] = []
    load_off = _load_off(source, cycle, what)
    if load_off is not None:
        grip = _grip(source, cycle, load_off.at_us) if what == "load" else None
        if grip is not None:
            found.append(
                grip.named("grip", number, "The wrist has come to rest before the load rises.")
            )
        found.append(
            load_off.named(
                "load_off", number, f"The {words}, until then at rest below, begins to rise."
            )
        )
    found += [_passing(source, cycle, what, number), _upright(source, cycle, what, number)]
    down = _set_down(source, cycle, what)
    if down is not None:
        reason = f"The {words} has come to rest below again."
        found.append(down.named("set_down", number, reason))
    weight = 1.0 if what == "load" else _STAND_IN
    return [replace(p, confidence=round(weight * p.confidence, 2)) for p in found if p is not None]


def _load_off(source: Source, cycle: Cycle, what: str) -> Found | None:
    rise = swing_in(source.height(what), cycle.from_us, cycle.high_until_us, 1)
    if rise is None:
        return None
    resting = (max(cycle.from_us, rise.first_us - REST_US), rise.first_us)
    track = track_of(source.level, what, only_up=True)
    return departure(track, resting, cycle.up_us, let_go=False)


def _set_down(source: Source, cycle: Cycle, what: str) -> Found | None:
    if cycle.down_us is None:
        return None
    fall = swing_in(source.height(what), cycle.high_until_us - REST_US, cycle.until_us, -1)
    if fall is None:
        return None
    resting = (fall.last_us, min(cycle.until_us, fall.last_us + REST_US))
    track = track_of(source.level, what, only_up=True)
    return arrival(track, cycle.down_us, resting)


def _grip(source: Source, cycle: Cycle, load_off_us: float) -> Found | None:
    if "wrist" not in source.level:
        return None
    track = track_of(source.level, "wrist", only_up=False)
    before = (track.times_us >= cycle.from_us) & (track.times_us < load_off_us - _HOLD_US)
    resting = track.smooth[
        (track.times_us >= load_off_us - _HOLD_US) & (track.times_us <= load_off_us)
    ]
    if not before.any() or not np.isfinite(resting).any():
        return None
    gone = np.hypot.reduce(track.smooth - np.nanmedian(resting, axis=0), axis=1)
    farthest = int(np.nanargmax(np.where(before, gone, np.nan)))
    return arrival(
        track,
        float(track.times_us[farthest]),
        (load_off_us - _HOLD_US, load_off_us),
        _GRIP_SCATTERS,
    )


def _passing(source: Source, cycle: Cycle, what: str, number: int) -> Proposal | None:
    if "knee" not in source.level:
        return None
    load, knee = source.level[what], source.level["knee"]
    times = source.level.trajectories.times_us
    inside = (times >= cycle.from_us) & (times <= cycle.high_until_us)
    above = load.up - knee.up
    goes = np.flatnonzero(inside[1:] & inside[:-1] & (above[:-1] < 0) & (above[1:] >= 0))
    if len(goes) == 0:
        return None
    i = int(goes[-1])
    part = float(above[i] / (above[i] - above[i + 1]))
    step_us = float(times[i + 1] - times[i])
    sd_px = float(np.hypot(load.point.sd_px[i], knee.point.sd_px[i]))
    sd_us = float(np.hypot(step_us * sd_px / (above[i + 1] - above[i]), FRAME_SHARE * step_us))
    found = Found(float(times[i]) + part * step_us, sd_us, sharpness(sd_us / step_us))
    whose = "centre of the load" if what == "load" else "wrist"
    return found.named("passing_knees", number, f"The {whose} is as high as the knee, going up.")


def _upright(source: Source, cycle: Cycle, what: str, number: int) -> Proposal | None:
    hip = source.angle("hip_flexion")
    straighten = swing_in(hip, cycle.from_us, cycle.high_until_us, -1)
    if straighten is None:
        return None
    until_us = cycle.until_us
    if cycle.down_us is not None:
        again = swing_in(hip, straighten.last_us, cycle.until_us, 1)
        until_us = cycle.down_us if again is None else max(straighten.last_us, again.first_us)
    rest = rest_level(hip, max(straighten.last_us, until_us - REST_US), until_us)
    if rest is None:
        return None
    height = Estimate(rest.value + UPRIGHT_DEG, rest.sd)
    found = crossing(hip, height, straighten.fastest_us, until_us, -1, last=False)
    if found is None:
        return None
    with_what = "with the load" if what == "load" else "again"
    reason = f"The hip is within 1° of its {rest.value:.0f}° of flexion in standing {with_what}."
    return found.named("upright", number, reason)
