"""Where a curve sets off, arrives, turns, and passes a height.

A swing is one large change of a curve, rising or falling. It is taken to begin and to end where
its rate is a twentieth of its greatest (common in studies of reaching; no one source). Rest levels
are medians of what lies just outside, and their spread there, body sway and noise together, counts
as the rest level's uncertainty.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.measure.curves.curve import Curve
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.proposal import FRAME_SHARE, Found, sharpness

QUIET_SHARE: Final = 0.05
REST_US: Final = 400_000
"""As much of the rest beside a swing is looked at: enough to average the scatter, too little for
the body to sway far."""

TURN_SHARE: Final = 0.05
"""A turning point lies in the middle of the time spent within this part of the swing from it."""


@dataclass(frozen=True, slots=True)
class Swing:
    """Times at which a large change begins, is fastest and ends; ``sense`` 1 rises, -1 falls."""

    first_us: float
    fastest_us: float
    last_us: float
    sense: int


def swing_in(curve: Curve, start_us: float, end_us: float, sense: int) -> Swing | None:
    """The fastest change upwards (``sense`` 1) or downwards (-1) between two times.

    None where nothing is faster than noise.
    """
    inside = (curve.times_us >= start_us) & (curve.times_us <= end_us)
    rate = np.where(inside, sense * curve.rate, np.nan)
    if np.isnan(rate).all():
        return None
    fastest = int(np.nanargmax(rate))
    if not rate[fastest] > 2 * curve.rate_sd[fastest]:
        return None
    # Noise in the rate must neither end a swing early nor draw it out for ever.
    quiet = max(QUIET_SHARE * rate[fastest], 2 * float(curve.rate_sd[fastest]))
    slow = np.flatnonzero(inside & ~(rate > quiet))
    around = np.flatnonzero(inside)
    before, after = slow[slow < fastest], slow[slow > fastest]
    return Swing(
        first_us=float(curve.times_us[before[-1] if len(before) else around[0]]),
        fastest_us=float(curve.times_us[fastest]),
        last_us=float(curve.times_us[after[0] if len(after) else around[-1]]),
        sense=sense,
    )


def rest_before(curve: Curve, swing: Swing, start_us: float) -> Estimate | None:
    """The level from which a swing sets off; nothing before ``start_us`` counts."""
    return rest_level(curve, max(start_us, swing.first_us - REST_US), swing.first_us)


def rest_level(curve: Curve, start_us: float, end_us: float) -> Estimate | None:
    """The median between two times, and how far the curve strays from it.

    The body sways on, so the drift over the stretch is added to the spread.
    """
    inside = (curve.times_us >= start_us) & (curve.times_us <= end_us)
    inside &= np.isfinite(curve.values)
    if not inside.any():
        return None
    values, own = curve.values[inside], float(np.mean(curve.own_sd[inside]))
    third = max(1, len(values) // 3)
    drift = float(np.mean(values[-third:]) - np.mean(values[:third]))
    spread = math.hypot(float(np.std(values)), drift)
    return Estimate(float(np.median(values)), max(spread, 0.5 * own))


def crossing(
    curve: Curve, height: Estimate, start_us: float, end_us: float, sense: int, *, last: bool
) -> Found | None:
    """When the curve goes through ``height`` upwards (``sense`` 1) or downwards (-1).

    The first or the last time between two times, straight between the frames. Its uncertainty is
    that of curve and height together, divided by the rate there.
    """
    inside = (curve.times_us >= start_us) & (curve.times_us <= end_us)
    above = sense * (curve.values - height.value)
    goes = inside[:-1] & inside[1:] & (above[:-1] < 0) & (above[1:] >= 0)
    found = np.flatnonzero(goes)
    if len(found) == 0:
        return None
    i = int(found[-1] if last else found[0])
    part = float(above[i] / (above[i] - above[i + 1]))
    t0, t1 = float(curve.times_us[i]), float(curve.times_us[i + 1])
    rate = max(float(np.nanmax(sense * curve.rate[i : i + 2])), float(curve.rate_sd[i]))
    sd_us = 1e6 * math.hypot(float(curve.own_sd[i]), height.sd) / rate
    sd_us = math.hypot(sd_us, FRAME_SHARE * (t1 - t0))
    return Found(t0 + part * (t1 - t0), sd_us, sharpness(sd_us / (t1 - t0)))


def turning(curve: Curve, start_us: float, end_us: float) -> Found | None:
    """When the curve is highest between two times.

    Near its top a curve is flat, and noise moves its highest frame at will. So the instant is the
    middle between coming within a twentieth of the rise from the top and leaving it again. How
    uneven the top is between those can't be told: a twentieth of that time is added.
    """
    part = curve.part(start_us, end_us)
    if not part.is_known:
        return None
    top = part.highest
    base = max(
        float(np.nanmin(part.values[part.times_us <= top.at_us], initial=top.value)),
        float(np.nanmin(part.values[part.times_us >= top.at_us], initial=top.value)),
    )
    if not base < top.value:
        return None
    height = Estimate(top.value - TURN_SHARE * (top.value - base), 0.0)
    came = crossing(curve, height, start_us, top.at_us + 1, 1, last=True)
    left = crossing(curve, height, top.at_us - 1, end_us, -1, last=False)
    if came is None or left is None:
        return Found(top.at_us, max(top.at_sd_us, 1), sharpness(5.0))
    sd_us = math.hypot(came.sd_us, left.sd_us, 0.1 * (left.at_us - came.at_us)) / 2
    frame_us = float(np.median(np.diff(curve.times_us)))
    return Found((came.at_us + left.at_us) / 2, sd_us, sharpness(sd_us / frame_us))
