"""How far a followed point may be off, beyond how surely it was placed."""

from __future__ import annotations

from typing import Final

import numpy as np

from cliptag.measure.tracking.tracks import Floats

LEAST_PX: Final = 0.1
_CHANGED_LOOK: Final = 0.25
"""Part of the patch's radius that a point may be off when nothing of its look is left."""
_SLIDE_PER_S: Final = 0.003


def tracking_var(match_var: Floats, likeness: Floats, away_s: Floats, radius_px: float) -> Floats:
    """Variance in px² along each axis of following alone.

    ``match_var`` comes from the match itself: residual and structure tensor, and the drift of
    renewed patches. A patch whose look has changed may have changed about another centre, so what
    is missing from ``likeness`` counts; and skin and cloth slide with the time from the placement.
    """
    changed = _CHANGED_LOOK * radius_px * (1.0 - likeness)
    slid = _SLIDE_PER_S * radius_px * away_s
    return np.asarray(match_var + LEAST_PX**2 + changed**2 + slid**2)
