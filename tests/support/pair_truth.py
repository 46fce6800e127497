"""What the demo clips' truth says of each quantity that two reviews are compared by."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from support.truth import Truth

from cliptag.pairing import Side

Floats = NDArray[np.float64]

CURVES = (
    *("knee_flexion", "hip_flexion", "ankle_dorsiflexion", "ankle_dorsiflexion_to_toe"),
    *("trunk_tilt", "craniovertebral", "elbow_flexion"),
)
"""Angles that the truth tells by the names and conventions that the curves have."""

LEAN_ENDS = {
    "sit_to_stand": ("first_lean", "upright"),
    "bend": ("start", "back_up"),
    "lift": ("load_off", "upright"),
}
"""Between which moments each movement's greatest values are looked for."""


def true_value(truth: Truth, side: Side, name: str) -> float | None:
    """The true value of a quantity, at the times that the side's repetitions have; None: untold.

    The mean over the repetitions, as a quantity is.
    """
    from cliptag.pairing.moments import repetitions_of

    values = []
    for moments in repetitions_of(side).values():
        at = {str(moment): when.at_us for moment, when in moments.items()}
        value = _of_repetition(truth, name, at)
        if value is None:
            continue
        values.append(value)
    return float(np.mean(values)) if values else None


def _of_repetition(truth: Truth, name: str, at: dict[str, int]) -> float | None:
    times = truth.times_us
    ends = min(at.values()), max(at.values())
    for curve in CURVES:
        angle = truth.angle(curve)
        for moment, at_us in at.items():
            if name == f"{curve}_at_{moment}":
                return float(np.interp(at_us, times, angle))
        part = angle[(times >= ends[0]) & (times <= ends[1])]
        if name == f"{curve}_highest":
            return float(part.max())
        if name == f"{curve}_range":
            return float(part.max() - part.min())
    first, last = LEAN_ENDS[truth.data["movement"]]
    if first not in at or last not in at:
        return None
    stretch = (times >= at[first]) & (times <= at[last])
    if name == "peak_trunk_lean":
        return float(truth.angle("trunk_tilt")[stretch].max())
    if name == "knee_over_toe":
        return float(_ahead(truth, "knee", "toe")[stretch].max())
    gaps: dict[str, tuple[str, str, str]] = {
        "head_ahead_of_shoulder": ("ear", "shoulder", first),
        "feet_ahead_of_knees": ("ankle", "knee", "seat_off"),
        "load_to_low_back": ("load", "l4", "load_off"),
    }
    standing = {"sit_to_stand": "settled", "bend": "back_up", "lift": "upright"}
    for point in ("ear", "shoulder", "hip"):
        gaps[f"{point}_from_plumb"] = (point, "ankle", standing[truth.data["movement"]])
    if name in gaps and gaps[name][2] in at:
        ahead, behind, moment = gaps[name]
        return float(np.interp(at[moment], times, _ahead(truth, ahead, behind)))
    if name == "repetition_time":
        ends_us = [at_us for moment, at_us in at.items() if moment != "settled"]
        return (ends_us[-1] - ends_us[0]) / 1e6
    return None


def _ahead(truth: Truth, one: str, other: str) -> Floats:
    """How far one point lies ahead of another, cm."""
    return np.asarray((truth.level(one) - truth.level(other)).real)
