"""Which followed points a mark goes with."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Final

from cliptag.desk.stage.points.names import own_names
from cliptag.review import Joint, JointName, Mark, Point, SegmentName, Tilt, points_of

MOST_POINTS: Final = 4
"""A pen stroke has more points than anyone would follow."""

_OF_JOINT: Final[dict[JointName, tuple[str, ...]]] = {
    "knee": ("hip", "knee", "ankle"),
    "hip": ("shoulder", "hip", "knee"),
    "ankle": ("knee", "ankle", "toe"),
    "elbow": ("shoulder", "elbow", "wrist"),
    "shoulder": ("hip", "shoulder", "elbow"),
}
_OF_SEGMENT: Final[dict[SegmentName, tuple[str, ...]]] = {
    "trunk": ("hip", "shoulder"),
    "thigh": ("knee", "hip"),
    "shank": ("ankle", "knee"),
    "upper_arm": ("elbow", "shoulder"),
    "forearm": ("wrist", "elbow"),
    "neck": ("c7", "ear"),
    "head_on_neck": ("c7", "ear"),
    "gaze": ("eye", "gaze_target"),
}


def names_for(mark: Mark, places: Mapping[str, Point], reach_px: float) -> tuple[str, ...]:
    """The followed point for each point of a mark; empty where one is wanting.

    ``places`` are those of the frame on which the mark was placed. The knee angle goes with hip,
    knee and ankle, wherever they are, on the side that is nearer; a mark that isn't tied to a part
    of the body goes with the nearest points within ``reach_px``.
    """
    points = points_of(mark)
    if len(points) > MOST_POINTS:
        return ()
    wanted = _wanted(mark)
    found: list[str] = []
    for which, point in enumerate(points):
        candidates = own_names(wanted[which]) if wanted else places
        known = (name for name in candidates if name in places and name not in found)
        name = _nearest(known, places, point)
        if name is None or (not wanted and _gap(places[name], point) > reach_px):
            return ()
        found.append(name)
    return tuple(found)


def _wanted(mark: Mark) -> tuple[str, ...]:
    if isinstance(mark, Joint):
        return _OF_JOINT.get(mark.joint, ())
    return _OF_SEGMENT.get(mark.segment, ()) if isinstance(mark, Tilt) else ()


def _nearest(names: Iterable[str], places: Mapping[str, Point], to: Point) -> str | None:
    return min(names, key=lambda name: _gap(places[name], to), default=None)


def _gap(a: Point, b: Point) -> float:
    return math.dist((a.x, a.y), (b.x, b.y))
