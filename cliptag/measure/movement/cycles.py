"""How often a curve goes up and comes down again."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from cliptag.measure.curves.curve import Curve

_UP, _DOWN = 0.6, 0.4


@dataclass(frozen=True, slots=True)
class Cycle:
    """One going up, half-way at ``up_us``, and its coming down at ``down_us``, if it does.

    ``from_us`` to ``until_us`` reaches from the coming down before to the next going up, or to the
    ends of the clip.
    """

    from_us: float
    up_us: float
    down_us: float | None
    until_us: float

    @property
    def high_until_us(self) -> float:
        """The end of what lies between going up and coming down."""
        return self.until_us if self.down_us is None else self.down_us


def cycles_of(curve: Curve, least: float) -> list[Cycle]:
    """Every going up from the lower to the upper part of a curve whose range is at least ``least``.

    Between 40 and 60 % of the range nothing is decided, so that trembling at half-way counts once.
    What is up at the clip's beginning has not gone up in it.
    """
    if not curve.is_known:
        return []
    low, high = float(np.nanmin(curve.values)), float(np.nanmax(curve.values))
    if high - low < least:
        return []
    share = (curve.values - low) / (high - low)
    changes: list[tuple[bool, float]] = []
    is_up = bool(share[np.isfinite(share)][0] > (_UP + _DOWN) / 2)
    for i in np.flatnonzero(np.isfinite(share)):
        if (share[i] > _UP and not is_up) or (share[i] < _DOWN and is_up):
            is_up = not is_up
            changes.append((is_up, _halfway(curve, share, int(i), is_up)))
    return _paired(changes, float(curve.times_us[0]), float(curve.times_us[-1]))


def _halfway(curve: Curve, share: np.ndarray, i: int, is_up: bool) -> float:
    """The last time up to frame ``i`` at which the curve went through half-way."""
    beyond = share[: i + 1] < 0.5 if is_up else share[: i + 1] > 0.5
    before = np.flatnonzero(beyond)
    if len(before) == 0:
        return float(curve.times_us[i])
    j = int(before[-1])
    part = float((0.5 - share[j]) / (share[j + 1] - share[j]))
    if not np.isfinite(part):
        return float(curve.times_us[i])
    return float(curve.times_us[j] + part * (curve.times_us[j + 1] - curve.times_us[j]))


def _paired(changes: list[tuple[bool, float]], start_us: float, end_us: float) -> list[Cycle]:
    cycles = []
    for k, (is_up, at_us) in enumerate(changes):
        if is_up:
            after = [at for _, at in changes[k + 1 : k + 3]]
            cycles.append(
                Cycle(
                    from_us=changes[k - 1][1] if k else start_us,
                    up_us=at_us,
                    down_us=after[0] if after else None,
                    until_us=after[1] if len(after) > 1 else end_us,
                )
            )
    return cycles
