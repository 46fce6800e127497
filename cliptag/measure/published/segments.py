"""Masses and centres of mass of the body's segments.

``DEMPSTER``: Dempster's cadaver data as given by Winter DA, Biomechanics and Motor Control of Human
Movement, 4th ed. 2009, Table 4.1 (read). ``DE_LEVA``: living young adults, de Leva P, J Biomech
1996;29(9):1223-1230, Table 4 (read); its segment lengths are from memory, and agree with the
centres of mass that it gives for the same segment from different ends.

Fractions of body mass and of the segment's own length. One side of the body only.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

Sex: TypeAlias = Literal["female", "male"]


@dataclass(frozen=True, slots=True)
class Segment:
    """``centre`` is the centre of mass from the proximal (or upper) end.

    ``gyration`` is about the centre of mass, for turning in the side view; None where not given.
    """

    ends: str
    mass: float
    centre: float
    gyration: float | None = None


DEMPSTER: Final[Mapping[str, Segment]] = {
    "hand": Segment("wrist to knuckle II", 0.006, 0.506, 0.297),
    "forearm": Segment("elbow to ulnar styloid", 0.016, 0.430, 0.303),
    "upper arm": Segment("shoulder to elbow", 0.028, 0.436, 0.322),
    "forearm and hand": Segment("elbow to ulnar styloid", 0.022, 0.682, 0.468),
    "arm": Segment("shoulder to ulnar styloid", 0.050, 0.530, 0.368),
    "foot": Segment("ankle to metatarsal II", 0.0145, 0.500, 0.475),
    "shank": Segment("knee to ankle", 0.0465, 0.433, 0.302),
    "thigh": Segment("greater trochanter to knee", 0.100, 0.433, 0.323),
    "foot and shank": Segment("knee to ankle", 0.061, 0.606, 0.416),
    "leg": Segment("greater trochanter to ankle", 0.161, 0.447, 0.326),
    "head and neck": Segment("C7-T1 to ear", 0.081, 1.000, 0.495),
    "thorax": Segment("C7-T1 to T12-L1", 0.216, 0.820),
    "abdomen": Segment("T12-L1 to L4-L5", 0.139, 0.440),
    "pelvis": Segment("L4-L5 to greater trochanter", 0.142, 0.105),
    "trunk": Segment("greater trochanter to shoulder", 0.497, 0.500),
    "trunk, head and neck": Segment("greater trochanter to shoulder", 0.578, 0.660, 0.503),
    "head, arms and trunk": Segment("greater trochanter to shoulder", 0.678, 0.626, 0.496),
    "thorax and abdomen": Segment("C7-T1 to L4-L5", 0.355, 0.630),
    "abdomen and pelvis": Segment("T12-L1 to greater trochanter", 0.281, 0.270),
}

_ENDS: Final = {
    "head": "vertex to mid-gonion",
    "trunk": "suprasternale to mid-hip",
    "upper trunk": "suprasternale to xiphion",
    "middle trunk": "xiphion to navel",
    "lower trunk": "navel to mid-hip",
    "upper arm": "shoulder to elbow",
    "forearm": "elbow to wrist",
    "hand": "wrist to knuckle III",
    "thigh": "hip to knee",
    "shank": "knee to ankle",
    "foot": "heel to toe tip",
    "head from C7": "vertex to C7",
    "trunk from C7": "C7 to mid-hip",
    "trunk from shoulders": "mid-shoulder to mid-hip",
}


def _de_leva(rows: str) -> dict[str, Segment]:
    """Rows in order of ``_ENDS``: mass, centre, gyration about the side-to-side axis."""
    numbers = (tuple(float(n) for n in row.split()) for row in rows.split("/"))
    return {
        name: Segment(ends, *row) for (name, ends), row in zip(_ENDS.items(), numbers, strict=True)
    }


DE_LEVA: Final[Mapping[Sex, Mapping[str, Segment]]] = {
    "male": _de_leva(
        ".0694 .5976 .376 / .4346 .4486 .347 / .1596 .2999 .454 / .1633 .4502 .383 /"
        ".1117 .6115 .551 / .0271 .5772 .269 / .0162 .4574 .265 / .0061 .7900 .513 /"
        ".1416 .4095 .329 / .0433 .4395 .246 / .0137 .4415 .245 / .0694 .5002 .315 /"
        ".4346 .5138 .306 / .4346 .4310 .358"
    ),
    "female": _de_leva(
        ".0668 .5894 .359 / .4257 .4151 .339 / .1545 .2077 .502 / .1465 .4512 .354 /"
        ".1247 .4920 .402 / .0255 .5754 .260 / .0138 .4559 .257 / .0056 .7474 .454 /"
        ".1478 .3612 .364 / .0481 .4352 .263 / .0129 .4014 .279 / .0668 .4841 .295 /"
        ".4257 .4964 .292 / .4257 .3782 .361"
    ),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Lengths:
    """Mean lengths in millimetres of the people behind a table."""

    stature: float
    head: float
    head_from_c7: float
    trunk: float
    trunk_from_c7: float
    trunk_from_shoulders: float
    upper_trunk: float
    middle_trunk: float
    lower_trunk: float
    upper_arm: float
    forearm: float
    hand: float


DE_LEVA_LENGTHS: Final[Mapping[Sex, Lengths]] = {
    "male": Lengths(
        stature=1741.0,
        head=203.3,
        head_from_c7=242.9,
        trunk=531.9,
        trunk_from_c7=603.3,
        trunk_from_shoulders=515.5,
        upper_trunk=170.7,
        middle_trunk=215.5,
        lower_trunk=145.7,
        upper_arm=281.7,
        forearm=268.9,
        hand=86.2,
    ),
    "female": Lengths(
        stature=1735.0,
        head=200.2,
        head_from_c7=243.7,
        trunk=529.3,
        trunk_from_c7=614.8,
        trunk_from_shoulders=497.9,
        upper_trunk=142.5,
        middle_trunk=205.3,
        lower_trunk=181.5,
        upper_arm=275.1,
        forearm=264.3,
        hand=78.0,
    ),
}
