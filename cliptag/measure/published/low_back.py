"""Static moment about the low back and a rough estimate of the force on the lowest disc.

One muscle stands for all that hold the trunk up (single equivalent extensor), standing still, in
the side view: M = W_b d_b + W_L d_L, F_m = M / E, compression = F_m cos(b) + (W_b + W_L) cos(t),
shear = (W_b + W_L) sin(t) - F_m sin(b), with the disc's tilt t and the muscle's angle b to the
spine, usually 0.

Source: Chaffin DB, Andersson GBJ, Occupational Biomechanics; Nordin M, Frankel VH, Basic
Biomechanics of the Musculoskeletal System (both from memory). Lever arm E of 5 cm: read in worked
textbook problems; 6 cm in later texts: from memory. Action limit 3400 N: NIOSH, Work Practices
Guide for Manual Lifting, DHHS (NIOSH) 81-122, 1981 (quoted).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published.body_weights import STANDARD_GRAVITY, UpperBody
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, estimate, propagated_sd
from cliptag.measure.rounding import COVERAGE_FACTOR

METHOD: Final = Method(
    key="low-back-moment",
    name="Static low-back moment and rough compression",
    source="Chaffin, Andersson: Occupational Biomechanics; Nordin, Frankel: Basic Biomechanics of "
    "the Musculoskeletal System; segment tables: Winter 2009, Table 4.1, and de Leva, J Biomech "
    "1996;29:1223-1230; action limit: NIOSH 81-122, 1981",
    known=(
        ("segment masses and centres", "read"),
        ("muscle lever arm of 5 cm", "read"),
        ("action limit of 3400 N", "quoted"),
        ("equations, worked examples, de Leva's lengths", "from memory"),
    ),
    inputs=(
        "body mass and either body points with a scale, or body height and trunk tilt",
        "weight of the load and how far it is ahead of the low back",
    ),
    gives="moment in N·m; muscle force, compression and shear in newtons",
    limits=(
        "standing still, lifting with both hands straight ahead; adults of usual build",
        "not for twisted, one-handed, fast or seated lifts, pregnancy, or leaning back",
        "moving, and muscles that pull against each other, make the true force higher",
    ),
    does_not_say="It does not say what one person's back can bear.",
)

ACTION_LIMIT_N: Final = 3400.0
"""NIOSH's design limit of disc compression, for groups of workers; not a safe line for a person."""

