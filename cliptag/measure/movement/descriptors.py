"""What a coach says of a movement, each a number with its uncertainty and one plain sentence.

They describe; none says what is right. The first group is read between two times, the second at
one. All are in the plane of the movement as the camera sees it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.errors import MeasureError
from cliptag.measure.curves.curve import Curve
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.gaps import Length, ahead_at, furthest_ahead
from cliptag.measure.movement.source import Source
from cliptag.measure.rounding import COVERAGE_FACTOR, with_uncertainty

_LEAST_SHARE_DEG: Final = 10.0
"""Hip and knee together must bend so far before their shares mean anything."""

_CHANCE_RANGE: Final = 4.0
"""The extremes of some twenty noisy values lie so many uncertainties of a difference apart, and
more, in 1 of 100 cases where nothing changes (range of normal samples, computed)."""

_LOW_BACK: Final = ("l4", "s2", "l1")


@dataclass(frozen=True, slots=True)
class Descriptor:
    """One number about a movement; ``sd`` is its standard uncertainty (k = 1).

    ``repetition`` counts from 1, or is 0 for the clip as a whole.
    """

    name: str
    repetition: int
    at_us: int
    value: float
    sd: float
    unit: str
    sentence: str


def peak_trunk_lean(source: Source, number: int, start_us: float, end_us: float) -> Descriptor:
    """The trunk's greatest forward tilt."""
    peak = source.angle("trunk_tilt").part(start_us, end_us).highest
    shown = with_uncertainty(abs(peak.value), peak.sd, "°")
    way = "forward" if peak.value >= 0 else "backward"
    return Descriptor(
        "peak_trunk_lean", number, peak.at_us, peak.value, peak.sd, "°",
        f"The trunk leans {shown} {way} at most.",
    )  # fmt: skip


def knee_over_toe(source: Source, number: int, start_us: float, end_us: float) -> Descriptor:
    """How far the knee goes ahead of the toe's point, at most; negative when it stays behind."""
    length, at_us = furthest_ahead(source.level, "knee", "toe", start_us, end_us)
    shown = _shown(length)
    sentence = _by_side(
        length,
        f"The knee goes {shown} beyond the toe at most.",
        f"The knee stays {shown} behind the toe.",
        f"The knee comes level with the toe ({shown}).",
    )
    return _of_length("knee_over_toe", number, at_us, length, sentence)


def hip_share(source: Source, number: int, start_us: float, end_us: float) -> Descriptor:
    """The hip's part, in %, of what hip and knee together change by between two times."""
    hip, knee = _changes(source, start_us, end_us)
    both = abs(hip.value) + abs(knee.value)
    if both < _LEAST_SHARE_DEG:
        raise MeasureError("Hip and knee hardly bend here: there is no share to tell.")
    share = 100.0 * abs(hip.value) / both
    sd = 100.0 * math.hypot(knee.value * hip.sd, hip.value * knee.sd) / both**2
    shown = with_uncertainty(share, sd, "%")
    what = "bending" if hip.value + knee.value > 0 else "straightening"
    sentence = (
        f"{shown} of the {what} comes from the hip, the rest from the knee "
        f"(hip {abs(hip.value):.0f}°, knee {abs(knee.value):.0f}°)."
    )
    return Descriptor("hip_share", number, round(end_us), share, sd, "%", sentence)


def hip_lead(source: Source, number: int, start_us: float, end_us: float) -> Descriptor:
    """By how many seconds the hip is half-way through its change before the knee is."""
    times = []
    for name in ("hip_flexion", "knee_flexion"):
        times.append(_half_way(source.angle(name).part(start_us, end_us)))
    hip, knee = times
    lead, sd = knee.value - hip.value, math.hypot(hip.sd, knee.sd)
    shown = with_uncertainty(1000 * abs(lead), 1000 * sd, "ms")
    if abs(lead) <= COVERAGE_FACTOR * sd:
        sentence = f"Hip and knee move together ({shown} apart half-way)."
    else:
        first, then = ("hip", "knee") if lead > 0 else ("knee", "hip")
        sentence = f"The {first} moves first: half-way {shown} before the {then}."
    return Descriptor("hip_lead", number, round(start_us), lead, sd, "s", sentence)


def low_back_rounding(source: Source, number: int, start_us: float, end_us: float) -> Descriptor:
    """From the flattest to the roundest low back, by three or more points along it."""
    part = source.angle("low_back_rounding").part(start_us, end_us)
    change, roundest = part.range, part.highest
    shown = with_uncertainty(change.value, change.sd, "°")
    if change.value <= _CHANCE_RANGE * change.sd:
        sentence = f"The low back keeps its shape as far as can be told ({shown})."
    else:
        sentence = f"The low back rounds by {shown} from its flattest to its roundest."
    return Descriptor(
        "low_back_rounding", number, roundest.at_us, change.value, change.sd, "°", sentence
    )


