"""What is drawn on the picture.

Coordinates are pixels of the clip's picture as displayed: x right, y down, (0, 0) at the outer
corner of the top-left pixel. A mark belongs to one note and was placed on that note's first frame.
"""

from __future__ import annotations

import math
from typing import Annotated, Literal, TypeAlias, TypeGuard

import msgspec
from msgspec import Meta, Struct

Id: TypeAlias = Annotated[str, Meta(min_length=1, max_length=64)]
ShortText: TypeAlias = Annotated[str, Meta(max_length=200)]
PositivePixels: TypeAlias = Annotated[float, Meta(gt=0)]
PointName: TypeAlias = Annotated[str, Meta(min_length=1, max_length=40)]

MarkColour = Literal["kind", "white", "orange", "sky", "green", "yellow", "vermillion", "purple"]
MarkWeight = Literal["fine", "normal", "bold"]

JointName = Literal["knee", "hip", "ankle", "elbow", "shoulder", "other"]
SegmentName = Literal[
    "trunk", "thigh", "shank", "upper_arm", "forearm", "neck", "head_on_neck", "gaze", "other"
]
SpanAxis = Literal["straight", "across", "upright"]


class Point(Struct, frozen=True, array_like=True, forbid_unknown_fields=True):
    """A place on the picture, written ``[x, y]`` in a file; both must be finite."""

    x: float
    y: float

    def __post_init__(self) -> None:
        if not (math.isfinite(self.x) and math.isfinite(self.y)):
            raise ValueError("a point needs two finite numbers")


class _Mark(Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, tag_field="type"):
    """What every mark has.

    ``follows`` names the tracked point that each of the mark's points goes with, in the order of
    ``points_of``. Such a mark is shown on all frames of its note, where the points then are; an
    empty one is shown as it was placed, on the note's first frame.
    """

    id: Id
    label: ShortText = ""
    colour: MarkColour = "kind"
    weight: MarkWeight = "normal"
    follows: tuple[PointName, ...] = ()

    def __post_init__(self) -> None:
        count = len(points_of(self))
        if len(self.follows) not in (0, count):
            raise ValueError(f"a mark with {count} points must follow as many tracked points")


class _MeasuringMark(_Mark, frozen=True, kw_only=True, forbid_unknown_fields=True):
    # Standard deviation of placing one point, in pixels along each axis; None: the usual one.
    placement_sd_px: PositivePixels | None = None


class Arrow(_Mark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="arrow"):
    """An arrow from ``tail`` that points at ``head``."""

    tail: Point
    head: Point


class Ring(_Mark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="ring"):
    """An ellipse around something."""

    centre: Point
    radius_x: PositivePixels
    radius_y: PositivePixels


class Shade(_Mark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="shade"):
    """A tinted area; the corners in order, closed by itself."""

    corners: Annotated[tuple[Point, ...], Meta(min_length=3, max_length=10_000)]


class Stroke(_Mark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="stroke"):
    """A freehand line through the points in order."""

    points: Annotated[tuple[Point, ...], Meta(min_length=2, max_length=100_000)]


class Line(_Mark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="line"):
    """A straight line."""

    a: Point
    b: Point


class Plumb(_Mark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="plumb"):
    """The true vertical through a point, from edge to edge of the picture."""

    through: Point


class Joint(_MeasuringMark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="joint"):
    """A joint angle at ``vertex`` between the segments to ``proximal`` and to ``distal``.

    knee: hip, knee, ankle. hip: shoulder, hip, knee. ankle: knee, ankle, toe.
    elbow: shoulder, elbow, wrist. shoulder: hip, shoulder, elbow.
    """

    joint: JointName = "other"
    proximal: Point
    vertex: Point
    distal: Point


class Tilt(_MeasuringMark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="tilt"):
    """How far a segment leans from the true vertical; ``lower`` to ``upper`` end.

    ``gaze``: lower is the eye and upper the point looked at; measured from the horizontal.
    ``head_on_neck``: lower is C7 and upper the tragus; measured from the horizontal
    (craniovertebral angle).
    """

    segment: SegmentName = "other"
    lower: Point
    upper: Point


class Span(_MeasuringMark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="span"):
    """A distance: straight, or its part across or along the true vertical."""

    a: Point
    b: Point
    axis: SpanAxis = "straight"


class Between(_MeasuringMark, frozen=True, kw_only=True, forbid_unknown_fields=True, tag="between"):
    """The angle of two lines, 0 to 90 degrees: one through ``a`` and ``b``, one ``c`` and ``d``."""

    a: Point
    b: Point
    c: Point
    d: Point


Mark: TypeAlias = Arrow | Ring | Shade | Stroke | Line | Plumb | Joint | Tilt | Span | Between
MeasuringMark: TypeAlias = Joint | Tilt | Span | Between


def points_of(mark: _Mark) -> tuple[Point, ...]:
    """Every point that was placed for a mark, in the order of its fields."""
    return tuple(
        point
        for value in msgspec.structs.astuple(mark)
        for point in (value if isinstance(value, tuple) else (value,))
        if isinstance(point, Point)
    )


def is_measuring(mark: Mark) -> TypeGuard[MeasuringMark]:
    """Whether a mark carries a number, so that it is true on its own frame only."""
    return isinstance(mark, _MeasuringMark)