EXTENSOR_ARM: Final = Estimate(0.05, 0.005)
"""Lever arm of the back muscles in metres: 5 cm, and 6 cm in other texts, two sd away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BackLoads:
    """Weights in newtons, lever arms in metres ahead of the disc (negative behind it).

    ``disc_tilt_deg``: of the disc from level, forward positive. ``extensor_angle_deg``: of the
    muscle to the spine.
    """

    upper_body_n: Measured
    upper_body_arm_m: Measured
    load_n: Measured = 0.0
    load_arm_m: Measured = 0.0
    disc_tilt_deg: Measured = 0.0
    extensor_arm_m: Measured = EXTENSOR_ARM
    extensor_angle_deg: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class BackForces:
    """Moments in N·m, forces in newtons, each with its standard uncertainty (k = 1)."""

    upper_body_moment: Estimate
    load_moment: Estimate
    moment: Estimate
    extensor: Estimate
    compression: Estimate
    shear: Estimate

    @property
    def resultant_n(self) -> float:
        """Size of the joint force."""
        return math.hypot(self.compression.value, self.shear.value)

    @property
    def side_of_action_limit(self) -> Literal["below", "above", "unsure"]:
        """Where compression lies; ``unsure`` where its uncertainty (k = 2) reaches the limit."""
        reach = COVERAGE_FACTOR * self.compression.sd
        if self.compression.value + reach < ACTION_LIMIT_N:
            return "below"
        return "above" if self.compression.value - reach > ACTION_LIMIT_N else "unsure"

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        limit = f"NIOSH's design limit of {ACTION_LIMIT_N:.0f} N"
        side = {
            "below": f"below {limit}",
            "above": f"above {limit}",
            "unsure": f"as near to {limit} as this estimate can tell",
        }[self.side_of_action_limit]
        return (
            f"The weights ask about {_rounded(self.moment)} N·m of the low back. Roughly "
            f"{_rounded(self.compression)} N press on its lowest disc, standing still: {side}. The "
            f"limit is made for groups, not for one person. Moving makes the force higher. {GUIDE}"
        )


def back_forces(loads: BackLoads) -> BackForces:
    """Moment and forces. Raises MeasureError where the weights would tip the trunk backwards."""
    inputs = (
        estimate(loads.upper_body_n, "The upper body's weight", 0.0, 5000.0, "N"),
        estimate(loads.upper_body_arm_m, "The upper body's lever arm", -1.0, 1.5, "m"),
        estimate(loads.load_n, "The load's weight", 0.0, 5000.0, "N"),
        estimate(loads.load_arm_m, "The load's lever arm", -1.0, 2.0, "m"),
        estimate(loads.disc_tilt_deg, "The disc's tilt", -90.0, 130.0, "degrees"),
        estimate(loads.extensor_arm_m, "The muscle's lever arm", 0.01, 1.0, "m"),
    )
    pull = math.radians(estimate(loads.extensor_angle_deg, "The muscle's angle", 0, 60).value)

    def moment(body: float, body_arm: float, load: float, load_arm: float, *_: float) -> float:
        return body * body_arm + load * load_arm

    def extensor(*values: float) -> float:
        return moment(*values) / values[5]

    def compression(*values: float) -> float:
        weights = (values[0] + values[2]) * math.cos(math.radians(values[4]))
        return extensor(*values) * math.cos(pull) + weights

    def shear(*values: float) -> float:
        weights = (values[0] + values[2]) * math.sin(math.radians(values[4]))
        return weights - extensor(*values) * math.sin(pull)

    values = [one.value for one in inputs]
    if moment(*values) < 0:
        raise MeasureError(
            "The weights lie behind the low back: this model only knows the muscles of the back, "
            "so check the points and the client's facing."
        )
    results = (
        Estimate(function(*values), propagated_sd(function, inputs))
        for function in (moment, extensor, compression, shear)
    )
    total, muscle, press, slide = results
    return BackForces(
        upper_body_moment=_product(*inputs[:2]),
        load_moment=_product(*inputs[2:4]),
        moment=total,
        extensor=muscle,
        compression=press,
        shear=slide,
    )


def loads_of(body: UpperBody, load_kg: Measured = 0.0, load_arm_m: Measured = 0.0) -> BackLoads:
    """What a body and the load in its hands put on the low back.

    The lowest disc is taken to be square to the trunk (common practice, no source): its tilt
    changes the compression by less than the weights themselves, a tenth or two of the whole.
    """
    load = estimate(load_kg, "The load", 0.0, 300.0, "kg")
    return BackLoads(
        upper_body_n=body.weight,
        upper_body_arm_m=body.arm,
        load_n=Estimate(load.value * STANDARD_GRAVITY, load.sd * STANDARD_GRAVITY),
        load_arm_m=load_arm_m,
        disc_tilt_deg=body.points.trunk_tilt_deg,
    )


def _product(a: Estimate, b: Estimate) -> Estimate:
    return Estimate(a.value * b.value, math.hypot(a.sd * b.value, a.value * b.sd))


def _rounded(one: Estimate) -> str:
    """With its uncertainty (k = 2), both to a figure that a rough model deserves."""
    step = 1.0 if one.value < 100 else 10.0 if one.value < 1000 else 100.0
    number = step * round(one.value / step)
    spread = step * max(1, math.ceil(COVERAGE_FACTOR * one.sd / step)) if one.sd else 0.0
    return f"{number:.0f} ± {spread:.0f}"
