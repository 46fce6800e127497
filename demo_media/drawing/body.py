"""The client's body as a planar chain: from joint angles to points.

Points are complex numbers in cm: real part forward (the way she faces), imaginary part up, floor
at height 0. A *lean* is an angle in degrees from the vertical, forward positive.

Segment lengths are fractions of stature after Drillis and Contini (1966) as printed in Winter,
*Biomechanics and Motor Control of Human Movement*, fig. 4.1 (from memory). The shapes of the
spine, the head and the skin over the back are our own, only meant to look right.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

STATURE = 165.0
ANKLE_HEIGHT = 0.039 * STATURE
SHANK = 0.246 * STATURE
THIGH = 0.245 * STATURE
TRUNK = 0.288 * STATURE
UPPER_ARM = 0.186 * STATURE
FOREARM = 0.146 * STATURE
HAND = 0.108 * STATURE
EASY_REACH = UPPER_ARM + FOREARM - 1.6
PALM = 8.2
"""From the wrist to the middle of a closed hand."""

# Tape on the shoe, seen from the ankle; both at one height, so that the sole line is level.
HEEL = complex(-5.4, 2.4 - ANKLE_HEIGHT)
TOE = complex(15.6, 2.4 - ANKLE_HEIGHT)

SPINE_LENGTH = 45.5
SPINE_STEPS = 24
_SPINE_BASE = complex(-2.5, 9.0)  # lumbosacral joint from the hip, pelvis upright
_SACRUM = complex(-11.0, 7.5)  # skin over S2, the same way
_NECK = 9.0
_TRAGUS = complex(1.0, 3.0)  # from the top of the neck, in the head's frame
_EYE = complex(7.4, 1.3)  # from the tragus, in the head's frame

# Lean of the upright spine along its length, and how lumbar and thoracic flexion add up along it.
_ALONG = np.linspace(0.0, 1.0, SPINE_STEPS + 1)
_UPRIGHT = np.interp(_ALONG, [0, 0.2, 0.36, 0.6, 0.8, 1], [12.0, 1.0, -7.0, -2.0, 7.0, 15.0])
_LUMBAR = np.interp(_ALONG, [0, 0.42], [0.0, 1.0])
_THORACIC = np.interp(_ALONG, [0.42, 1.0], [0.0, 1.0])
_SHOULDER_AT = 21  # index along the spine that carries the shoulder

BACK_POINTS = {"l4": 0.12, "l1": 0.34, "t8": 0.62, "t4": 0.84, "c7": 1.0}
"""Skin points over the spine, by place along it from the lumbosacral joint to C7."""

_SKIN_ALONG = [0.0, 0.34, 0.62, 0.84, 1.0]
_SKIN_DEPTH = [8.2, 7.4, 8.6, 7.4, 4.4]


@dataclass(frozen=True)
class Pose:
    """What the motion sets. Degrees and cm; see the module's frame.

    ``lumbar`` and ``thoracic`` are flexion added to the upright spine. ``head_pitch`` is positive
    looking down. The free wrist hangs at ``hang`` from the shoulder or lies on the thigh by
    ``thigh_share``; by ``goal_share`` it is taken from there to the place ``goal``. The hand bends
    forward from the forearm by ``hand_bend``, or leans ``hand_goal`` by ``hand_share``; ``grip``
    closes it, ``flat`` lays it along the thigh.
    """

    ankle: complex
    shank_lean: float
    knee_flexion: float
    trunk_tilt: float
    lumbar: float
    thoracic: float
    neck_lean: float
    head_pitch: float
    hang: complex = complex(6.6, -52.2)
    thigh_share: float = 0.0
    goal_share: float = 0.0
    goal: complex = 0j
    protraction: float = 0.0
    hand_bend: float = 0.0
    hand_share: float = 0.0
    hand_goal: float = 180.0
    grip: float = 0.0
    flat: float = 0.0


@dataclass(frozen=True)
class Body:
    """A posed body: named points and the spine's line, in the frame of the module."""

    pose: Pose
    points: dict[str, complex]
    spine: NDArray[np.complex128]
    spine_lean: NDArray[np.float64]
    pelvis_lean: float
    neck_base: complex
    neck_top: complex
    hand_lean: float


def up(lean_deg: float) -> complex:
    """Unit vector that leans ``lean_deg`` forward of straight up."""
    return 1j * cmath.exp(-1j * math.radians(lean_deg))


def turn(vector: complex, lean_deg: float) -> complex:
    """``vector`` of an upright frame, seen when that frame leans."""
    return vector * cmath.exp(-1j * math.radians(lean_deg))


