"""How wrong a number can be when the movement's plane is turned from the camera.

A plane that is turned by psi about the vertical is seen narrower by cos(psi); heights stay. A
segment that truly leans by a is seen to lean by atan(tan(a) cos(psi)). Closed form for a distant
camera; nearness to the camera adds errors of its own. No mark on the picture can tell psi: these
are bounds, and no part of the shown uncertainty.
"""

from __future__ import annotations

import math
from typing import Final

from cliptag.errors import MeasureError

USUAL_TURNS_DEG: Final = (10.0, 20.0)


def seen_lean(true_deg: float, turned_deg: float) -> float:
    """How far a segment seems to lean from the vertical; both within -180 to 180 degrees."""
    true = math.radians(true_deg)
    narrowed = math.sin(true) * math.cos(math.radians(_checked(turned_deg)))
    return math.degrees(math.atan2(narrowed, math.cos(true)))


def true_lean(seen_deg: float, turned_deg: float) -> float:
    """How far a segment leans that is seen at ``seen_deg``."""
    seen = math.radians(seen_deg)
    widened = math.sin(seen) / math.cos(math.radians(_checked(turned_deg)))
    return math.degrees(math.atan2(widened, math.cos(seen)))


def lean_error(seen_deg: float, turned_deg: float) -> float:
    """Greatest error in degrees of this tilt when the plane is turned by up to ``turned_deg``."""
    return abs(true_lean(seen_deg, turned_deg) - seen_deg)


def joint_error(one_deg: float, other_deg: float, turned_deg: float) -> float:
    """As ``lean_error`` for the angle between two segments seen to lean by these."""
    true = true_lean(one_deg, turned_deg) - true_lean(other_deg, turned_deg)
    return abs(true - (one_deg - other_deg))


def worst_lean_error(turned_deg: float) -> float:
    """Greatest error in degrees of any tilt: asin((1 - cos psi) / (1 + cos psi)).

    It is reached where tan(lean)^2 = cos(psi), near 45 degrees. A joint angle, made of two
    segments, can be off by twice as much.
    """
    cosine = math.cos(math.radians(_checked(turned_deg)))
    return math.degrees(math.asin((1.0 - cosine) / (1.0 + cosine)))


def narrowing(turned_deg: float) -> float:
    """The part by which a level distance is seen too short: 1 - cos psi."""
    return 1.0 - math.cos(math.radians(_checked(turned_deg)))


def turned_sentence(turned_deg: float) -> str:
    """The bound in words."""
    lean = worst_lean_error(turned_deg)
    return (
        f"If the movement is turned from the camera by up to {turned_deg:g}°, a tilt can be off "
        f"by {_up(lean)}°, a joint angle by {_up(2 * lean)}°, and level distances are seen up to "
        f"{_up(100 * narrowing(turned_deg))} % too short."
    )


def _up(value: float) -> str:
    """Rounded upwards to a tenth, as a bound must be."""
    return f"{math.ceil(10 * value - 1e-9) / 10:.1f}"


def _checked(turned_deg: float) -> float:
    if not abs(turned_deg) < 90.0:
        raise MeasureError("A plane turned by 90° or more can't be measured: film from the side.")
    return turned_deg
