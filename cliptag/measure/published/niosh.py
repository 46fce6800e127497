"""Revised NIOSH lifting equation: recommended weight limit and lifting index of one task.

Source: Waters TR, Putz-Anderson V, Garg A. Applications Manual for the Revised NIOSH Lifting
Equation. DHHS (NIOSH) 94-110, 1994, revised 2021; Waters et al., Ergonomics 1993;36:749-776.
ISO 11228-1 uses the same multipliers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, TypeAlias, get_args

from cliptag.measure.geometry import Estimate
from cliptag.measure.published import niosh_multipliers as multiplier
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.niosh_multipliers import Mode, Multipliers
from cliptag.measure.published.niosh_tables import METRIC, US, Constants, Coupling, Duration
from cliptag.measure.published.quantity import (
    Measured,
    choice,
    estimate,
    number,
    propagated_sd,
)
from cliptag.measure.rounding import COVERAGE_FACTOR

METHOD: Final = Method(
    key="niosh-lifting",
    name="Revised NIOSH lifting equation",
    source="Waters, Putz-Anderson, Garg: Applications Manual for the Revised NIOSH Lifting "
    "Equation, DHHS (NIOSH) 94-110, 1994, revised 2021",
    known=(
        ("equation, limits, tables up to 10 lifts a minute", "read"),
        ("frequency rows above 10 lifts a minute, coupling table, durations", "from memory"),
        ("the manual's worked examples", "from memory"),
    ),
    inputs=(
        "weight of the load",
        "H: hands ahead of the midpoint between the ankles",
        "V: hands above the floor",
        "D: vertical travel of the hands",
        "A: angle of asymmetry",
        "lifts a minute, duration, coupling",
    ),
    gives="recommended weight limit and lifting index",
    limits=(
        "two-handed, smooth lifts on a firm floor, with a load that does not shift",
        "not for one-handed, seated or kneeling lifts, a narrow space, more than 8 hours a day, "
        "pushing, pulling, carrying, shovels, wheelbarrows, or lifting people",
        "where the load must be placed with care, work out the end of the lift too and take the "
        "harder end",
    ),
    does_not_say="It says nothing about one person's back, age or strength, and nothing about "
    "slips, sudden loads or heat.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """One lifting task in kilograms and centimetres.

    ``horizontal_cm`` is from the midpoint between the ankles to the midpoint of the grip,
    ``vertical_cm`` the height of the grip where the lift starts.
    """

    load_kg: Measured
    horizontal_cm: Measured
    vertical_cm: Measured
    travel_cm: Measured
    asymmetry_deg: Measured = 0.0
    lifts_per_min: float
    duration: Duration
    coupling: Coupling


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftUS:
    """The same in pounds and inches."""

    load_lb: Measured
    horizontal_in: Measured
    vertical_in: Measured
    travel_in: Measured
    asymmetry_deg: Measured = 0.0
    lifts_per_min: float
    duration: Duration
    coupling: Coupling


AnyLift: TypeAlias = Lift | LiftUS


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftingResult:
    """Weights in ``mass_unit``; ``_sd`` are standard uncertainties (k = 1) from the distances.

    ``frequency_independent_limit`` is the limit with FM = 1. Where a multiplier is 0 the limit
    is 0 and the index infinite.
    """

    mode: Mode
    mass_unit: str
    load: Estimate
    load_constant: float
    multipliers: Multipliers
    weight_limit: float
    weight_limit_sd: float
    frequency_independent_limit: float
    lifting_index: float
    lifting_index_sd: float

    @property
    def harshest(self) -> str:
        """Which multiplier takes most off: the first thing worth changing."""
        return min(Multipliers.__slots__, key=lambda name: float(getattr(self.multipliers, name)))

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        if math.isinf(self.lifting_index):
            return f"The {_WORDS[self.harshest]} lies outside what the equation allows. {GUIDE}"
        reach = COVERAGE_FACTOR * self.lifting_index_sd
        low, high = self.lifting_index - reach, self.lifting_index + reach
        unsure = "".join(f" The uncertainty reaches over {n}." for n in (1, 3) if low <= n < high)
        return (
            f"Lifting index {index_text(self.lifting_index)}: {index_reading(self.lifting_index)}."
            f"{unsure} What takes most off is the {_WORDS[self.harshest]}. {GUIDE}"
        )


_WORDS: Final = {
    "horizontal": "reach",
    "vertical": "height of the hands",
    "travel": "way the load travels up or down",
    "asymmetry": "twist",
    "frequency": "number of lifts",
    "coupling": "grip",
}


def lifting_equation(lift: AnyLift, mode: Mode = "formula") -> LiftingResult:
    """Weight limit and index of one task.

    ``formula`` is the default since it has no rounding; ``table`` reproduces the manual's hand
    calculation. Raises MeasureError for numbers that can't be meant.
    """
    choice(mode, "The mode", get_args(Mode))
    system = system_of(lift)
    load, reaches = _checked(lift, system)

    def limit(*values: float) -> float:
        return _limit(_multipliers(values, lift, system, mode), system)

    def index(mass: float, *values: float) -> float:
        most = limit(*values)
        return mass / most if most > 0 else math.inf

    values = tuple(one.value for one in reaches)
    multipliers = _multipliers(values, lift, system, mode)
    lifting_index = index(load.value, *values)
    return LiftingResult(
        mode=mode,
        mass_unit=system.mass_unit,
        load=load,
        load_constant=float(system.load),
        multipliers=multipliers,
        weight_limit=_limit(multipliers, system),
        weight_limit_sd=propagated_sd(limit, reaches),
        frequency_independent_limit=_limit(multipliers, system, with_frequency=False),
        lifting_index=lifting_index,
        lifting_index_sd=(
            math.inf if math.isinf(lifting_index) else propagated_sd(index, (load, *reaches))
        ),
    )


def system_of(lift: AnyLift) -> Constants:
    """Constants of the units in which the task is given."""
    return METRIC if isinstance(lift, Lift) else US


def starts_high(lift: AnyLift) -> bool:
    """Whether the hands start at or above knuckle height, for the frequency and the coupling."""
    height = lift.vertical_cm if isinstance(lift, Lift) else lift.vertical_in
    value = height.value if isinstance(height, Estimate) else height
    return value >= float(system_of(lift).high_from)


def _checked(lift: AnyLift, system: Constants) -> tuple[Estimate, tuple[Estimate, ...]]:
    choice(lift.duration, "The duration", get_args(Duration))
    choice(lift.coupling, "The coupling", get_args(Coupling))
    number(lift.lifts_per_min, "The number of lifts", 0.0, 60.0, "a minute")
    if isinstance(lift, Lift):
        load, lengths = lift.load_kg, (lift.horizontal_cm, lift.vertical_cm, lift.travel_cm)
        most, longest = 500.0, 300.0
    else:
        load, lengths = lift.load_lb, (lift.horizontal_in, lift.vertical_in, lift.travel_in)
        most, longest = 1000.0, 120.0
    names = ("The reach H", "The height V", "The travel D")
    return estimate(load, "The load", 0.01, most, system.mass_unit), (
        *(
            estimate(length, name, 0.0, longest, system.length_unit)
            for length, name in zip(lengths, names, strict=True)
        ),
        estimate(lift.asymmetry_deg, "The asymmetry A", 0.0, 180.0, "degrees"),
    )


def _multipliers(
    values: tuple[float, ...], lift: AnyLift, system: Constants, mode: Mode
) -> Multipliers:
    # An uncertain height or travel near 0 may step below it while its uncertainty is propagated.
    h, v, d, a = (max(value, 0.0) for value in values)
    high = v >= float(system.high_from)
    return Multipliers(
        horizontal=float(multiplier.horizontal(h, system, mode)),
        vertical=float(multiplier.vertical(v, system, mode)),
        travel=float(multiplier.travel(d, system, mode)),
        asymmetry=float(multiplier.asymmetry(a, mode)),
        frequency=float(multiplier.frequency(lift.lifts_per_min, lift.duration, high, mode)),
        coupling=float(multiplier.coupling(lift.coupling, high)),
    )


def _limit(each: Multipliers, system: Constants, with_frequency: bool = True) -> float:
    lengths = each.horizontal * each.vertical * each.travel * each.asymmetry
    rest = each.coupling * (each.frequency if with_frequency else 1.0)
    return float(system.load) * lengths * rest


def index_reading(index: float) -> str:
    """What a lifting index says of a group of workers (section 1.4.2)."""
    if index <= 1:
        return "nearly all healthy workers could do this without an increased risk"
    if index <= 3:
        return "some workers have an increased risk of low back pain"
    return "nearly all workers have an increased risk of low back pain"


def index_text(index: float) -> str:
    """One decimal, as the manual prints it; more where that would move it over 1 or 3."""
    for decimals in (1, 2, 3):
        text = f"{index:.{decimals}f}"
        if index_reading(float(text)) == index_reading(index):
            return text
    return f"{index:.4f}"
