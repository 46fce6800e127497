"""The lever-arm lesson: what it takes off the low back to bring the same load closer.

The load's moment about the low back is its weight times how far it is ahead, so bringing it from
50 to 30 cm takes 40 % off the load's part. The body's own weight stays, so that the whole falls by
less. The picture that shows it is drawn elsewhere, from ``CloserLoad``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published.body_weights import STANDARD_GRAVITY, Place, SidePoints, UpperBody
from cliptag.measure.published.low_back import BackForces, back_forces, loads_of
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, estimate, number, propagated_sd, shown

METHOD: Final = Method(
    key="lever-arm",
    name="The lever-arm lesson: the same load, closer",
    source="Chaffin, Andersson: Occupational Biomechanics; Nordin, Frankel: Basic Biomechanics of "
    "the Musculoskeletal System; segment tables: Winter 2009, Table 4.1, and de Leva, J Biomech "
    "1996;29:1223-1230",
    known=(("segment masses and centres", "read"), ("equations", "from memory")),
    inputs=(
        "body mass, body height, trunk tilt",
        "weight of the load, how far it is ahead of the low back, how much closer it can come",
    ),
    gives="percent that bringing the load closer takes off the moment about the low back",
    limits=(
        "standing still, lifting with both hands straight ahead; adults of usual build",
        "body and arms are left as they are, so that the true saving is a little larger",
    ),
    does_not_say="It does not say what one person's back can bear, or that a load is safe.",
)

NEAREST_M: Final = 0.15
"""Nearest that a load's middle comes to the low back: the belly is between (common practice)."""


@dataclass(frozen=True, slots=True)
class Weight:
    """A weight to draw: where it hangs, in the frame of the body's points, and how heavy."""

    name: str
    place: Place
    newtons: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """One way to hold the load: all weights, and what they ask of the low back."""

    weights: tuple[Weight, ...]
    load: Weight
    load_arm_m: float
    forces: BackForces


@dataclass(frozen=True, slots=True, kw_only=True)
class CloserLoad:
    """The same load far and near. Percents of the moment that it takes off, k = 1.

    ``off_load`` of the load's own moment, ``off_total`` of the whole moment about the low back.
    """

    what: str
    closer_cm: float
    points: SidePoints
    far: Hold
    near: Hold
    off_load: Estimate
    off_total: Estimate

    @property
    def sentence(self) -> str:
        """For the client: 'The same crate 20 cm closer takes 22 % ± 3 % off the low back.'"""
        return (
            f"The same {self.what} {self.closer_cm:g} cm closer takes "
            f"{shown(self.off_total, '%')} off the low back."
        )

    @property
    def meaning(self) -> str:
        """The sentence with its reason."""
        return (
            f"{self.sentence} Of what the {self.what} alone asks, it takes "
            f"{shown(self.off_load, '%')} off. This counts "
            f"standing still, with the body and arms left as they are. {GUIDE}"
        )


def closer_load(
    body: UpperBody,
    load_kg: Measured,
    load_arm_m: Measured,
    load_height_m: float,
    closer_m: float = 0.20,
    what: str = "load",
) -> CloserLoad:
    """Compare a load held ``load_arm_m`` ahead of the low back with the same load closer.

    ``load_height_m``: of the load's middle above the low back, for the picture only. The arms are
    left where they are, so that the true saving is a little larger. Raises MeasureError where the
    load can't come so much closer.
    """
    load = estimate(load_kg, "The load", 0.1, 300.0, "kg")
    reach = estimate(load_arm_m, "The load's distance from the low back", 0.0, 2.0, "m")
    height = number(load_height_m, "The load's height above the low back", -1.5, 1.5, "m")
    closer = number(closer_m, "The way closer", 0.01, 1.0, "m")
    near = Estimate(reach.value - closer, reach.sd)
    if near.value < NEAREST_M:
        raise MeasureError(
            f"The {what} is {100 * reach.value:.0f} cm from the low back and can't come "
            f"{100 * closer:.0f} cm closer: choose a shorter way."
        )
    body_moment = body.weight.value * body.arm.value

    def off_total(mass: float, arm: float, weight: float, body_arm: float) -> float:
        newtons = mass * STANDARD_GRAVITY
        return 100 * newtons * closer / (newtons * arm + weight * body_arm)

    far_hold = _hold(body, load, reach, height, what)
    inputs = (load, reach, body.weight, body.arm)
    whole = load.value * STANDARD_GRAVITY * reach.value + body_moment
    return CloserLoad(
        what=what,
        closer_cm=100 * closer,
        points=body.points,
        far=far_hold,
        near=_hold(body, load, near, height, what),
        off_load=Estimate(100 * closer / reach.value, 100 * closer / reach.value**2 * reach.sd),
        off_total=Estimate(
            100 * load.value * STANDARD_GRAVITY * closer / whole, propagated_sd(off_total, inputs)
        ),
    )


def _hold(body: UpperBody, load: Estimate, arm: Estimate, height_m: float, what: str) -> Hold:
    low_back = body.points.low_back
    carried = Weight(
        what,
        Place(low_back.x_m + arm.value, low_back.y_m + height_m),
        load.value * STANDARD_GRAVITY,
    )
    parts = tuple(
        Weight(part.name, part.place, part.mass_kg * STANDARD_GRAVITY) for part in body.parts
    )
    return Hold(
        weights=(*parts, carried),
        load=carried,
        load_arm_m=arm.value,
        forces=back_forces(loads_of(body, load, arm)),
    )
