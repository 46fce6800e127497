"""What the tracker goes by; the usual values suit phone clips."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Settings:
    """Lengths are parts of the picture's short side, so that they hold for any resolution.

    ``patch``: half the side of the patch that a point is known by.
    ``keep_likeness``: a patch that is as like the placed one as this (normalised
    cross-correlation) is the point. ``find_likeness``: the same for a point that was lost.
    ``poor_likeness``: less than this, and the point counts as hidden.
    ``reach``: how far round its expected place a lost point is looked for.
    ``keep_bytes``: memory for pictures that are walked backwards.
    """

    patch: float = 0.0145
    keep_likeness: float = 0.80
    find_likeness: float = 0.84
    poor_likeness: float = 0.60
    reach: float = 0.11
    keep_bytes: int = 400_000_000
