"""Weight of the body above the low back, and where it acts, from a side view.

Places are metres in the side view: x forward in the direction the client faces, y up, the origin
anywhere. Both arms are taken to be where the one that is seen is.

The tables cut the body in different places: ``dempster`` between L4 and L5, ``de_leva`` at the
height of the navel. Both lie a little above the lowest disc (L5-S1), so that some weight of the
body is left out. Which to use is a choice: ``dempster`` is the default, since its cut is nearest to
the low back and it needs no sex.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias, get_args

from cliptag.errors import MeasureError
from cliptag.measure.geometry import XY, Estimate
from cliptag.measure.published.quantity import (
    Measured,
    choice,
    estimate,
    number,
    propagated_sd,
)
from cliptag.measure.published.segments import DE_LEVA, DE_LEVA_LENGTHS, DEMPSTER, Sex

BodyTable: TypeAlias = Literal["dempster", "de Leva female", "de Leva male"]

STANDARD_GRAVITY: Final = 9.80665
"""m/s^2, by definition (3rd General Conference on Weights and Measures, 1901)."""

TABLE_SD: Final = 0.08
"""Relative standard uncertainty of a body part's weight.

The two tables' weights above the low back differ by 9 to 17 %, about two of these; their moments,
since the heavier one cuts lower, by 6 % or less.
"""


@dataclass(frozen=True, slots=True)
class Place:
    """Metres in the side view, x forward, y up."""

    x_m: float
    y_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SidePoints:
    """Body points in metres; ``sd_m`` is the standard uncertainty of each along either axis.

    ``scale_sd`` is the relative standard uncertainty of all lengths, from the scale.
    """

    low_back: Place
    neck: Place
    ear: Place
    shoulder: Place
    elbow: Place
    wrist: Place
    sd_m: float = 0.0
    scale_sd: float = 0.0

    @property
    def trunk_tilt_deg(self) -> float:
        """Of the line from low back to shoulder from the vertical, forward positive."""
        dx = self.shoulder.x_m - self.low_back.x_m
        return math.degrees(math.atan2(dx, self.shoulder.y_m - self.low_back.y_m))


POINT_NAMES: Final = ("low_back", "neck", "ear", "shoulder", "elbow", "wrist")


@dataclass(frozen=True, slots=True)
class BodyPart:
    """A part of the body with its mass and centre of mass."""

    name: str
    mass_kg: float
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class UpperBody:
    """All parts above the low back. ``arm`` is the lever arm of their weight, forward positive.

    ``weight`` in newtons carries the uncertainty of body mass and table, ``arm`` in metres that of
    the points and the scale.
    """

    table: BodyTable
    points: SidePoints
    parts: tuple[BodyPart, ...]
    weight: Estimate
    arm: Estimate


def side_points(
    points: Mapping[str, XY],
    px_per_cm: Estimate,
    facing: Literal["left", "right"],
    placement_sd_px: float,
    upright_deg: float = 0.0,
) -> SidePoints:
    """Body points from pixels of the picture as displayed (x right, y down).

    ``upright_deg``: how far the true vertical is turned clockwise from the picture's. The scale
    holds in its own plane only. Raises MeasureError where one of ``POINT_NAMES`` is missing.
    """
    missing = [name.replace("_", " ") for name in POINT_NAMES if name not in points]
    if missing:
        raise MeasureError(f"Mark these points first: {', '.join(missing)}.")
    if not px_per_cm.value > 0:
        raise MeasureError("There is no scale: mark a known length in the plane of the movement.")
    metre = 100.0 * px_per_cm.value
    turn, forward = math.radians(upright_deg), 1.0 if facing == "right" else -1.0
    places = {
        name: Place(
            forward * (points[name].x * math.cos(turn) + points[name].y * math.sin(turn)) / metre,
            (points[name].x * math.sin(turn) - points[name].y * math.cos(turn)) / metre,
        )
        for name in POINT_NAMES
    }
    return SidePoints(
        **places, sd_m=placement_sd_px / metre, scale_sd=px_per_cm.sd / px_per_cm.value
    )


def upper_body(
    body_mass_kg: Measured, points: SidePoints, table: BodyTable = "dempster"
) -> UpperBody:
    """Weight and lever arm of the body above the low back."""
    choice(table, "The table", get_args(BodyTable))
    mass = _body_mass(body_mass_kg)
    shares = _shares(table)
    parts = tuple(
        BodyPart(name, mass.value * share, _at(points, weights)) for name, share, weights in shares
    )
    total = sum(share for _, share, _ in shares)
    arm = sum(part.mass_kg * part.place.x_m for part in parts) / (mass.value * total)
    arm -= points.low_back.x_m
    # How much the lever arm moves with each point; the low back's own point takes all of it.
    pull = dict.fromkeys(POINT_NAMES, 0.0)
    for _, share, weights in shares:
        for name, weight in weights.items():
            pull[name] += share / total * weight
    pull["low_back"] -= 1.0
    arm_sd = math.hypot(points.sd_m * math.hypot(*pull.values()), arm * points.scale_sd)
    return UpperBody(
        table=table,
        points=points,
        parts=parts,
        weight=_weight(mass, total),
        arm=Estimate(arm, arm_sd),
    )


def upper_body_from_tilt(
    body_mass_kg: Measured,
    stature_m: Measured,
    trunk_tilt_deg: Measured,
    sex: Sex,
    arm_tilt_deg: float = 0.0,
    table: BodyTable = "dempster",
) -> UpperBody:
    """The same from body height and trunk tilt alone, the head in line with the trunk.

    ``arm_tilt_deg``: how far the straight arms are lifted forward from hanging. Lengths are de
    Leva's means for the sex, in proportion to stature; the low back lies at the navel's height.
    """
    choice(sex, "The sex", get_args(Sex))
    stature = estimate(stature_m, "The body height", 0.8, 2.6, "m")
    tilt = estimate(trunk_tilt_deg, "The trunk's tilt", -30.0, 130.0, "degrees")
    lift = number(arm_tilt_deg, "The arms' tilt", -60.0, 180.0, "degrees")

    def body(tall: float, tilted: float) -> UpperBody:
        return upper_body(body_mass_kg, _drawn(tall, tilted, lift, sex), table)

    found = body(stature.value, tilt.value)
    sd = propagated_sd(lambda tall, tilted: body(tall, tilted).arm.value, (stature, tilt))
    return UpperBody(
        table=table,
        points=found.points,
        parts=found.parts,
        weight=found.weight,
        arm=Estimate(found.arm.value, sd),
    )


_Shares: TypeAlias = tuple[tuple[str, float, dict[str, float]], ...]


def _shares(table: BodyTable) -> _Shares:
    """For each part: name, fraction of body mass, and weights of the points that give its place."""
    if table == "dempster":
        arm, hand = DEMPSTER["upper arm"], DEMPSTER["forearm and hand"]
        trunk, head = DEMPSTER["thorax and abdomen"], DEMPSTER["head and neck"]
        return (
            ("trunk", trunk.mass, {"neck": 1 - trunk.centre, "low_back": trunk.centre}),
            ("head and neck", head.mass, {"neck": 1 - head.centre, "ear": head.centre}),
            ("upper arms", 2 * arm.mass, {"shoulder": 1 - arm.centre, "elbow": arm.centre}),
            (
                "forearms and hands",
                2 * hand.mass,
                {"elbow": 1 - hand.centre, "wrist": hand.centre},
            ),
        )
    sex: Sex = "female" if table == "de Leva female" else "male"
    part, length = DE_LEVA[sex], DE_LEVA_LENGTHS[sex]
    upper, middle, arm = part["upper trunk"], part["middle trunk"], part["upper arm"]
    above_navel = (
        upper.mass * (length.middle_trunk + (1 - upper.centre) * length.upper_trunk)
        + middle.mass * (1 - middle.centre) * length.middle_trunk
    ) / (upper.mass + middle.mass)
    up = above_navel / (length.trunk_from_c7 - length.lower_trunk)
    past = part["hand"].centre * length.hand / length.forearm
    forearm = part["forearm"].centre
    return (
        ("trunk", upper.mass + middle.mass, {"neck": up, "low_back": 1 - up}),
        ("head", part["head"].mass, {"ear": 1.0}),
        ("upper arms", 2 * arm.mass, {"shoulder": 1 - arm.centre, "elbow": arm.centre}),
        ("forearms", 2 * part["forearm"].mass, {"elbow": 1 - forearm, "wrist": forearm}),
        ("hands", 2 * part["hand"].mass, {"elbow": -past, "wrist": 1 + past}),
    )


def _at(points: SidePoints, weights: Mapping[str, float]) -> Place:
    places = {name: getattr(points, name) for name in weights}
    return Place(
        sum(weight * places[name].x_m for name, weight in weights.items()),
        sum(weight * places[name].y_m for name, weight in weights.items()),
    )


def _body_mass(body_mass_kg: Measured) -> Estimate:
    return estimate(body_mass_kg, "The body mass", 20.0, 350.0, "kg")


def _weight(mass: Estimate, share: float) -> Estimate:
    newtons = STANDARD_GRAVITY * share * mass.value
    return Estimate(newtons, newtons * math.hypot(mass.sd / mass.value, TABLE_SD))


def _drawn(stature_m: float, tilt_deg: float, arm_tilt_deg: float, sex: Sex) -> SidePoints:
    """A figure of mean proportions, the low back at the origin."""
    length = DE_LEVA_LENGTHS[sex]
    m_per_mm = stature_m / length.stature
    up = Place(math.sin(math.radians(tilt_deg)), math.cos(math.radians(tilt_deg)))
    down = Place(math.sin(math.radians(arm_tilt_deg)), -math.cos(math.radians(arm_tilt_deg)))

    def along(start: Place, way: Place, mm: float) -> Place:
        metres = mm * m_per_mm
        return Place(start.x_m + way.x_m * metres, start.y_m + way.y_m * metres)

    low_back = Place(0.0, 0.0)
    neck = along(low_back, up, length.trunk_from_c7 - length.lower_trunk)
    shoulder = along(low_back, up, length.trunk_from_shoulders - length.lower_trunk)
    head = DE_LEVA[sex]["head from C7"]
    elbow = along(shoulder, down, length.upper_arm)
    return SidePoints(
        low_back=low_back,
        neck=neck,
        ear=along(neck, up, (1 - head.centre) * length.head_from_c7),
        shoulder=shoulder,
        elbow=elbow,
        wrist=along(elbow, down, length.forearm),
    )
