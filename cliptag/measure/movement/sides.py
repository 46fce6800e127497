"""Left against right, where points of both sides are placed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from cliptag.measure.curves.curve import Curve
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.source import Source
from cliptag.measure.rounding import COVERAGE_FACTOR, with_uncertainty


@dataclass(frozen=True, slots=True)
class SideComparison:
    """The ranges of one angle on both sides, in degrees.

    ``difference`` is right less left. ``symmetry_percent`` is 100 (R - L) / ((R + L) / 2), 0 when
    alike (Robinson, Herzog & Nigg, J Manipulative Physiol Ther 1987;10:172-176, from memory).
    """

    name: str
    left: Estimate
    right: Estimate
    difference: Estimate
    symmetry_percent: Estimate
    sentence: str


def compare_sides(source: Source) -> tuple[SideComparison, ...]:
    """Every angle that is known on both sides."""
    names = [name.removeprefix("left_") for name in source.angles if name.startswith("left_")]
    return tuple(
        compare(name, source.angles[f"left_{name}"], source.angles[f"right_{name}"])
        for name in names
        if f"right_{name}" in source.angles
    )


def compare(name: str, left: Curve, right: Curve) -> SideComparison:
    """The ranges of two curves of one angle."""
    one, other = left.range, right.range
    difference = Estimate(other.value - one.value, math.hypot(one.sd, other.sd))
    both = one.value + other.value
    symmetry = Estimate(0.0, 0.0)
    if both > 0:
        by_side = 400.0 / both**2
        sd = by_side * math.hypot(other.value * one.sd, one.value * other.sd)
        symmetry = Estimate(200.0 * difference.value / both, sd)
    spoken = name.replace("_", " ")
    shown = with_uncertainty(abs(difference.value), difference.sd, "°")
    if abs(difference.value) <= COVERAGE_FACTOR * difference.sd:
        sentence = f"Left and right move alike in {spoken}, as far as can be told ({shown} apart)."
    else:
        side = "right" if difference.value > 0 else "left"
        sentence = f"The {side} side moves {shown} further in {spoken} than the other."
    return SideComparison(name, one, other, difference, symmetry, sentence)
