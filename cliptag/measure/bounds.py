"""How far a mark's number can be off when the movement is turned from the camera."""

from __future__ import annotations

from typing import Final

from cliptag.measure.camera import camera_of
from cliptag.measure.geometry import lean_of, part_along, wrap_degrees
from cliptag.measure.turned import joint_error, lean_error, narrowing
from cliptag.review import Between, Joint, MeasuringMark, Point, Review, Span, Tilt

_EXACT_PX: Final = 0.0


def off_if_turned(review: Review, mark: MeasuringMark, turned_deg: float) -> float:
    """Greatest error of a mark's number, in its own unit but for spans, which give percent.

    For a movement whose plane is turned from the camera by up to ``turned_deg``, and a distant
    camera; the shown uncertainty does not contain it. Raises MeasureError as ``reading_of`` does.
    """
    upright = camera_of(review).upright_deg.value

    def lean(lower: Point, upper: Point) -> float:
        return wrap_degrees(lean_of(lower, upper, _EXACT_PX).value - upright)

    if isinstance(mark, Joint):
        ways = lean(mark.vertex, mark.proximal), lean(mark.vertex, mark.distal)
        return joint_error(*ways, turned_deg)
    if isinstance(mark, Tilt):
        return lean_error(lean(mark.lower, mark.upper), turned_deg)
    if isinstance(mark, Between):
        return joint_error(lean(mark.a, mark.b), lean(mark.c, mark.d), turned_deg)
    return 100.0 * _shortened(mark, upright, turned_deg)


def _shortened(mark: Span, upright_deg: float, turned_deg: float) -> float:
    """The part by which a span is seen too short: all of a level one, none of an upright one."""
    if mark.axis == "upright":
        return 0.0
    if mark.axis == "across":
        return narrowing(turned_deg)
    across = part_along(mark.a, mark.b, upright_deg)
    up = part_along(mark.a, mark.b, upright_deg + 90.0)
    seen = (across**2 + up**2) ** 0.5
    true = ((across / (1.0 - narrowing(turned_deg))) ** 2 + up**2) ** 0.5
    return 1.0 - seen / true if true else 0.0
