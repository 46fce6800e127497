"""What is published about the craniovertebral angle.

The angle at the seventh neck vertebra (C7) between the horizontal and the line to the tragus of
the ear. A smaller angle is a head further forward; some web pages state it the wrong way round.

Sources: definition: Wilmarth MA, Hilliard TS, 2002 (quoted). 50 degrees: Oakley PA et al., J Clin
Med 2024;13:2149 (read). 48 degrees, and the means of Yip CHT, Chiu TTW, Poon ATK, Man Ther
2008;13:148-154: from memory.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from cliptag.measure.geometry import Estimate
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, estimate, shown
from cliptag.measure.rounding import COVERAGE_FACTOR

METHOD: Final = Method(
    key="craniovertebral-angle",
    name="Craniovertebral angle",
    source="Wilmarth, Hilliard 2002 (definition); Oakley et al., J Clin Med 2024;13:2149; Yip, "
    "Chiu, Poon, Man Ther 2008;13:148-154",
    known=(
        ("50 degrees in use as a cut-off", "read"),
        ("definition", "quoted"),
        ("48 degrees, means with and without neck pain", "from memory"),
    ),
    inputs=("craniovertebral angle, from C7 and the tragus of the ear",),
    gives="where the angle lies among published values",
    limits=(
        "standing or sitting relaxed, seen square from the side, a true vertical in the picture",
        "the cut-offs in use lack rigorous validity: many people below them have no complaint",
    ),
    does_not_say="It does not say that a posture hurts, causes pain or needs correcting.",
)

CUT_OFFS_DEG: Final = (48.0, 50.0)
"""Angles below which papers speak of a head carried forward."""

WITHOUT_NECK_PAIN: Final = Estimate(55.0, 2.9)
WITH_NECK_PAIN: Final = Estimate(49.9, 6.1)
"""Means and standard deviations of the people of Yip et al., degrees."""


@dataclass(frozen=True, slots=True)
class HeadPosture:
    """An angle and how many of the published cut-offs it surely lies below or above (k = 2)."""

    angle: Estimate
    surely_below: tuple[float, ...]
    surely_above: tuple[float, ...]

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        low, high = CUT_OFFS_DEG
        cut_offs = f"the {low:g}° to {high:g}° under which papers speak of a head carried forward"
        if high in self.surely_above:
            side = f"above {cut_offs}"
        elif low in self.surely_below:
            side = f"below {cut_offs}"
        else:
            side = f"as near to {cut_offs} as the measuring can tell"
        return (
            f"Craniovertebral angle {shown(self.angle, '°')} (the smaller, the further forward): "
            f"{side}. These values lack rigorous validity. {GUIDE}"
        )


def head_posture(craniovertebral_deg: Measured) -> HeadPosture:
    """Place a craniovertebral angle among published values."""
    angle = estimate(craniovertebral_deg, "The craniovertebral angle", 0.0, 90.0, "degrees")
    reach = COVERAGE_FACTOR * angle.sd
    return HeadPosture(
        angle,
        tuple(cut for cut in CUT_OFFS_DEG if angle.value + reach < cut),
        tuple(cut for cut in CUT_OFFS_DEG if angle.value - reach >= cut),
    )
