"""REBA, rapid entire body assessment: a score of trunk, neck, legs and one arm.

Source: Hignett S, McAtamney L, Applied Ergonomics 2000;31:201-205. Body part limits were read in
the authors' handbook chapter and on a worksheet, load and coupling scores and action levels quoted
on worksheets. The tables give no width for an 'upright' trunk: here it is 5 degrees either way
(common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal, TypeAlias, get_args

from cliptag.measure.geometry import Estimate
from cliptag.measure.published.bands import Bands, span_of_scores
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.quantity import Measured, choice, estimate
from cliptag.measure.published.reba_tables import table_a, table_b, table_c

METHOD: Final = Method(
    key="reba",
    name="REBA, rapid entire body assessment",
    source="Hignett, McAtamney: Rapid Entire Body Assessment (REBA). Applied Ergonomics "
    "2000;31:201-205",
    known=(
        ("body parts, Tables A and B, Table C up to the middle of row 11", "read"),
        ("load and coupling scores, action levels", "quoted"),
        ("end of Table C", "from memory"),
    ),
    inputs=(
        "angles of trunk, neck, knee, upper arm, elbow and wrist",
        "load, grip, activity; whether parts are turned, bent sideways or supported",
    ),
    gives="REBA score 1 to 15 and action level 0 to 4",
    limits=(
        "one posture, one side of the body, whole-body work",
        "the camera does not see twist, sideways bend, load and grip: they are asked",
    ),
    does_not_say="It does not say how long a day the work lasts, and nothing about one person's "
    "health.",
)

LoadWeight: TypeAlias = Literal["under 5 kg", "5 to 10 kg", "over 10 kg"]
Grip: TypeAlias = Literal["good", "fair", "poor", "unacceptable"]

_UPRIGHT_DEG: Final = 5.0
_LOAD: Final = dict(zip(get_args(LoadWeight), range(3), strict=True))
_GRIP: Final = dict(zip(get_args(Grip), range(4), strict=True))

# '> 20°', '> 60°' and the like: a number on a limit has the lower score.
_TRUNK: Final = Bands(
    (-20.0, -_UPRIGHT_DEG, _UPRIGHT_DEG, 20.0, 60.0),
    (3, 2, 1, 2, 3, 4),
    frozenset({_UPRIGHT_DEG, 20.0, 60.0}),
)
_NECK: Final = Bands((0.0, 20.0), (2, 1, 2), frozenset({20.0}))
_KNEE: Final = Bands((30.0, 60.0), (0, 1, 2), frozenset({60.0}))
_UPPER_ARM: Final = Bands((-20.0, 20.0, 45.0, 90.0), (2, 1, 2, 3, 4), frozenset({20.0, 45.0, 90.0}))
_LOWER_ARM: Final = Bands((60.0, 100.0), (2, 1, 2), frozenset({100.0}))
_WRIST: Final = Bands((-15.0, 15.0), (2, 1, 2), frozenset({15.0}))


@dataclass(frozen=True, slots=True, kw_only=True)
class RebaPosture:
    """Measured angles in degrees.

    ``trunk_deg`` from upright and ``neck_deg`` from the line of the trunk, forward positive;
    ``knee_deg`` and ``elbow_deg`` flexion, 0 when straight; ``upper_arm_deg`` from hanging beside
    the trunk, forward positive; ``wrist_deg`` flexion or extension, neutral 0.
    """

    trunk_deg: Measured
    neck_deg: Measured
    knee_deg: Measured
    upper_arm_deg: Measured
    elbow_deg: Measured
    wrist_deg: Measured


@dataclass(frozen=True, slots=True, kw_only=True)
class RebaAnswers:
    """What a side view can't tell.

    ``stable``: standing on both legs, walking or sitting. ``sitting`` leaves the knees out.
    ``arm_supported``: leaning, supported, or helped by gravity. ``held``: over one minute;
    ``repeated``: over four times a minute; ``large_or_unstable``: rapid large changes of posture,
    or an unstable base.
    """

    trunk_turned_or_sideways: bool = False
    neck_turned_or_sideways: bool = False
    sitting: bool = False
    stable: bool = True
    arm_out_or_turned: bool = False
    shoulder_raised: bool = False
    arm_supported: bool = False
    wrist_sideways_or_twisted: bool = False
    load: LoadWeight = "under 5 kg"
    shock: bool = False
    grip: Grip = "good"
    held: bool = False
    repeated: bool = False
    large_or_unstable: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RebaResult:
    """Part scores, table scores and the REBA score (1 to 15).

    ``lowest`` and ``highest`` are the scores that the angles' uncertainty (k = 2) allows.
    """

    parts: Mapping[str, int]
    posture_a: int
    posture_b: int
    score_a: int
    score_b: int
    score_c: int
    score: int
    lowest: int
    highest: int

    @property
    def action_level(self) -> int:
        """0 to 4."""
        return _LEVELS.at(self.score)

    @property
    def meaning(self) -> str:
        """The result in plain words."""
        span = "" if self.lowest == self.highest else f" ({self.lowest} to {self.highest})"
        return f"REBA score {self.score}{span}: {_ACTION[self.action_level]}. {GUIDE}"


_LEVELS: Final = Bands((2, 4, 8, 11), (0, 1, 2, 3, 4))
_ACTION: Final = (
    "negligible risk, no change needed",
    "low risk, a change may be needed",
    "medium risk, a change is needed",
    "high risk, a change is needed soon",
    "very high risk, a change is needed now",
)


def reba(posture: RebaPosture, answers: RebaAnswers) -> RebaResult:
    """Score one posture of one side. Raises MeasureError for angles that can't be."""
    choice(answers.load, "The load", _LOAD)
    choice(answers.grip, "The grip", _GRIP)
    bands = _bands(posture)
    possible = {part: band.possible(angle) for part, (band, angle) in bands.items()}

    def score(parts: Mapping[str, int]) -> int:
        return _tables(_adjusted(parts, answers), answers)[-1]

    parts = _adjusted(
        {part: band.at(angle.value) for part, (band, angle) in bands.items()}, answers
    )
    posture_a, posture_b, score_a, score_b, score_c, total = _tables(parts, answers)
    lowest, highest = span_of_scores(possible, score)
    return RebaResult(
        parts=MappingProxyType(parts),
        posture_a=posture_a,
        posture_b=posture_b,
        score_a=score_a,
        score_b=score_b,
        score_c=score_c,
        score=total,
        lowest=lowest,
        highest=highest,
    )


