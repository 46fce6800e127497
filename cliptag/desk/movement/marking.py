"""The mark that shows an angle of the movement on the picture and goes with its points."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from cliptag.review import Joint, JointName, Mark, Point, SegmentName, Tilt, edit

if TYPE_CHECKING:
    from cliptag.measure import Tracks

_JOINTS: Final[dict[str, tuple[JointName, tuple[str, str, str]]]] = {
    "knee_flexion": ("knee", ("hip", "knee", "ankle")),
    "hip_flexion": ("hip", ("shoulder", "hip", "knee")),
    "ankle_dorsiflexion_to_toe": ("ankle", ("knee", "ankle", "toe")),
    "elbow_flexion": ("elbow", ("shoulder", "elbow", "wrist")),
    "shoulder_flexion": ("shoulder", ("hip", "shoulder", "elbow")),
}
_TILTS: Final[dict[str, tuple[SegmentName, tuple[str, str]]]] = {
    "trunk_tilt": ("trunk", ("hip", "shoulder")),
    "thigh_tilt": ("thigh", ("knee", "hip")),
    "shank_tilt": ("shank", ("ankle", "knee")),
    "upper_arm_tilt": ("upper_arm", ("elbow", "shoulder")),
    "forearm_tilt": ("forearm", ("wrist", "elbow")),
    "neck_tilt": ("neck", ("c7", "ear")),
    "craniovertebral": ("head_on_neck", ("c7", "ear")),
    "gaze": ("gaze", ("eye", "gaze_target")),
}


def sign_of(curve_name: str) -> str | None:
    """'joint' or 'tilt', the mark that shows a curve's angle; None where no mark can."""
    _, plain = _side_of(curve_name)
    return "joint" if plain in _JOINTS else "tilt" if plain in _TILTS else None


def mark_for(curve_name: str, tracks: Tracks, index: int) -> Mark | None:
    """The mark of a curve's angle, where its points are on a frame.

    None where no mark can show it or one of its points isn't known there.
    """
    side, plain = _side_of(curve_name)
    names = next((kind[plain][1] for kind in (_JOINTS, _TILTS) if plain in kind), ())
    follows = tuple(f"{side}{name}" for name in names)
    places = [_place(tracks, name, index) for name in follows]
    if not names or any(place is None for place in places):
        return None
    points = [place for place in places if place is not None]
    mark_id = edit.new_id()
    if plain in _JOINTS:
        proximal, vertex, distal = points
        return Joint(
            id=mark_id,
            joint=_JOINTS[plain][0],
            proximal=proximal,
            vertex=vertex,
            distal=distal,
            follows=follows,
        )
    lower, upper = points
    segment = _TILTS[plain][0]
    return Tilt(id=mark_id, segment=segment, lower=lower, upper=upper, follows=follows)


def _side_of(curve_name: str) -> tuple[str, str]:
    for side in ("left_", "right_"):
        if curve_name.startswith(side):
            return side, curve_name.removeprefix(side)
    return "", curve_name


def _place(tracks: Tracks, name: str, index: int) -> Point | None:
    if name not in tracks.points:
        return None
    x, y = (float(value) for value in tracks.points[name][index])
    return Point(round(x, 1), round(y, 1)) if math.isfinite(x) and math.isfinite(y) else None