def pose_body(pose: Pose) -> Body:
    """All points of a pose; a goal more than ``EASY_REACH`` from the shoulder is not reached."""
    knee = pose.ankle + SHANK * up(pose.shank_lean)
    hip = knee + THIGH * up(pose.shank_lean - pose.knee_flexion)
    spine, leans, pelvis_lean, shoulder = _spine(hip, pose)
    points = {
        "ankle": pose.ankle,
        "heel": pose.ankle + HEEL,
        "toe": pose.ankle + TOE,
        "knee": knee,
        "hip": hip,
        "shoulder": shoulder,
        "s2": hip + turn(_SACRUM, pelvis_lean),
    }
    for name, along in BACK_POINTS.items():
        points[name] = skin_over(spine, leans, along)
    neck_base = spine[-1] + turn(0.6 + 0.5j, float(leans[-1]))
    neck_top = neck_base + _NECK * up(pose.neck_lean)
    points["ear"] = neck_top + turn(_TRAGUS, pose.head_pitch)
    points["eye"] = points["ear"] + turn(_EYE, pose.head_pitch)
    points["wrist"] = _wrist_goal(pose, hip, knee, shoulder)
    points["elbow"] = _elbow(shoulder, points["wrist"])
    forearm = points["wrist"] - points["elbow"]
    following = 90.0 - math.degrees(cmath.phase(forearm)) - pose.hand_bend
    along_thigh = 90.0 - math.degrees(cmath.phase(knee - hip))
    hand_lean = following + pose.hand_share * (pose.hand_goal - following)
    hand_lean += pose.flat * (along_thigh - hand_lean)
    return Body(pose, points, spine, leans, pelvis_lean, neck_base, neck_top, hand_lean)


def palm(body: Body) -> complex:
    """The middle of the closed hand."""
    return body.points["wrist"] + PALM * up(body.hand_lean)


def skin_over(spine: NDArray[np.complex128], leans: NDArray[np.float64], along: float) -> complex:
    """The skin of the back at a place along the spine (0 lumbosacral joint, 1 C7)."""
    lean = float(np.interp(along, _ALONG, leans))
    centre = complex(np.interp(along, _ALONG, spine))
    depth = float(np.interp(along, _SKIN_ALONG, _SKIN_DEPTH))
    return centre - turn(complex(depth, 0.0), lean)


def wrist_on_thigh(hip: complex, knee: complex, share: float = 0.70) -> complex:
    """Where the wrist is when the palm lies on the thigh."""
    along = (knee - hip) / abs(knee - hip)
    return hip + share * (knee - hip) + 9.6 * along * 1j


def _spine(
    hip: complex, pose: Pose
) -> tuple[NDArray[np.complex128], NDArray[np.float64], float, complex]:
    """Spine and shoulder; the pelvis takes the lean that makes the trunk tilt come true."""
    leans = _UPRIGHT + pose.lumbar * _LUMBAR + pose.thoracic * _THORACIC
    middle = np.radians((leans[1:] + leans[:-1]) / 2)
    links = 1j * np.exp(-1j * middle) * (SPINE_LENGTH / SPINE_STEPS)
    spine = _SPINE_BASE + np.concatenate([[0], np.cumsum(links)])
    carried = float(leans[_SHOULDER_AT])
    offset = _SHOULDER_OFFSET + complex(pose.protraction, -0.25 * pose.protraction)
    shoulder = complex(spine[_SHOULDER_AT]) + turn(offset, carried)
    pelvis_lean = pose.trunk_tilt - (90.0 - math.degrees(cmath.phase(shoulder)))
    swing = cmath.exp(-1j * math.radians(pelvis_lean))
    return hip + spine * swing, leans + pelvis_lean, pelvis_lean, hip + shoulder * swing


def _shoulder_offset() -> complex:
    """The shoulder seen from its vertebra, so that the upright trunk has its published length."""
    middle = np.radians((_UPRIGHT[1:] + _UPRIGHT[:-1]) / 2)
    links = 1j * np.exp(-1j * middle) * (SPINE_LENGTH / SPINE_STEPS)
    carrier = _SPINE_BASE + complex(np.sum(links[:_SHOULDER_AT]))
    goal_x = carrier.real + 3.6
    goal = complex(goal_x, math.sqrt(TRUNK**2 - goal_x**2))
    return turn(goal - carrier, -float(_UPRIGHT[_SHOULDER_AT]))


_SHOULDER_OFFSET = _shoulder_offset()


def _wrist_goal(pose: Pose, hip: complex, knee: complex, shoulder: complex) -> complex:
    lying = pose.thigh_share * (wrist_on_thigh(hip, knee) - shoulder)
    free = lying + (1.0 - pose.thigh_share) * pose.hang
    reach = free + pose.goal_share * (pose.goal - shoulder - free)
    return shoulder + reach * _soft_reach(abs(reach)) / abs(reach)


def _soft_reach(reach: float) -> float:
    """An arm never goes quite straight: the last 1.6 cm of reach are given up gradually."""
    beyond = max(0.0, reach - EASY_REACH)
    return min(reach, EASY_REACH + 1.5 * math.tanh(beyond / 1.5))


def _elbow(shoulder: complex, wrist: complex) -> complex:
    """Two-bone reach with the elbow to the rear, as elbows bend."""
    reach = abs(wrist - shoulder)
    cosine = (UPPER_ARM**2 + reach**2 - FOREARM**2) / (2 * UPPER_ARM * reach)
    return shoulder + UPPER_ARM * (wrist - shoulder) / reach * cmath.exp(-1j * math.acos(cosine))
