"""Laying the second picture over the first: same facing, plumb lines, body scale and ground line.

A place on a picture is a complex number x + iy here, in pixels as displayed, y down.
"""

from __future__ import annotations

import cmath
import itertools
import math
from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.measure import Estimate
from cliptag.pairing.document import Mirror
from cliptag.pairing.side import Side

CHAINS: Final = (
    ("ankle", "knee", "hip", "shoulder"),
    ("knee", "hip", "shoulder"),
    ("hip", "shoulder"),
)
"""Body lengths to scale by, the longest first: sums of the ways from point to point."""

GROUND_POINTS: Final = ("heel", "toe", "ankle")
_SAME: Final = 1e-9


@dataclass(frozen=True, slots=True)
class Similarity:
    """Turn, enlarge, maybe mirror, and shift: z becomes factor * (z or its mirror) + shift."""

    factor: complex = 1.0 + 0j
    shift: complex = 0j
    is_mirrored: bool = False

    def __call__(self, z: complex) -> complex:
        return self.factor * (-z.conjugate() if self.is_mirrored else z) + self.shift

    def then(self, other: Similarity) -> Similarity:
        """This one first, then the other."""
        factor, shift = self.factor, self.shift
        if other.is_mirrored:
            factor, shift = factor.conjugate(), -shift.conjugate()
        return Similarity(
            other.factor * factor,
            other.factor * shift + other.shift,
            self.is_mirrored != other.is_mirrored,
        )

    @property
    def scale(self) -> float:
        """How many times as large everything gets."""
        return abs(self.factor)

    @property
    def turn_deg(self) -> float:
        """How far it turns clockwise, after mirroring."""
        return math.degrees(cmath.phase(self.factor))


@dataclass(frozen=True, slots=True)
class Placing:
    """How the second picture lies over the first, and by what it was laid so.

    ``scaled_by``: 'scale', 'body' or 'picture' (nothing better was known); ``body_px`` are the
    lengths of the same body chain in both, where both have one.
    """

    onto_first: Similarity
    is_mirrored: bool
    scaled_by: str
    body_px: tuple[Estimate, Estimate] | None
    chain: tuple[str, ...] | None
    has_ground: bool


def place(first: Side, second: Side, mirror: Mirror = "auto") -> Placing:
    """Lay the second side's picture over the first's."""
    is_mirrored = mirror == "yes" or (
        mirror == "auto"
        and first.facing is not None
        and second.facing is not None
        and first.facing != second.facing
    )
    chain, body_px = _bodies(first, second)
    scaled_by, scale = _scale(first, second, body_px)
    # The true vertical is turned clockwise by these in both pictures; mirroring turns it round.
    own = second.camera.upright_deg.value * (-1 if is_mirrored else 1)
    turn = first.camera.upright_deg.value - own
    turned = Similarity(cmath.rect(scale, math.radians(turn)), 0j, is_mirrored)
    feet = _feet(first), _feet(second)
    if feet[0] is not None and feet[1] is not None:
        shift = feet[0] - turned(feet[1])
    else:
        shift = _foot_of_picture(first) - turned(_foot_of_picture(second))
    onto = Similarity(turned.factor, shift, is_mirrored)
    return Placing(onto, is_mirrored, scaled_by, body_px, chain, None not in feet)


def body_length(side: Side, chain: tuple[str, ...]) -> Estimate | None:
    """The length of a chain of body points in pixels, the median over the frames; None without.

    Its uncertainty is that of one placement at each end of each way: the points of a clip were
    placed on few frames, so frames don't average it down.
    """
    total, variance = 0.0, 0.0
    for start, end in itertools.pairwise(chain):
        a, b = side.places(start), side.places(end)
        if a is None or b is None:
            return None
        lengths = np.hypot(*(b - a).T)
        if not np.isfinite(lengths).any():
            return None
        total += float(np.nanmedian(lengths))
        variance += 2 * side.camera.placement_sd_px**2
    return Estimate(total, math.sqrt(variance))


def _bodies(
    first: Side, second: Side
) -> tuple[tuple[str, ...] | None, tuple[Estimate, Estimate] | None]:
    for chain in CHAINS:
        a, b = body_length(first, chain), body_length(second, chain)
        if a is not None and b is not None and min(a.value, b.value) > 1:
            return chain, (a, b)
    return None, None


def _scale(
    first: Side, second: Side, body_px: tuple[Estimate, Estimate] | None
) -> tuple[str, float]:
    one, other = first.camera.px_per_cm, second.camera.px_per_cm
    if one is not None and other is not None:
        return "scale", one.value / other.value
    if body_px is not None:
        return "body", body_px[0].value / body_px[1].value
    return "picture", first.review.clip.height / second.review.clip.height


def _feet(side: Side) -> complex | None:
    """The middle of the foot on the ground: the lowest of its points, over most frames."""
    found = [places for name in GROUND_POINTS if (places := side.places(name)) is not None]
    middles = [complex(*np.nanmedian(p, axis=0)) for p in found if np.isfinite(p).any()]
    if not middles:
        return None
    up = cmath.rect(1.0, math.radians(side.camera.upright_deg.value))
    level = [z / up for z in middles]
    ankle = side.places("ankle")
    across = level[-1] if ankle is not None else sum(level) / len(level)
    return complex(across.real, max(z.imag for z in level)) * up


def _foot_of_picture(side: Side) -> complex:
    clip = side.review.clip
    return complex(clip.width / 2, clip.height)
