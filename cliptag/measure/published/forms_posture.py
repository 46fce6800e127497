"""What the methods on postures ask for: measured angles, and what a camera can't answer."""

from __future__ import annotations

from typing import Final, get_args

from cliptag.measure.geometry import Estimate
from cliptag.measure.published import (
    craniovertebral,
    motion_ranges,
    posture_zones,
    reba_scores,
    rula_scores,
    static_postures,
)
from cliptag.measure.published.craniovertebral import head_posture
from cliptag.measure.published.form import Answers, Form, Outcome, Question, figure, score
from cliptag.measure.published.motion_ranges import Motion, RangeTable, range_of_motion
from cliptag.measure.published.posture_zones import Movement, Part, posture_zone
from cliptag.measure.published.reba_scores import (
    Grip,
    LoadWeight,
    RebaAnswers,
    RebaPosture,
    reba,
)
from cliptag.measure.published.rula_scores import (
    ArmZones,
    Force,
    RulaAnswers,
    RulaPosture,
    rula,
)
from cliptag.measure.published.rula_tables import Version
from cliptag.measure.published.static_postures import StaticPosture, static_posture
from cliptag.review import Number


def _angle(name: str, words: str, low: float, high: float, measured: str = "") -> Question:
    return Question(
        name=name,
        words=words,
        unit="°",
        low=low,
        high=high,
        measured={"": measured} if measured else {},
    )


def _asked(name: str, words: str, usual: bool = False) -> Question:
    return Question(name=name, words=words, kind="yes or no", default=usual)


def _chosen(name: str, words: str, choices: tuple[str, ...], usual: str | None = None) -> Question:
    return Question(name=name, words=words, kind="choice", choices=choices, default=usual)


_TRUNK: Final = _angle("trunk_deg", "Trunk from upright, forward positive", -90, 150, "trunk_tilt")
_UPPER_ARM: Final = _angle(
    "upper_arm_deg",
    "Upper arm from hanging beside the trunk, forward positive",
    -90,
    180,
    "shoulder_flexion",
)
_ELBOW: Final = _angle("elbow_deg", "Elbow flexion, 0 when straight", -20, 160, "elbow_flexion")
_WRIST: Final = _angle("wrist_deg", "Wrist, bent either way, 0 when in line", -90, 90)
_NECK: Final = _angle("neck_deg", "Neck from the line of the trunk, forward positive", -90, 90)

_STATIC: Final = (
    Question(name="held_min", words="How long it is held", unit="minutes", low=0, high=1440),
    _TRUNK,
    _angle("head_deg", "Head from looking straight ahead, forward positive", -90, 180),
    _angle("upper_arm_deg", "Upper arm from hanging straight down", -90, 180, "upper_arm_tilt"),
    _asked("trunk_supported", "Is the trunk fully supported?"),
    _asked("head_supported", "Is the head fully supported?"),
    _asked("arm_supported", "Is the arm fully supported?"),
    _asked("trunk_uneven", "Is the trunk visibly turned or bent to the side?"),
    _asked("arm_awkward", "Is the arm across the body or turned far out, or the shoulder raised?"),
)
_RULA_ASKED: Final = (
    _asked("shoulder_raised", "Is the shoulder raised?"),
    _asked("arm_out_to_side", "Is the upper arm out to the side?"),
    _asked("arm_supported", "Is the arm supported, or does the person lean?"),
    _asked("hand_across_or_outside", "Does the hand work across the body or out to the side?"),
    _asked("wrist_bent_sideways", "Is the wrist bent sideways?"),
    _asked("forearm_twisted_to_end", "Is the forearm twisted near the end of its range?"),
    _asked("neck_turned", "Is the neck turned?"),
    _asked("neck_bent_sideways", "Is the neck bent sideways?"),
    _asked("trunk_turned", "Is the trunk turned?"),
    _asked("trunk_bent_sideways", "Is the trunk bent sideways?"),
    _asked("trunk_supported", "Sitting, well supported, hip open to 90° or more?"),
    _asked("legs_supported", "Are legs and feet supported and evenly loaded?", usual=True),
    _asked("arm_held_or_repeated", "Is the arm held over a minute, or moved 4 times a minute?"),
    _chosen("arm_force", "Force or load of the arm", get_args(Force), get_args(Force)[0]),
    _asked("body_held_or_repeated", "Is the body held over a minute, or moved 4 times a minute?"),
    _chosen("body_force", "Force or load of the body", get_args(Force), get_args(Force)[0]),
)
_RULA: Final = (_UPPER_ARM, _ELBOW, _WRIST, _NECK, _TRUNK)
_RULA_HOW: Final = (
    _chosen("version", "Table A as printed in", get_args(Version), "worksheet"),
    _chosen("arm_zones", "Limits of the upper arm as in", get_args(ArmZones), "paper"),
)
_REBA: Final = (
    _TRUNK,
    _NECK,
    _angle("knee_deg", "Knee flexion, 0 when straight", -20, 170, "knee_flexion"),
    _UPPER_ARM,
    _ELBOW,
    _WRIST,
)
_REBA_ASKED: Final = (
    _asked("trunk_turned_or_sideways", "Is the trunk turned or bent sideways?"),
    _asked("neck_turned_or_sideways", "Is the neck turned or bent sideways?"),
    _asked("sitting", "Sitting? (leaves the knees out)"),
    _asked("stable", "Weight on both legs, walking or sitting?", usual=True),
    _asked("arm_out_or_turned", "Is the upper arm out to the side or turned?"),
    _asked("shoulder_raised", "Is the shoulder raised?"),
    _asked("arm_supported", "Is the arm supported, or helped by gravity?"),
    _asked("wrist_sideways_or_twisted", "Is the wrist bent sideways or twisted?"),
    _chosen("load", "Load or force", get_args(LoadWeight), get_args(LoadWeight)[0]),
    _asked("shock", "Does the force come as a shock, or build up fast?"),
    _chosen("grip", "Grip on the load", get_args(Grip), "good"),
    _asked("held", "Is a part of the body held over a minute?"),
    _asked("repeated", "Are small movements repeated over 4 times a minute?"),
    _asked("large_or_unstable", "Rapid large changes of posture, or an unstable base?"),
)


