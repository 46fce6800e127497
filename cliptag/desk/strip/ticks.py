"""Which times are written on the axis: round ones, as many as can be read."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from cliptag.desk.strip.axis import TimeAxis
from cliptag.desk.strip.clock import time_words

# Each with the count of small ticks that divide it into round parts.
_STEPS_MS: Final = (
    *((1, 1), (2, 2), (5, 5), (10, 5), (20, 4), (50, 5), (100, 5), (200, 4), (500, 5)),
    *((1_000, 5), (2_000, 4), (5_000, 5), (10_000, 5), (15_000, 3), (30_000, 6)),
    *((60_000, 6), (120_000, 4), (300_000, 5), (600_000, 5), (900_000, 3), (1_800_000, 6)),
    (3_600_000, 6),
)


@dataclass(frozen=True, slots=True)
class Tick:
    """A tick at a time; small ones have no words."""

    at_us: int
    words: str


def ticks_of(axis: TimeAxis, widest_label_px: float) -> tuple[Tick, ...]:
    """The ticks that are seen; written times are at least ``widest_label_px`` apart."""
    least_us = widest_label_px * axis.us_per_px
    step_ms, parts = next(
        ((step, parts) for step, parts in _STEPS_MS if step * 1000 >= least_us), _STEPS_MS[-1]
    )
    step_us = step_ms * 1000
    if step_us < least_us:
        step_us *= math.ceil(least_us / step_us)
    small_us = step_us // parts
    places = 0 if step_ms >= 1000 else 1 if step_ms >= 100 else 2 if step_ms >= 10 else 3
    first = math.ceil(axis.start_us / small_us)
    last = math.floor(axis.end_us / small_us)
    return tuple(
        Tick(
            number * small_us,
            "" if number * small_us % step_us else time_words(number * small_us, places),
        )
        for number in range(first, last + 1)
    )