def _bands(of: RebaPosture) -> dict[str, tuple[Bands, Estimate]]:
    angles: dict[str, tuple[Bands, Measured, str, float, float]] = {
        "trunk": (_TRUNK, of.trunk_deg, "The trunk's angle", -90.0, 150.0),
        "neck": (_NECK, of.neck_deg, "The neck's angle", -90.0, 90.0),
        "knee": (_KNEE, of.knee_deg, "The knee's flexion", -20.0, 170.0),
        "upper_arm": (_UPPER_ARM, of.upper_arm_deg, "The upper arm's angle", -90.0, 180.0),
        "lower_arm": (_LOWER_ARM, of.elbow_deg, "The elbow's flexion", -20.0, 160.0),
        "wrist": (_WRIST, of.wrist_deg, "The wrist's angle", -90.0, 90.0),
    }
    return {
        part: (band, estimate(angle, name, low, high, "degrees"))
        for part, (band, angle, name, low, high) in angles.items()
    }


def _adjusted(parts: Mapping[str, int], says: RebaAnswers) -> dict[str, int]:
    """Part scores with what was answered added."""
    knee = 0 if says.sitting else parts["knee"]
    arm = parts["upper_arm"] + says.arm_out_or_turned + says.shoulder_raised - says.arm_supported
    return {
        "trunk": parts["trunk"] + says.trunk_turned_or_sideways,
        "neck": parts["neck"] + says.neck_turned_or_sideways,
        "legs": (1 if says.stable else 2) + knee,
        "upper_arm": max(1, arm),
        "lower_arm": parts["lower_arm"],
        "wrist": parts["wrist"] + says.wrist_sideways_or_twisted,
    }


def _tables(parts: Mapping[str, int], says: RebaAnswers) -> tuple[int, int, int, int, int, int]:
    """Posture A and B, scores A, B and C, REBA score."""
    posture_a = table_a(parts["trunk"], parts["neck"], parts["legs"])
    posture_b = table_b(parts["upper_arm"], parts["lower_arm"], parts["wrist"])
    score_a = posture_a + _LOAD[says.load] + says.shock
    score_b = posture_b + _GRIP[says.grip]
    score_c = table_c(score_a, score_b)
    score = score_c + says.held + says.repeated + says.large_or_unstable
    return posture_a, posture_b, score_a, score_b, score_c, score
