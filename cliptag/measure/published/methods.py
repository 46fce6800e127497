"""The list of all published methods, for the command line and the desk."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from cliptag.measure.published import (
    chair_stand,
    craniovertebral,
    lever_arm,
    low_back,
    motion_ranges,
    niosh,
    niosh_work,
    posture_zones,
    reba_scores,
    repeat,
    rula_scores,
    static_postures,
)
from cliptag.measure.published.method import Method

METHODS: Final[Mapping[str, Method]] = MappingProxyType(
    {
        method.key: method
        for method in (
            niosh.METHOD,
            niosh_work.METHOD,
            low_back.METHOD,
            lever_arm.METHOD,
            static_postures.METHOD,
            posture_zones.METHOD,
            rula_scores.METHOD,
            reba_scores.METHOD,
            chair_stand.FIVE_TIMES,
            chair_stand.THIRTY_SECONDS,
            craniovertebral.METHOD,
            motion_ranges.METHOD,
            repeat.METHOD,
        )
    }
)
"""By key, in the order in which to list them."""
