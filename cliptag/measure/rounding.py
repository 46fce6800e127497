"""Numbers for people: no more digits than the uncertainty bears."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Final

COVERAGE_FACTOR: Final = 2.0
"""Shown intervals are value ± 2 standard uncertainties (about 95 %), after JCGM 100:2008, 6.2."""


def with_uncertainty(value: float, sd: float, unit: str) -> str:
    """A value with its expanded uncertainty (k = 2), such as '92° ± 2°' or '41.3 cm ± 0.4 cm'.

    Below 1 the uncertainty has one decimal, else none, and never more than two digits; it is never
    rounded to nothing (JCGM 100:2008, 7.2.6: two digits at most, and rounding up is the honest
    side).
    """
    number, expanded = rounded(value, sd)
    sign, _, of_what = unit.partition(" ")
    joined = sign if sign in ("°", "") else f" {sign}"
    return f"{number}{joined} ± {expanded}{joined} {of_what}".rstrip()


def rounded(value: float, sd: float) -> tuple[str, str]:
    """The digits of a value and of its expanded uncertainty, as ``with_uncertainty`` shows them."""
    expanded = Decimal(str(COVERAGE_FACTOR * sd))
    step = Decimal("0.1") if expanded < Decimal("0.95") else Decimal(1)
    while expanded >= Decimal("99.5") * step:
        step = step.scaleb(1)
    shown = expanded.quantize(step, ROUND_HALF_UP) or expanded.quantize(step, ROUND_CEILING)
    number = Decimal(str(value)).quantize(step, ROUND_HALF_UP)
    number += 0  # -0 becomes 0
    return _minus(number), f"{shown:f}"


def _minus(number: Decimal) -> str:
    return f"{number:f}".replace("-", "−")
