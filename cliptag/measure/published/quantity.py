"""Input of the published methods: numbers that may carry a standard uncertainty."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Sequence
from typing import TypeAlias

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.rounding import with_uncertainty

Measured: TypeAlias = float | Estimate
"""A number taken as exact, or a value with its standard uncertainty (k = 1)."""


def number(value: float, what: str, low: float, high: float, unit: str = "") -> float:
    """``value`` itself, if it is a finite number from ``low`` to ``high``; else a MeasureError."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
        raise MeasureError(f"{what} is not a number: give {_range(low, high, unit)}.")
    if not low <= value <= high:
        given = f"{value:g} {unit}".strip()
        raise MeasureError(f"{what} is {given}: give {_range(low, high, unit)}.")
    return float(value)


def whole(value: int, what: str, low: int, high: int, unit: str = "") -> int:
    """``value`` itself, if it is a whole number from ``low`` to ``high``; else a MeasureError."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise MeasureError(f"{what} is not a whole number: give {_range(low, high, unit)}.")
    return int(number(value, what, low, high, unit))


def estimate(value: Measured, what: str, low: float, high: float, unit: str = "") -> Estimate:
    """``value`` as an Estimate, if it lies from ``low`` to ``high``; else a MeasureError."""
    if not isinstance(value, Estimate):
        return Estimate(number(value, what, low, high, unit), 0.0)
    number(value.value, what, low, high, unit)
    number(value.sd, f"The uncertainty of {what[0].lower()}{what[1:]}", 0.0, math.inf, unit)
    return value


def choice(value: str, what: str, offered: Collection[str]) -> None:
    """Raise MeasureError unless ``value`` is one of the words that are offered."""
    if value not in offered:
        raise MeasureError(f"{what} is {value!r}: choose one of {', '.join(sorted(offered))}.")


def shown(one: Estimate, unit: str) -> str:
    """For a person: with its uncertainty (k = 2), or alone where it was given as exact."""
    if one.sd > 0:
        return with_uncertainty(one.value, one.sd, unit)
    return f"{round(one.value, 1):g}{'' if unit == '°' else ' '}{unit}".replace("-", "−")


def propagated_sd(function: Callable[..., float], inputs: Sequence[Estimate]) -> float:
    """Standard uncertainty of ``function(*values)`` for independent inputs, to first order.

    The share of an input is half the change of the result between one standard uncertainty below
    it and one above it (JCGM 100:2008, 5.1.3 note 2), so that limits and steps of a method count.
    """
    values = [one.value for one in inputs]
    variance = 0.0
    for i, one in enumerate(inputs):
        if one.sd > 0:
            above = function(*values[:i], one.value + one.sd, *values[i + 1 :])
            below = function(*values[:i], one.value - one.sd, *values[i + 1 :])
            variance += ((above - below) / 2) ** 2
    return math.sqrt(variance)


def _range(low: float, high: float, unit: str) -> str:
    if math.isinf(high):
        return f"{low:g} {unit} or more".replace("  ", " ")
    return f"{low:g} to {high:g} {unit}".strip()
