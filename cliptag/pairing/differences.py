"""What changed between two reviews, and what is within measuring error.

A change is called one when it is larger than the smallest detectable change, 1.96 sqrt(s1² + s2²)
for two values with the standard uncertainties s1 and s2; with equal ones that is 1.96 sqrt(2) SEM
(Weir, J Strength Cond Res 2005;19:231-240; de Vet et al., J Clin Epidemiol 2006;59:1033-1039).
Where the scatter of a few repetitions makes up much of an uncertainty, Student's factor for the
effective degrees of freedom takes the place of 1.96 (JCGM 100:2008, G.4).
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal

from scipy import stats

from cliptag.errors import PairingError
from cliptag.pairing.document import Direction
from cliptag.pairing.quantities import SOURCES, Quantity, quantities_of
from cliptag.pairing.side import Side

Verdict = Literal["changed", "within measuring error"]
Towards = Literal["towards the goal", "away from the goal"]

NORMAL_FACTOR: Final = 1.96
"""The normal distribution's, rounded as the published formulas have it."""


@dataclass(frozen=True, slots=True)
class Difference:
    """One quantity in both reviews.

    ``sd`` is the standard uncertainty (k = 1) of ``change`` (second less first), ``detectable``
    the smallest detectable change. ``goal`` is what the coach asked for, if anything.
    """

    first: Quantity
    second: Quantity
    change: float
    sd: float
    detectable: float
    goal: Direction | None = None

    @property
    def name(self) -> str:
        return self.first.name

    @property
    def words(self) -> str:
        return self.first.words

    @property
    def unit(self) -> str:
        return self.first.unit

    @property
    def verdict(self) -> Verdict:
        """Whether the change is more than measuring error."""
        return "changed" if abs(self.change) > self.detectable else "within measuring error"

    @property
    def towards(self) -> Towards | None:
        """For a change with a goal: whether it goes there. Nothing is said without a goal."""
        if self.goal is None or self.verdict != "changed":
            return None
        went: Direction = "more" if self.change > 0 else "less"
        return "towards the goal" if went == self.goal else "away from the goal"


def differences(
    first: Side, second: Side, goals: Mapping[str, Direction] | None = None
) -> tuple[Difference, ...]:
    """Every quantity that both reviews tell in the same unit, in the order of ``SOURCES``.

    Raises PairingError for a goal whose quantity isn't among them.
    """
    goals = goals or {}
    one, other = quantities_of(first), quantities_of(second)
    common = [name for name in one if name in other and one[name].unit == other[name].unit]
    strange = sorted(set(goals) - set(common))
    if strange:
        raise PairingError(
            f"The goal names {strange[0]}, which is not measured in both reviews; these are: "
            f"{', '.join(common) or 'none'}."
        )
    shared_scale = _shared_scale(first, second)
    found = [
        difference_of(one[name], other[name], goals.get(name), shared_scale) for name in common
    ]
    return tuple(sorted(found, key=lambda difference: SOURCES.index(difference.first.source)))


def difference_of(
    first: Quantity,
    second: Quantity,
    goal: Direction | None = None,
    shared_scale: float = 0.0,
) -> Difference:
    """The change of one quantity.

    ``shared_scale`` is the relative uncertainty of a length that both scales are read off, so that
    a wrong length makes both values wrong alike.
    """
    variance = first.sd**2 + second.sd**2
    if first.unit == "cm" and shared_scale > 0:
        variance = max(variance - 2 * first.value * second.value * shared_scale**2, 0.0)
        # Whatever is shared, placing the points is not.
        variance = max(variance, (first.sd**2 + second.sd**2) * 1e-6)
    sd = math.sqrt(variance)
    factor = coverage_factor(first, second)
    return Difference(first, second, second.value - first.value, sd, factor * sd, goal)


def coverage_factor(first: Quantity, second: Quantity) -> float:
    """By how many standard uncertainties a change must be larger than measuring error, 95 %."""
    whole = first.sd**2 + second.sd**2
    rest = sum(q.sd**4 / q.freedom for q in (first, second) if math.isfinite(q.freedom))
    if rest <= 0 or whole <= 0:
        return NORMAL_FACTOR
    return max(NORMAL_FACTOR, float(stats.t.ppf(0.975, whole**2 / rest)))


def _shared_scale(first: Side, second: Side) -> float:
    """The relative uncertainty of the known length, where both scales are the same thing."""
    one, other = first.review.scale, second.review.scale
    if one is None or other is None or not one.what or one.what != other.what:
        return 0.0
    if (one.length_cm, one.length_sd_cm) != (other.length_cm, other.length_sd_cm):
        return 0.0
    return one.length_sd_cm / one.length_cm
