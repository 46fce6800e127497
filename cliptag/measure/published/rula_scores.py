"""RULA, rapid upper limb assessment: a score of arm, neck, trunk and legs from one side.

Source: McAtamney L, Corlett EN, Applied Ergonomics 1993;24(2):91-99. Neck, trunk, legs and force
were read in the paper, adjustments and action levels on a worksheet; the limits of upper and lower
arm are from memory. The paper gives no width for a 'neutral' wrist or an 'erect' trunk: here it is
5 degrees either way (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal, TypeAlias, get_args

from cliptag.errors import MeasureError
from cliptag.measure.geometry import Estimate
from cliptag.measure.published.bands import Bands, span_of_scores
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, choice, estimate
from cliptag.measure.published.rula_tables import Version, table_a, table_b, table_c

METHOD: Final = Method(
    key="rula",
    name="RULA, rapid upper limb assessment",
    source="McAtamney, Corlett: RULA: a survey method for the investigation of work-related upper "
    "limb disorders. Applied Ergonomics 1993;24(2):91-99",
    known=(
        ("neck, trunk, legs, force, action levels", "read"),
        ("Table A version 'worksheet', Table B for necks 1 to 4, adjustments", "read"),
        (
            "upper and lower arm limits, Table A version 'other', Table B necks 5 and 6",
            "from memory",
        ),
        ("Table C", "from memory"),
    ),
    inputs=(
        "angles of upper arm, elbow, wrist, neck and trunk",
        "whether parts are turned, bent sideways or supported; muscle use; force",
    ),
    gives="grand score 1 to 7 and action level 1 to 4",
    limits=(
        "one posture, one side of the body, mostly seated or standing work with the arms",
        "the camera does not see twist, sideways bend and force: they are asked",
    ),
    does_not_say="It does not say how long a day the work lasts, and nothing about one person's "
    "health.",
)

ArmZones: TypeAlias = Literal["paper", "worksheet"]
Force: TypeAlias = Literal[
    "under 2 kg now and then",
    "2 to 10 kg now and then",
    "2 to 10 kg held or repeated",
    "over 10 kg now and then",
    "over 10 kg held or repeated",
    "shock or jerk",
]

_NEUTRAL_DEG: Final = 5.0
_FORCE: Final = dict(zip(get_args(Force), (0, 1, 2, 2, 3, 3), strict=True))
_UPPER_ARM: Final[dict[ArmZones, Bands]] = {
    "paper": Bands((-20.0, 20.0, 45.0, 90.0), (2, 1, 2, 3, 4)),
    "worksheet": Bands((-15.0, 15.0, 45.0, 90.0), (2, 1, 2, 3, 4)),
}
_LOWER_ARM: Final = Bands((60.0, 100.0), (2, 1, 2), frozenset({100.0}))
_WRIST: Final = Bands(
    (-15.0, -_NEUTRAL_DEG, _NEUTRAL_DEG, 15.0), (3, 2, 1, 2, 3), frozenset({_NEUTRAL_DEG, 15.0})
)
# '20° or more flexion', '60° or more flexion': a number on a limit has the higher score.
_NECK: Final = Bands((0.0, 10.0, 20.0), (4, 1, 2, 3))
_TRUNK: Final = Bands((_NEUTRAL_DEG, 20.0, 60.0), (1, 2, 3, 4), frozenset({_NEUTRAL_DEG}))


@dataclass(frozen=True, slots=True, kw_only=True)
class RulaPosture:
    """Measured angles in degrees.

    ``upper_arm_deg`` from hanging beside the trunk, forward positive; ``elbow_deg`` flexion, 0
    when straight; ``wrist_deg`` flexion or extension, neutral 0; ``neck_deg`` and ``trunk_deg``
    forward positive, the neck's from the line of the trunk.
    """

    upper_arm_deg: Measured
    elbow_deg: Measured
    wrist_deg: Measured
    neck_deg: Measured
    trunk_deg: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class RulaAnswers:
    """What a side view can't tell. ``held_or_repeated``: static, or four times a minute and more.

    Static means held for over a minute (paper; some worksheets print ten minutes).
    ``trunk_supported``: sitting, well supported, hip and trunk at 90 degrees or more.
    """

    shoulder_raised: bool = False
    arm_out_to_side: bool = False
    arm_supported: bool = False
    hand_across_or_outside: bool = False
    wrist_bent_sideways: bool = False
    forearm_twisted_to_end: bool = False
    neck_turned: bool = False
    neck_bent_sideways: bool = False
    trunk_turned: bool = False
    trunk_bent_sideways: bool = False
    trunk_supported: bool = False
    legs_supported: bool = True
    arm_held_or_repeated: bool = False
    arm_force: Force = "under 2 kg now and then"
    body_held_or_repeated: bool = False
    body_force: Force = "under 2 kg now and then"


@dataclass(frozen=True, slots=True, kw_only=True)
class RulaResult:
    """Part scores, table scores and the grand score (1 to 7).

    ``lowest`` and ``highest`` are the grand scores that the angles' uncertainty (k = 2) allows.
    """

    parts: Mapping[str, int]
    posture_a: int
    posture_b: int
    score_c: int
    score_d: int
    grand: int
    lowest: int
    highest: int
    table_a: Version
    arm_zones: ArmZones

    @property
    def action_level(self) -> int:
        """1 to 4."""
        return (self.grand + 1) // 2

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        span = "" if self.lowest == self.highest else f" ({self.lowest} to {self.highest})"
        return f"RULA score {self.grand}{span}: {_ACTION[self.action_level]}. {GUIDE}"


_ACTION: Final = {
    1: "acceptable if not held or repeated for long",
    2: "look closer; a change may be needed",
    3: "look closer and change soon",
    4: "look closer and change now",
}


def rula(
    posture: RulaPosture,
    answers: RulaAnswers,
    version: Version = "worksheet",
    arm_zones: ArmZones = "paper",
) -> RulaResult:
    """Score one posture of one side.

    Defaults: Table A as read on the ``worksheet`` (the ``other`` version is from memory), and the
    upper arm's neutral zone of 20 degrees as in the ``paper`` (``worksheet``: 15 degrees), since
    REBA by the same authors prints 20. Raises MeasureError for angles that can't be, and for a
    trunk that leans back without support, which RULA does not score.
    """
    choice(version, "The version of Table A", get_args(Version))
    choice(arm_zones, "The zones of the upper arm", get_args(ArmZones))
    choice(answers.arm_force, "The force of the arm", _FORCE)
    choice(answers.body_force, "The force of the body", _FORCE)
    bands = _bands(posture, answers, arm_zones)
    possible = {part: band.possible(angle) for part, (band, angle) in bands.items()}

    def grand(parts: Mapping[str, int]) -> int:
        return _tables(_adjusted(parts, answers), answers, version)[-1]

    measured = {part: band.at(angle.value) for part, (band, angle) in bands.items()}
    parts = _adjusted(measured, answers)
    posture_a, posture_b, score_c, score_d, total = _tables(parts, answers, version)
    lowest, highest = span_of_scores(possible, grand)
    return RulaResult(
        parts=MappingProxyType(parts),
        posture_a=posture_a,
        posture_b=posture_b,
        score_c=score_c,
        score_d=score_d,
        grand=total,
        lowest=lowest,
        highest=highest,
        table_a=version,
        arm_zones=arm_zones,
    )


def _bands(
    posture: RulaPosture, answers: RulaAnswers, arm_zones: ArmZones
) -> dict[str, tuple[Bands, Estimate]]:
    trunk = estimate(posture.trunk_deg, "The trunk's angle", -90.0, 150.0, "degrees")
    if trunk.value < -_NEUTRAL_DEG and not answers.trunk_supported:
        raise MeasureError(
            f"RULA has no score for a trunk that leans back {-trunk.value:.0f}° without support: "
            "use REBA, or answer that the trunk is well supported."
        )
    return {
        "upper_arm": (
            _UPPER_ARM[arm_zones],
            estimate(posture.upper_arm_deg, "The upper arm's angle", -90.0, 180.0, "degrees"),
        ),
        "lower_arm": (
            _LOWER_ARM,
            estimate(posture.elbow_deg, "The elbow's flexion", -20.0, 160.0, "degrees"),
        ),
        "wrist": (_WRIST, estimate(posture.wrist_deg, "The wrist's angle", -90, 90, "degrees")),
        "neck": (_NECK, estimate(posture.neck_deg, "The neck's angle", -90.0, 90.0, "degrees")),
        "trunk": (_TRUNK, trunk),
    }


def _adjusted(parts: Mapping[str, int], says: RulaAnswers) -> dict[str, int]:
    """Part scores with what was answered added."""
    trunk = 1 if says.trunk_supported else parts["trunk"]
    arm = parts["upper_arm"] + says.shoulder_raised + says.arm_out_to_side - says.arm_supported
    return {
        "upper_arm": max(1, arm),
        "lower_arm": parts["lower_arm"] + says.hand_across_or_outside,
        "wrist": parts["wrist"] + says.wrist_bent_sideways,
        "wrist_twist": 1 + says.forearm_twisted_to_end,
        "neck": parts["neck"] + says.neck_turned + says.neck_bent_sideways,
        "trunk": trunk + says.trunk_turned + says.trunk_bent_sideways,
        "legs": 1 if says.legs_supported else 2,
    }


def _tables(
    parts: Mapping[str, int], says: RulaAnswers, version: Version
) -> tuple[int, int, int, int, int]:
    """Posture A and B, score C and D, grand score."""
    posture_a = table_a(
        version, parts["upper_arm"], parts["lower_arm"], parts["wrist"], parts["wrist_twist"]
    )
    posture_b = table_b(parts["neck"], parts["trunk"], parts["legs"])
    score_c = posture_a + says.arm_held_or_repeated + _FORCE[says.arm_force]
    score_d = posture_b + says.body_held_or_repeated + _FORCE[says.body_force]
    return posture_a, posture_b, score_c, score_d, table_c(score_c, score_d)