def load_to_low_back(source: Source, number: int, at_us: int) -> Descriptor:
    """The level distance from the load's centre to the skin over the low back, the load's lever
    arm but for the few cm from the skin to the joints."""
    back = next((name for name in _LOW_BACK if name in source.level), None)
    if back is None:
        raise MeasureError("No point of the low back is placed: place L4, S2 or L1 first.")
    length = ahead_at(source.level, "load", back, at_us)
    sentence = f"The load is {_shown(length)} in front of the low back."
    return _of_length("load_to_low_back", number, at_us, length, sentence)


def head_ahead_of_shoulder(source: Source, number: int, at_us: int) -> Descriptor:
    """How far the tragus lies forward of the shoulder's point."""
    length = ahead_at(source.level, "ear", "shoulder", at_us)
    return _of_length(
        "head_ahead_of_shoulder", number, at_us, length, _offset("ear", "shoulder", length)
    )


def plumb_offset(source: Source, number: int, at_us: int, name: str) -> Descriptor:
    """How far a point lies forward of the plumb line over the ankle."""
    length = ahead_at(source.level, name, "ankle", at_us)
    shown = _shown(length)
    sentence = _by_side(
        length,
        f"The {name} is {shown} in front of the plumb line over the ankle.",
        f"The {name} is {shown} behind the plumb line over the ankle.",
        f"The {name} is on the plumb line over the ankle ({shown}).",
    )
    return _of_length(f"{name}_from_plumb", number, at_us, length, sentence)


def feet_ahead_of_knees(source: Source, number: int, at_us: int) -> Descriptor:
    """How far the ankle lies forward of the knee; negative with the feet drawn back."""
    length = ahead_at(source.level, "ankle", "knee", at_us)
    shown = _shown(length)
    sentence = _by_side(
        length,
        f"The feet are {shown} in front of the knees.",
        f"The feet are {shown} behind the knees.",
        f"The feet are under the knees ({shown}).",
    )
    return _of_length("feet_ahead_of_knees", number, at_us, length, sentence)


def _changes(source: Source, start_us: float, end_us: float) -> tuple[Estimate, Estimate]:
    found = []
    for name in ("hip_flexion", "knee_flexion"):
        curve = source.angle(name)
        start, end = curve.at(start_us), curve.at(end_us)
        if math.isnan(start.value) or math.isnan(end.value):
            raise MeasureError("Hip and knee are not both known at the ends of this part.")
        found.append(Estimate(end.value - start.value, math.hypot(start.sd, end.sd)))
    return found[0], found[1]


def _half_way(part: Curve) -> Estimate:
    """When a curve has gone through half of its change from first to last, in seconds."""
    known = np.flatnonzero(np.isfinite(part.values))
    if len(known) < 3:
        raise MeasureError("Hip and knee are not known throughout this part.")
    first, last = part.values[known[0]], part.values[known[-1]]
    if abs(last - first) < _LEAST_SHARE_DEG / 2:
        raise MeasureError("Hip or knee hardly bends here: which moves first can't be told.")
    share = (part.values - first) / (last - first)
    i = int(np.flatnonzero((share[:-1] < 0.5) & (share[1:] >= 0.5))[0])
    t0, t1 = part.times_us[i] / 1e6, part.times_us[i + 1] / 1e6
    at_s = t0 + (0.5 - share[i]) / (share[i + 1] - share[i]) * (t1 - t0)
    rate = max(abs(float(part.rate[i])), float(part.rate_sd[i]))
    return Estimate(float(at_s), 1.5 * float(part.own_sd[i]) / rate)


def _offset(name: str, other: str, length: Length) -> str:
    shown = _shown(length)
    return _by_side(
        length,
        f"The {name} is {shown} in front of the {other}.",
        f"The {name} is {shown} behind the {other}.",
        f"The {name} is above the {other} ({shown}).",
    )


def _by_side(length: Length, ahead: str, behind: str, neither: str) -> str:
    if abs(length.value) <= COVERAGE_FACTOR * length.sd:
        return neither
    return ahead if length.value > 0 else behind


def _shown(length: Length) -> str:
    return with_uncertainty(abs(length.value), length.sd, length.unit)


def _of_length(name: str, number: int, at_us: int, length: Length, sentence: str) -> Descriptor:
    return Descriptor(name, number, at_us, length.value, length.sd, length.unit, sentence)
