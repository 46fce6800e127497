"""The six multipliers of the revised NIOSH lifting equation.

Two modes that must not be mixed. ``formula``: the equation itself, unrounded, and the frequency
table interpolated linearly. ``table``: as the manual works its examples by hand, the printed table
entry where there is one, else the formula rounded half up to two decimals, and the next higher
printed frequency.

Source: Waters, Putz-Anderson, Garg, DHHS (NIOSH) 94-110, sections 1.3.1 to 1.3.6. The manual's
own rule for frequencies between the printed ones was not read; both modes choose so that a
multiplier that is printed as 0 is never interpolated away.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Literal, TypeAlias

from cliptag.measure.published.niosh_tables import (
    ASYMMETRY,
    COUPLING,
    FREQUENCIES,
    FREQUENCY,
    WIDEST_ASYMMETRY_DEG,
    Constants,
    Coupling,
    Duration,
    Table,
)

Mode: TypeAlias = Literal["formula", "table"]

_ONE, _ZERO = Decimal(1), Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Multipliers:
    """Each from 0 (no lift allowed) to 1 (nothing taken off)."""

    horizontal: float
    vertical: float
    travel: float
    asymmetry: float
    frequency: float
    coupling: float


def horizontal(reach: float, system: Constants, mode: Mode) -> Decimal:
    """HM: nearest / H."""
    h = Decimal(str(reach))
    if h > system.farthest:
        return _ZERO
    exact = _ONE if h <= system.nearest else system.nearest / h
    return _shown(exact, h, system.horizontal, mode)


def vertical(height: float, system: Constants, mode: Mode) -> Decimal:
    """VM: 1 - c |V - knuckle height|."""
    v = Decimal(str(height))
    if v > system.highest:
        return _ZERO
    return _shown(
        _ONE - system.per_height * abs(v - system.knuckle_height), v, system.vertical, mode
    )


def travel(distance: float, system: Constants, mode: Mode) -> Decimal:
    """DM: 0.82 + c / D."""
    d = Decimal(str(distance))
    if d > system.longest_travel:
        return _ZERO
    # Exactly 1 up to the shortest travel: the formula itself passes 1 there in both systems.
    exact = _ONE if d <= system.shortest_travel else Decimal("0.82") + system.travel_part / d
    return _shown(exact, d, system.travel, mode)


def asymmetry(angle_deg: float, mode: Mode) -> Decimal:
    """AM: 1 - 0.0032 A."""
    a = Decimal(str(angle_deg))
    if a > WIDEST_ASYMMETRY_DEG:
        return _ZERO
    return _shown(_ONE - Decimal("0.0032") * a, a, ASYMMETRY, mode)


def frequency(lifts_per_min: float, duration: Duration, starts_high: bool, mode: Mode) -> Decimal:
    """FM, from the table by duration and height of the hands."""
    f = max(Decimal(str(lifts_per_min)), FREQUENCIES[0])
    if f > FREQUENCIES[-1]:
        return _ZERO
    column = FREQUENCY[duration, starts_high]
    row = bisect_left(FREQUENCIES, f)
    above = column[row]
    if f == FREQUENCIES[row] or mode == "table" or above == 0:
        return above
    low, high = FREQUENCIES[row - 1], FREQUENCIES[row]
    return column[row - 1] + (above - column[row - 1]) * (f - low) / (high - low)


def coupling(grip: Coupling, starts_high: bool) -> Decimal:
    """CM."""
    return COUPLING[grip, starts_high]


def _shown(exact: Decimal, at: Decimal, printed: Table, mode: Mode) -> Decimal:
    if mode == "formula":
        return exact
    return printed.get(at, exact.quantize(Decimal("0.01"), ROUND_HALF_UP))
