"""Numbers from marks and from tracked points, each with its uncertainty. No Qt, no media.

What follows points and filters curves loads scipy and OpenCV, which takes a second: these names
are fetched when they are first asked for.
"""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any, Final

from cliptag.measure.bounds import off_if_turned
from cliptag.measure.camera import USUAL_PLACEMENT, Camera, camera_of
from cliptag.measure.geometry import (
    Estimate,
    angle_between,
    distance_px,
    included_angle,
    lean_of,
)
from cliptag.measure.number_words import (
    UNCERTAINTY_WORDS,
    detectable_change,
    detectable_change_text,
    number_text,
)
from cliptag.measure.numbers import (
    is_known_otherwise,
    newer_numbers,
    newest,
    number_at,
    number_of_descriptor,
    number_of_end,
    number_of_phase,
    number_of_range,
    number_of_repetition,
    number_of_sides,
    number_of_test,
    numbers_of,
    shown,
)
from cliptag.measure.readings import (
    Reading,
    Unit,
    neutral_zero,
    reading_of,
    readings_of,
    unmeasured,
)
from cliptag.measure.resolving import HeightChange, height_change
from cliptag.measure.rounding import COVERAGE_FACTOR, rounded, with_uncertainty
from cliptag.measure.turned import USUAL_TURNS_DEG, turned_sentence

if TYPE_CHECKING:
    from cliptag.measure.curves import Curve, curves_csv, curves_json, trc_text
    from cliptag.measure.filled import answer_of, fill_in
    from cliptag.measure.followed import follow_movement, follow_points, movement_of
    from cliptag.measure.movement import (
        Descriptor,
        MovementReport,
        Proposal,
        Repetition,
        TimedTest,
        movement_json,
    )
    from cliptag.measure.moving import MovingMarks
    from cliptag.measure.published import (
        FORMS,
        GUIDE,
        METHODS,
        Answer,
        CloserLoad,
        Form,
        Method,
        Outcome,
        Question,
    )
    from cliptag.measure.published.repeat import smallest_detectable_change
    from cliptag.measure.quantities import Quantity, quantities_of
    from cliptag.measure.tracking import (
        State,
        Tracks,
        TrackStore,
        placement_sd,
        sd_of_repeats,
    )
    from cliptag.measure.trajectories import BACK_POINTS, BODY_CHAIN, Trajectories

_LATE: Final = {
    "Answer": "published",
    "BACK_POINTS": "trajectories",
    "BODY_CHAIN": "trajectories",
    "CloserLoad": "published",
    "Curve": "curves",
    "Descriptor": "movement",
    "FORMS": "published",
    "Form": "published",
    "GUIDE": "published",
    "METHODS": "published",
    "Method": "published",
    "MovementReport": "movement",
    "MovingMarks": "moving",
    "Outcome": "published",
    "Proposal": "movement",
    "Quantity": "quantities",
    "Question": "published",
    "Repetition": "movement",
    "State": "tracking",
    "TimedTest": "movement",
    "TrackStore": "tracking",
    "Tracks": "tracking",
    "Trajectories": "trajectories",
    "answer_of": "filled",
    "curves_csv": "curves",
    "curves_json": "curves",
    "fill_in": "filled",
    "follow_movement": "followed",
    "follow_points": "followed",
    "movement_json": "movement",
    "movement_of": "followed",
    "placement_sd": "tracking",
    "quantities_of": "quantities",
    "sd_of_repeats": "tracking",
    "smallest_detectable_change": "published.repeat",
    "trc_text": "curves",
}
"""In which part of the room each of the late names is."""

__all__ = [
    "BACK_POINTS",
    "BODY_CHAIN",
    "COVERAGE_FACTOR",
    "FORMS",
    "GUIDE",
    "METHODS",
    "UNCERTAINTY_WORDS",
    "USUAL_PLACEMENT",
    "USUAL_TURNS_DEG",
    "Answer",
    "Camera",
    "CloserLoad",
    "Curve",
    "Descriptor",
    "Estimate",
    "Form",
    "HeightChange",
    "Method",
    "MovementReport",
    "MovingMarks",
    "Outcome",
    "Proposal",
    "Quantity",
    "Question",
    "Reading",
    "Repetition",
    "State",
    "TimedTest",
    "TrackStore",
    "Tracks",
    "Trajectories",
    "Unit",
    "angle_between",
    "answer_of",
    "camera_of",
    "curves_csv",
    "curves_json",
    "detectable_change",
    "detectable_change_text",
    "distance_px",
    "fill_in",
    "follow_movement",
    "follow_points",
    "height_change",
    "included_angle",
    "is_known_otherwise",
    "lean_of",
    "movement_json",
    "movement_of",
    "neutral_zero",
    "newer_numbers",
    "newest",
    "number_at",
    "number_of_descriptor",
    "number_of_end",
    "number_of_phase",
    "number_of_range",
    "number_of_repetition",
    "number_of_sides",
    "number_of_test",
    "number_text",
    "numbers_of",
    "off_if_turned",
    "placement_sd",
    "quantities_of",
    "reading_of",
    "readings_of",
    "rounded",
    "sd_of_repeats",
    "shown",
    "smallest_detectable_change",
    "trc_text",
    "turned_sentence",
    "unmeasured",
    "with_uncertainty",
]


def __getattr__(name: str) -> Any:
    """Fetch a late name; Python asks here for those that the module lacks (PEP 562)."""
    if name not in _LATE:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(f"{__name__}.{_LATE[name]}"), name)
