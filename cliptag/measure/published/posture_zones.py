"""Zones of postures and slow movements at machinery (EN 1005-4).

Source: EN 1005-4:2005+A1:2008, Safety of machinery: Human physical performance, Part 4. All zones
from memory; the limits 20, 60, 10 and 40 degrees and the two movements a minute are also quoted
by the help pages of engineering programs.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, TypeAlias, get_args

from cliptag.measure.geometry import Estimate
from cliptag.measure.published.bands import Bands
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, choice, estimate, shown

METHOD: Final = Method(
    key="en-1005-4",
    name="Posture zones (EN 1005-4)",
    source="EN 1005-4:2005+A1:2008, Safety of machinery: Human physical performance, Part 4",
    known=(("zones", "from memory"), ("limits of the zones", "quoted")),
    inputs=(
        "one angle: trunk forward, trunk sideways or turned, upper arm, or line of sight",
        "whether it is held, moved less than twice a minute, or more often",
    ),
    gives="acceptable, acceptable on a condition, or not acceptable",
    limits=(
        "written for those who design machinery, for healthy adults",
        "the camera sees the angle in its own plane only",
    ),
    does_not_say="It says nothing about force, or about how long a day it lasts.",
)

Part: TypeAlias = Literal["trunk forward", "trunk sideways", "upper arm", "line of sight"]
Movement: TypeAlias = Literal["held", "under 2 a minute", "2 a minute or more"]
Acceptance: TypeAlias = Literal["acceptable", "on a condition", "not acceptable"]

_LIMITS: Final[dict[Part, Bands]] = {
    "trunk forward": Bands((0.0, 20.0, 60.0), (4, 1, 2, 3), frozenset({20.0, 60.0})),
    "trunk sideways": Bands((10.0,), (1, 2), frozenset({10.0})),
    "upper arm": Bands((0.0, 20.0, 60.0), (4, 1, 2, 3), frozenset({20.0, 60.0})),
    "line of sight": Bands((-40.0, 0.0), (2, 1, 2), frozenset({0.0})),
}
_RANGES: Final[dict[Part, tuple[float, float]]] = {
    "trunk forward": (-90.0, 150.0),
    "trunk sideways": (0.0, 90.0),
    "upper arm": (-90.0, 180.0),
    "line of sight": (-90.0, 90.0),
}
_OUTER: Final[tuple[Acceptance, ...]] = ("not acceptable", "on a condition", "not acceptable")
_ACCEPTANCE: Final[dict[tuple[Part, int], tuple[Acceptance, ...]]] = {
    ("trunk forward", 2): ("on a condition", "acceptable", "not acceptable"),
    ("trunk forward", 3): _OUTER,
    ("trunk forward", 4): ("on a condition", "on a condition", "not acceptable"),
    ("trunk sideways", 2): _OUTER,
    ("upper arm", 2): ("on a condition", "acceptable", "on a condition"),
    ("upper arm", 3): _OUTER,
    ("upper arm", 4): _OUTER,
    ("line of sight", 2): _OUTER,
}
_CONDITIONS: Final[dict[tuple[Part, int, Movement], str]] = {
    ("trunk forward", 2, "held"): "with full support of the trunk, or a time short enough "
    "for the angle",
    ("trunk forward", 4, "held"): "with full support of the trunk",
    ("upper arm", 2, "held"): "with full support of the arm, or a time short enough for the angle",
    ("upper arm", 2, "2 a minute or more"): "for under ten movements a minute or a short time",
}
_USUAL_CONDITION: Final = "for a short time only"


@dataclass(frozen=True, slots=True, kw_only=True)
class ZoneResult:
    """The zone (1 to 4) of an angle; ``zones`` are all that the uncertainty (k = 2) allows."""

    part: Part
    movement: Movement
    angle: Estimate
    zone: int
    zones: tuple[int, ...]
    acceptance: Acceptance
    condition: str

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        verdict = f"acceptable only {self.condition}" if self.condition else self.acceptance
        unsure = ", near a limit of the zone" if len(self.zones) > 1 else ""
        return (
            f"{self.part.capitalize()} {shown(self.angle, '°')}, {self.movement}: "
            f"{verdict}{unsure}. {GUIDE}"
        )


def posture_zone(part: Part, angle_deg: Measured, movement: Movement) -> ZoneResult:
    """Zone and acceptance of one angle.

    Degrees: trunk and upper arm forward and up positive, line of sight negative below the
    horizontal, sideways bend or turn without sign. Raises MeasureError for angles that can't be.
    """
    choice(part, "The part", get_args(Part))
    choice(movement, "The movement", get_args(Movement))
    angle = estimate(angle_deg, f"The angle ({part})", *_RANGES[part], "degrees")
    zone = _LIMITS[part].at(angle.value)
    acceptance: Acceptance = "acceptable"
    if zone > 1:
        acceptance = _ACCEPTANCE[part, zone][get_args(Movement).index(movement)]
    condition = ""
    if acceptance == "on a condition":
        condition = _CONDITIONS.get((part, zone, movement), _USUAL_CONDITION)
    return ZoneResult(
        part=part,
        movement=movement,
        angle=angle,
        zone=zone,
        zones=tuple(sorted(_LIMITS[part].possible(angle))),
        acceptance=acceptance,
        condition=condition,
    )
