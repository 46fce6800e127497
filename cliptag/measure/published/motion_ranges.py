"""Published ranges of motion, and the neutral-zero way to write one down.

Sources: ``va``: United States Code of Federal Regulations, 38 CFR 4.71, Plates I and II (read) and
V (spine, from memory). ``aaos``: American Academy of Orthopaedic Surgeons, Joint Motion, 1965 (from
memory). ``cdc``: Soucie JM et al., Haemophilia 2011;17:500-507, ages 20 to 44, passive (from
memory). They differ, and the CDC's authors say that theirs 'differs significantly from most
commonly used normative values'. Neutral-zero method: Debrunner, AO (from memory).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias, get_args

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, choice, estimate, number, shown

METHOD: Final = Method(
    key="range-of-motion",
    name="Published ranges of motion",
    source="38 CFR 4.71, Plates I, II and V; AAOS, Joint Motion, 1965; Soucie et al., Haemophilia "
    "2011;17:500-507",
    known=(
        ("38 CFR 4.71 without the spine", "read"),
        ("38 CFR 4.71 spine, AAOS, CDC 20 to 44 years", "from memory"),
    ),
    inputs=("a joint's motion by the neutral-zero method", "which table"),
    gives="the table's value and the difference from it",
    limits=(
        "adults; the CDC's values are passive, a client's movement is active and may be smaller",
        "ranges fall with age and differ between people, sexes and the tables themselves",
    ),
    does_not_say="A smaller range than a table's is no finding by itself.",
)

RangeTable: TypeAlias = Literal["va", "aaos", "cdc female", "cdc male"]
Motion: TypeAlias = Literal[
    "hip flexion",
    "hip extension",
    "hip abduction",
    "hip adduction",
    "hip external rotation",
    "hip internal rotation",
    "knee flexion",
    "ankle dorsiflexion",
    "ankle plantarflexion",
    "shoulder flexion",
    "shoulder abduction",
    "shoulder external rotation",
    "shoulder internal rotation",
    "elbow flexion",
    "forearm pronation",
    "forearm supination",
    "wrist dorsiflexion",
    "wrist palmar flexion",
    "wrist radial deviation",
    "wrist ulnar deviation",
    "trunk flexion",
    "trunk extension",
    "trunk side bend",
    "trunk rotation",
]


def _by_motion(degrees: str) -> dict[Motion, float]:
    """Degrees in order of ``Motion``; a dash where the table has none."""
    pairs = zip(get_args(Motion), degrees.split(), strict=True)
    return {motion: float(value) for motion, value in pairs if value != "-"}


RANGES_DEG: Final[Mapping[RangeTable, Mapping[Motion, float]]] = {
    "va": _by_motion(
        "125 - 45 25 60 40  140  20 45  180 180 90 90  145  80 85  70 80 20 45  90 30 30 30"
    ),
    # The trunk's extension is printed as 20 to 30; its upper end is taken.
    "aaos": _by_motion(
        "120 30 45 30 45 45  135  20 50  180 180 90 70  150  80 80  70 80 20 30  80 30 35 45"
    ),
    "cdc female": _by_motion(
        "133.8 18.1 - - - -  141.9  13.8 62.1  172.0 - - -  150.0  - -  - - - -  - - - -"
    ),
    "cdc male": _by_motion(
        "130.4 17.4 - - - -  137.7  12.7 54.6  168.8 - - -  144.6  - -  - - - -  - - - -"
    ),
}


@dataclass(frozen=True, slots=True)
class RangeResult:
    """A measured motion beside a table's value, degrees; ``difference`` is measured less table."""

    motion: Motion
    table: RangeTable
    measured: Estimate
    reference_deg: float

    @property
    def difference_deg(self) -> float:
        """Negative where the measured range is smaller."""
        return self.measured.value - self.reference_deg

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        return (
            f"{self.motion.capitalize()} {shown(self.measured, '°')}; the "
            f"{_TABLE_WORDS[self.table]} prints {self.reference_deg:g}°. Tables differ, and a "
            f"smaller range is no finding by itself. {GUIDE}"
        )


_TABLE_WORDS: Final[dict[RangeTable, str]] = {
    "va": "table of 38 CFR 4.71",
    "aaos": "AAOS table of 1965",
    "cdc female": "CDC table for women of 20 to 44",
    "cdc male": "CDC table for men of 20 to 44",
}


def range_of_motion(
    motion: Motion, measured_deg: Measured, table: RangeTable = "va"
) -> RangeResult:
    """Put a measured range beside a table's; ``va`` is the default, since it was read.

    Raises MeasureError where the table has no value for the motion.
    """
    choice(motion, "The motion", get_args(Motion))
    choice(table, "The table", get_args(RangeTable))
    measured = estimate(measured_deg, f"The {motion}", -60.0, 220.0, "degrees")
    if motion not in RANGES_DEG[table]:
        having = [name for name, values in RANGES_DEG.items() if motion in values]
        raise MeasureError(
            f"The {_TABLE_WORDS[table]} has no {motion}: choose {' or '.join(having)}."
        )
    return RangeResult(motion, table, measured, RANGES_DEG[table][motion])


def neutral_zero_text(first_deg: float, opposite_deg: float) -> str:
    """A range by the neutral-zero method, whole degrees: '140-0-5', or '130-10-0' with a deficit.

    ``first_deg`` is the end of the first movement (flexion), ``opposite_deg`` that of the opposite
    one (extension); a negative number means that this side does not reach zero.
    """
    first = round(number(first_deg, "The first end", -180.0, 220.0, "degrees"))
    other = round(number(opposite_deg, "The opposite end", -180.0, 220.0, "degrees"))
    if first + other < 0:
        raise MeasureError("The two ends are crossed: the range would be less than nothing.")
    if other < 0:
        return f"{first}-{-other}-0"
    if first < 0:
        return f"0-{-first}-{other}"
    return f"{first}-0-{other}"
