"""The angles of a posed body, from its state, and its centre of mass.

Joint angles follow the neutral-zero method: knee, hip and elbow 0 when straight; ankle 0 at a
right angle between shank and foot. Nothing here looks at pixels.
"""

from __future__ import annotations

import cmath
import math

from drawing.body import FOREARM, UPPER_ARM, Body

# Share of body mass and place of the mass centre from the first named point, after Dempster in
# Winter, table 4.1. Both sides of the body together.
_SEGMENTS = (
    ("hip", "shoulder", 0.497, 0.50),
    ("c7", "ear", 0.081, 1.00),
    ("shoulder", "elbow", 0.056, 0.436),
    ("elbow", "wrist", 0.044, 0.682),
    ("hip", "knee", 0.200, 0.433),
    ("knee", "ankle", 0.093, 0.433),
    ("ankle", "toe", 0.029, 0.50),
)


def angles_of(body: Body) -> dict[str, float]:
    """Every angle that the truth files carry, in degrees."""
    pose = body.pose
    point = body.points
    thigh_lean = pose.shank_lean - pose.knee_flexion
    return {
        "knee_flexion": pose.knee_flexion,
        "hip_flexion": abs(pose.trunk_tilt - thigh_lean),
        "ankle_dorsiflexion": pose.shank_lean,
        "ankle_dorsiflexion_to_toe": pose.shank_lean + _toe_drop(body),
        "trunk_tilt": pose.trunk_tilt,
        "craniovertebral": math.degrees(cmath.phase(point["ear"] - point["c7"])),
        "elbow_flexion": _elbow_flexion(abs(point["wrist"] - point["shoulder"])),
        "lumbar_rounding": _bend(point["s2"], point["l4"], point["l1"], point["t8"]),
        "thoracic_rounding": _bend(point["l1"], point["t8"], point["t4"], point["c7"]),
    }


def centre_of_mass(body: Body, load: complex = 0j, load_share: float = 0.0) -> complex:
    """Mass centre of the body and a load of ``load_share`` of the body's mass."""
    total = load * load_share
    for proximal, distal, mass, along in _SEGMENTS:
        a, b = body.points[proximal], body.points[distal]
        total += mass * (a + along * (b - a))
    return total / (1.0 + load_share)


def _toe_drop(body: Body) -> float:
    return math.degrees(cmath.phase(body.points["toe"] - body.points["ankle"]))


def _elbow_flexion(reach: float) -> float:
    cosine = (UPPER_ARM**2 + FOREARM**2 - reach**2) / (2 * UPPER_ARM * FOREARM)
    return 180.0 - math.degrees(math.acos(cosine))


def _bend(a: complex, b: complex, c: complex, d: complex) -> float:
    """How far the line c-d is turned forward of the line a-b; both run upward along the back."""
    return -math.degrees(cmath.phase((d - c) / (b - a)))
