"""The number that each measuring mark carries, with its uncertainty, in words for a person."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final, Literal, TypeAlias

from cliptag.errors import MeasureError
from cliptag.measure.camera import Camera, camera_of
from cliptag.measure.geometry import (
    LEAST_LENGTH_PX,
    Estimate,
    angle_between,
    distance_px,
    included_angle,
    lean_of,
    part_along,
    wrap_degrees,
)
from cliptag.measure.rounding import with_uncertainty
from cliptag.review import (
    Between,
    Facing,
    Joint,
    JointName,
    MeasuringMark,
    Review,
    SegmentName,
    Span,
    Tilt,
    is_measuring,
)

Unit: TypeAlias = Literal["°", "cm", "% of picture height"]

JOINT_WORDS: Final[dict[JointName, str]] = {
    "knee": "Knee flexion",
    "hip": "Hip flexion",
    "ankle": "Ankle dorsiflexion",
    "elbow": "Elbow flexion",
    "shoulder": "Shoulder flexion",
    "other": "Angle",
}
SEGMENT_WORDS: Final[dict[SegmentName, str]] = {
    "trunk": "Trunk tilt",
    "thigh": "Thigh tilt",
    "shank": "Shank tilt",
    "upper_arm": "Upper arm tilt",
    "forearm": "Forearm tilt",
    "neck": "Neck tilt",
    "head_on_neck": "Craniovertebral angle",
    "gaze": "Gaze",
    "other": "Tilt",
}
SPAN_WORDS: Final = {"straight": "Distance", "across": "Across", "upright": "Height"}
BETWEEN_WORDS: Final = "Angle between"


@dataclass(frozen=True, slots=True)
class Reading:
    """One measured number. ``sd`` is its standard uncertainty (k = 1); the text shows k = 2."""

    note_id: str
    mark_id: str
    at_us: int
    name: str
    value: float
    sd: float
    unit: Unit
    sense: str = ""

    @property
    def text(self) -> str:
        """Such as 'Knee flexion 92° ± 2°'; no more digits than the uncertainty bears."""
        number = with_uncertainty(abs(self.value) if self.sense else self.value, self.sd, self.unit)
        return " ".join(filter(None, (self.name, number, self.sense)))


def reading_of(review: Review, note_id: str, at_us: int, mark: MeasuringMark) -> Reading:
    """The number of one mark.

    Joint angles follow the neutral-zero method; tilts are from the true vertical (the review's
    plumb line, else the picture's own), forward positive in the direction the client faces;
    lengths are in centimetres where the review has a scale, else in percent of the picture's
    height; a level one is negative where it goes against the client's facing. Raises MeasureError
    when the points don't define the number.
    """
    camera = camera_of(review)
    sd_px = mark.placement_sd_px or camera.placement_sd_px
    if isinstance(mark, Joint):
        return Reading(note_id, mark.id, at_us, *_joint(mark, sd_px))
    if isinstance(mark, Tilt):
        return Reading(note_id, mark.id, at_us, *_tilt(mark, sd_px, camera, review))
    if isinstance(mark, Between):
        angle = angle_between(mark.a, mark.b, mark.c, mark.d, sd_px)
        return Reading(note_id, mark.id, at_us, BETWEEN_WORDS, angle.value, angle.sd, "°")
    return Reading(note_id, mark.id, at_us, *_span(mark, sd_px, camera, review.facing))


def readings_of(review: Review) -> tuple[Reading, ...]:
    """All numbers of a review in time order; marks that define none are left out."""
    return tuple(reading for reading, _ in _all(review) if reading is not None)


def unmeasured(review: Review) -> tuple[str, ...]:
    """A sentence for each measuring mark that defines no number."""
    return tuple(sentence for _, sentence in _all(review) if sentence)


def _all(review: Review) -> list[tuple[Reading | None, str]]:
    found: list[tuple[Reading | None, str]] = []
    for note in sorted(review.notes, key=lambda note: note.start_us):
        for mark in note.marks:
            if is_measuring(mark):
                try:
                    found.append((reading_of(review, note.id, note.start_us, mark), ""))
                except MeasureError as error:
                    found.append((None, f"Note {note.id}, mark {mark.id}: {error}"))
    return found


def _joint(mark: Joint, sd_px: float) -> tuple[str, float, float, Unit]:
    angle = included_angle(mark.proximal, mark.vertex, mark.distal, sd_px)
    return JOINT_WORDS[mark.joint], neutral_zero(mark.joint, angle.value), angle.sd, "°"


def neutral_zero(joint: JointName, included_deg: float) -> float:
    """A joint's angle by the neutral-zero method from the included angle, in degrees.

    Knee, hip and elbow are 0 when straight; the ankle is 0 at a right angle of shank and foot and
    counts dorsiflexion positive; the shoulder is 0 with the arm along the trunk. Any other joint
    keeps its included angle. Source: the neutral-zero method (AO, Debrunner), from memory.
    """
    if joint in ("knee", "hip", "elbow"):
        return 180.0 - included_deg
    if joint == "ankle":
        return 90.0 - included_deg
    return included_deg


def _tilt(
    mark: Tilt, sd_px: float, camera: Camera, review: Review
) -> tuple[str, float, float, Unit, str]:
    lean = lean_of(mark.lower, mark.upper, sd_px)
    upright = camera.upright_deg
    clockwise = wrap_degrees(lean.value - upright.value)
    sd = math.hypot(lean.sd, upright.sd)
    name = SEGMENT_WORDS[mark.segment]
    if mark.segment in ("gaze", "head_on_neck"):
        elevation = 90.0 - abs(clockwise)
        sense = ""
        if mark.segment == "gaze":
            sense = "above level" if elevation >= 0 else "below level"
        return name, elevation, sd, "°", sense
    if review.facing is None:
        return name, clockwise, sd, "°", "to the right" if clockwise >= 0 else "to the left"
    forward = clockwise if review.facing == "right" else -clockwise
    return name, forward, sd, "°", "forward" if forward >= 0 else "backward"


def _span(
    mark: Span, sd_px: float, camera: Camera, facing: Facing | None
) -> tuple[str, float, float, Unit, str]:
    upright = camera.upright_deg
    straight_px = distance_px(mark.a, mark.b)
    across_px = part_along(mark.a, mark.b, upright.value)
    upright_px = part_along(mark.a, mark.b, upright.value + 90.0)
    length, swing_px = {
        "straight": (straight_px, 0.0),
        "across": (across_px if facing == "right" else -across_px, upright_px),
        "upright": (abs(upright_px), across_px),
    }[mark.axis]
    if straight_px < LEAST_LENGTH_PX:
        raise MeasureError("The two ends lie on the same place: move the points apart.")
    sense = across_sense(mark, facing is not None, length)
    if not sense:
        length = abs(length)
    # A wrong plumb line swings the span's other part into this one.
    length_sd = math.hypot(math.sqrt(2) * sd_px, math.radians(upright.sd) * swing_px)
    return (SPAN_WORDS[mark.axis], *_scaled(Estimate(length, length_sd), camera), sense)


def across_sense(mark: Span, is_facing_known: bool, forward: float) -> str:
    """Whether a level span goes ahead from ``a`` to ``b``, or behind; empty where it can't be told.

    With ``a`` on the plumb line, say at the ankle, it tells where ``b``, say the ear, lies to it.
    """
    if mark.axis != "across" or not is_facing_known:
        return ""
    return "ahead" if forward >= 0 else "behind"


def _scaled(pixels: Estimate, camera: Camera) -> tuple[float, float, Unit]:
    scale = camera.px_per_cm
    if scale is None:
        percent = 100.0 / camera.picture_height_px
        return pixels.value * percent, pixels.sd * percent, "% of picture height"
    length_cm = pixels.value / scale.value
    sd_cm = math.hypot(pixels.sd, length_cm * scale.sd) / scale.value
    return length_cm, sd_cm, "cm"
