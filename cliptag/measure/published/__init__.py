"""Published reference methods: each a guide with its source and its limits, never a diagnosis.

``METHODS`` lists them. Every result has a ``meaning`` in plain words. What is measured is given as
a plain number or as an ``Estimate`` with its standard uncertainty. Bad input raises MeasureError.
"""

from cliptag.measure.published.body_weights import (
    BodyPart,
    Place,
    SidePoints,
    UpperBody,
    side_points,
    upper_body,
    upper_body_from_tilt,
)
from cliptag.measure.published.chair_stand import (
    FiveTimesResult,
    ThirtySecondsResult,
    chair_stand_points,
    counted_stands,
    five_times,
    thirty_seconds,
)
from cliptag.measure.published.craniovertebral import HeadPosture, head_posture
from cliptag.measure.published.form import Answer, Form, Outcome, Question, measured_from
from cliptag.measure.published.forms import FORMS, form_of
from cliptag.measure.published.icc import Intraclass, intraclass
from cliptag.measure.published.lever_arm import CloserLoad, Hold, Weight, closer_load
from cliptag.measure.published.low_back import (
    ACTION_LIMIT_N,
    BackForces,
    BackLoads,
    back_forces,
    loads_of,
)
from cliptag.measure.published.method import GUIDE, Method
from cliptag.measure.published.methods import METHODS
from cliptag.measure.published.motion_ranges import (
    RANGES_DEG,
    RangeResult,
    neutral_zero_text,
    range_of_motion,
)
from cliptag.measure.published.niosh import Lift, LiftingResult, LiftUS, lifting_equation
from cliptag.measure.published.niosh_multipliers import Multipliers
from cliptag.measure.published.niosh_work import (
    CompositeResult,
    Spell,
    TaskIndex,
    composite_index,
    duration_of,
    frequency_of_short_work,
    hidden_reach_cm,
    hidden_reach_in,
    task_index,
)
from cliptag.measure.published.posture_zones import ZoneResult, posture_zone
from cliptag.measure.published.quantity import Measured
from cliptag.measure.published.reba_scores import RebaAnswers, RebaPosture, RebaResult, reba
from cliptag.measure.published.repeat import (
    Agreement,
    change_meaning,
    limits_of_agreement,
    minimal_detectable_change_90,
    repeatability,
    sem_from_pairs,
    sem_from_reliability,
    sem_from_repeats,
    smallest_detectable_change,
)
from cliptag.measure.published.rula_scores import RulaAnswers, RulaPosture, RulaResult, rula
from cliptag.measure.published.static_postures import (
    Finding,
    StaticPosture,
    StaticPostureResult,
    static_posture,
)

__all__ = [
    "ACTION_LIMIT_N",
    "FORMS",
    "GUIDE",
    "METHODS",
    "RANGES_DEG",
    "Agreement",
    "Answer",
    "BackForces",
    "BackLoads",
    "BodyPart",
    "CloserLoad",
    "CompositeResult",
    "Finding",
    "FiveTimesResult",
    "Form",
    "HeadPosture",
    "Hold",
    "Intraclass",
    "Lift",
    "LiftUS",
    "LiftingResult",
    "Measured",
    "Method",
    "Multipliers",
    "Outcome",
    "Place",
    "Question",
    "RangeResult",
    "RebaAnswers",
    "RebaPosture",
    "RebaResult",
    "RulaAnswers",
    "RulaPosture",
    "RulaResult",
    "SidePoints",
    "Spell",
    "StaticPosture",
    "StaticPostureResult",
    "TaskIndex",
    "ThirtySecondsResult",
    "UpperBody",
    "Weight",
    "ZoneResult",
    "back_forces",
    "chair_stand_points",
    "change_meaning",
    "closer_load",
    "composite_index",
    "counted_stands",
    "duration_of",
    "five_times",
    "form_of",
    "frequency_of_short_work",
    "head_posture",
    "hidden_reach_cm",
    "hidden_reach_in",
    "intraclass",
    "lifting_equation",
    "limits_of_agreement",
    "loads_of",
    "measured_from",
    "minimal_detectable_change_90",
    "neutral_zero_text",
    "posture_zone",
    "range_of_motion",
    "reba",
    "repeatability",
    "rula",
    "sem_from_pairs",
    "sem_from_reliability",
    "sem_from_repeats",
    "side_points",
    "smallest_detectable_change",
    "static_posture",
    "task_index",
    "thirty_seconds",
    "upper_body",
    "upper_body_from_tilt",
]
