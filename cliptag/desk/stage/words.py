"""What marks and their points are called, in plain words."""

from __future__ import annotations

from typing import Final

from cliptag.review import (
    Arrow,
    Between,
    Joint,
    JointName,
    Line,
    Mark,
    Plumb,
    Ring,
    SegmentName,
    Shade,
    Span,
    SpanAxis,
    Tilt,
)

JOINT_POINTS: Final[dict[JointName, tuple[str, str, str]]] = {
    "knee": ("hip", "knee", "ankle"),
    "hip": ("shoulder", "hip", "knee"),
    "ankle": ("knee", "ankle", "toe"),
    "elbow": ("shoulder", "elbow", "wrist"),
    "shoulder": ("hip", "shoulder", "elbow"),
    "other": ("first end", "joint", "other end"),
}
"""The points of a joint angle: the end nearer to the trunk, the joint itself, the far end."""

SEGMENT_POINTS: Final[dict[SegmentName, tuple[str, str]]] = {
    "trunk": ("hip", "shoulder"),
    "thigh": ("knee", "hip"),
    "shank": ("ankle", "knee"),
    "upper_arm": ("elbow", "shoulder"),
    "forearm": ("wrist", "elbow"),
    "neck": ("base of the neck", "ear"),
    "head_on_neck": ("base of the neck (C7)", "ear (tragus)"),
    "gaze": ("eye", "place looked at"),
    "other": ("lower end", "upper end"),
}
"""The points of a tilt: the lower end, then the upper one."""

JOINT_NAMES: Final[dict[JointName, str]] = {
    "knee": "Knee",
    "hip": "Hip",
    "ankle": "Ankle",
    "elbow": "Elbow",
    "shoulder": "Shoulder",
    "other": "Other",
}
SEGMENT_NAMES: Final[dict[SegmentName, str]] = {
    "trunk": "Trunk",
    "thigh": "Thigh",
    "shank": "Shank",
    "upper_arm": "Upper arm",
    "forearm": "Forearm",
    "neck": "Neck",
    "head_on_neck": "Head on neck",
    "gaze": "Gaze",
    "other": "Other",
}
AXIS_NAMES: Final[dict[SpanAxis, str]] = {
    "straight": "Straight",
    "across": "Across",
    "upright": "Upright",
}


def mark_words(mark: Mark) -> str:
    """Such as 'arrow', 'knee angle' or 'trunk tilt'."""
    if isinstance(mark, Joint):
        return "joint angle" if mark.joint == "other" else f"{mark.joint} angle"
    if isinstance(mark, Tilt):
        if mark.segment == "other":
            return "tilt"
        if mark.segment == "gaze":
            return "gaze"
        name = SEGMENT_NAMES[mark.segment].lower()
        return f"{name} angle" if mark.segment == "head_on_neck" else f"{name} tilt"
    if isinstance(mark, Between):
        return "angle between lines"
    if isinstance(mark, Span):
        return {"straight": "distance", "across": "distance across", "upright": "height"}[mark.axis]
    if isinstance(mark, Plumb):
        return "plumb line"
    return type(mark).__name__.lower()


def handle_words(mark: Mark, which: int) -> str:
    """What the handle number ``which`` of a mark is called, such as 'knee point'."""
    if isinstance(mark, Joint):
        return f"{JOINT_POINTS[mark.joint][which]} point"
    if isinstance(mark, Tilt):
        return f"{SEGMENT_POINTS[mark.segment][which]} point"
    if isinstance(mark, Arrow):
        return ("arrow's tail", "arrow's head")[which]
    if isinstance(mark, Ring):
        return "ring" if which == 0 else "ring's rim"
    if isinstance(mark, Shade):
        return f"corner {which + 1}"
    if isinstance(mark, Between):
        return f"{('first', 'second')[which // 2]} line's {('first', 'other')[which % 2]} end"
    if isinstance(mark, Span | Line):
        return f"{('first', 'other')[which]} end"
    if isinstance(mark, Plumb):
        return "plumb line"
    return f"point {which + 1}"