def _of(given: Answers, questions: tuple[Question, ...]) -> dict[str, object]:
    return {question.name: given[question.name] for question in questions}


def _hold(given: Answers) -> Outcome:
    posture = {**_of(given, _STATIC), "held_min": given["held_min"].value}
    found = static_posture(StaticPosture(**posture))
    longest = [
        Number(
            name=f"iso_11226_{finding.part.lower().replace(' ', '_')}_longest",
            words=f"{finding.part} at {finding.angle.value:.0f}° may be held (ISO 11226), at most",
            value=finding.longest_min,
            sd=0.0,
            unit="min",
        )
        for finding in found.findings
        if finding.longest_min is not None
    ]
    return Outcome(found.meaning, tuple(longest))


def _zone(given: Answers) -> Outcome:
    found = posture_zone(given["part"], given["angle_deg"], given["movement"])
    words = f"EN 1005-4 zone, {found.part}"
    zones = found.zones
    return Outcome(
        found.meaning, (score("en_1005_4_zone", words, found.zone, min(zones), max(zones)),)
    )


def _rula(given: Answers) -> Outcome:
    posture = RulaPosture(**_of(given, _RULA))  # type: ignore[arg-type]
    answers = RulaAnswers(**_of(given, _RULA_ASKED))  # type: ignore[arg-type]
    found = rula(posture, answers, given["version"], given["arm_zones"])
    one = score("rula_score", "RULA score", found.grand, found.lowest, found.highest)
    return Outcome(found.meaning, (one,))


def _reba(given: Answers) -> Outcome:
    posture = RebaPosture(**_of(given, _REBA))  # type: ignore[arg-type]
    answers = RebaAnswers(**_of(given, _REBA_ASKED))  # type: ignore[arg-type]
    found = reba(posture, answers)
    one = score("reba_score", "REBA score", found.score, found.lowest, found.highest)
    return Outcome(found.meaning, (one,))


def _head(given: Answers) -> Outcome:
    found = head_posture(given["craniovertebral_deg"])
    one = figure("craniovertebral", "Craniovertebral angle", found.angle, "°")
    return Outcome(found.meaning, one)


def _range(given: Answers) -> Outcome:
    found = range_of_motion(given["motion"], given["measured_deg"], given["table"])
    difference = Estimate(found.difference_deg, found.measured.sd)
    words = f"{found.motion.capitalize()} against the table ({found.table})"
    name = f"{found.motion.replace(' ', '_')}_against_table"
    return Outcome(found.meaning, figure(name, words, difference, "°"))


FORMS: Final = (
    Form(static_postures.METHOD, _STATIC, _hold),
    Form(
        posture_zones.METHOD,
        (
            _chosen("part", "Which angle", get_args(Part)),
            _chosen("movement", "Is it held or moved", get_args(Movement)),
            Question(
                name="angle_deg",
                words="The angle, forward positive; line of sight negative below the horizontal",
                unit="°",
                low=-90,
                high=180,
                by="part",
                measured={
                    "trunk forward": "trunk_tilt",
                    "upper arm": "upper_arm_tilt",
                    "line of sight": "gaze",
                },
            ),
        ),
        _zone,
    ),
    Form(rula_scores.METHOD, (*_RULA, *_RULA_ASKED, *_RULA_HOW), _rula),
    Form(reba_scores.METHOD, (*_REBA, *_REBA_ASKED), _reba),
    Form(
        craniovertebral.METHOD,
        (_angle("craniovertebral_deg", "Craniovertebral angle", 0, 90, "craniovertebral"),),
        _head,
    ),
    Form(
        motion_ranges.METHOD,
        (
            _chosen("motion", "Which motion", get_args(Motion)),
            Question(
                name="measured_deg",
                words="The range by the neutral-zero method",
                unit="°",
                low=-60,
                high=220,
                by="motion",
                measured={
                    "hip flexion": "hip_flexion",
                    "knee flexion": "knee_flexion",
                    "ankle dorsiflexion": "ankle_dorsiflexion",
                    "shoulder flexion": "shoulder_flexion",
                    "elbow flexion": "elbow_flexion",
                },
            ),
            _chosen("table", "Which table", get_args(RangeTable), "va"),
        ),
        _range,
    ),
)
