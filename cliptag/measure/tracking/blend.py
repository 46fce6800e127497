"""Two ways to the same frames, one from the placement before and one from that after, made one."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from cliptag.measure.tracking.tracks import Floats, State, States

_DISPUTE_SD: Final = 5.0
_DISPUTE_RADII: Final = 0.35


@dataclass(frozen=True, slots=True, eq=False)
class Trail:
    """A point over the frames of one leg, in frame order.

    ``places`` (M, 2) and ``var`` (M,) px² of following alone, NaN where not known; ``states``,
    ``likeness`` (M,); ``placed_sd``: of the placement it starts from.
    """

    places: Floats
    var: Floats
    states: States
    likeness: Floats
    placed_sd: float

    def whole(self) -> Trail:
        """The same with the placement's uncertainty within ``var``."""
        var = self.var + self.placed_sd**2
        return Trail(self.places, var, self.states, self.likeness, 0.0)


def blended(up: Trail, down: Trail, radius_px: float) -> Trail:
    """One trail between two placements, each of which it meets exactly.

    Weighted by the inverse of each way's own variance, in which the placement's part grows in
    proportion to the way gone, so that two placements that differ are joined by a slope and not by
    a step. The variance is that of a mixture of the two, so it holds their disagreement too.
    ``placed_sd`` is 0 as both are already within ``var``.
    """
    count = len(up.var)
    gone = (np.arange(count) + 1.0) / (count + 1.0)
    with np.errstate(invalid="ignore"):
        up_var = up.var + up.placed_sd**2 * gone
        down_var = down.var + down.placed_sd**2 * (1 - gone)
        weight = down_var / (up_var + down_var)
    weight = np.where(np.isnan(up.var), 0.0, np.where(np.isnan(down.var), 1.0, weight))
    one, other = weight[:, None], 1.0 - weight[:, None]
    places = one * np.nan_to_num(up.places) + other * np.nan_to_num(down.places)
    full_up = np.nan_to_num(up.var) + up.placed_sd**2
    full_down = np.nan_to_num(down.var) + down.placed_sd**2
    apart = np.nan_to_num(np.hypot(*(up.places - down.places).T))
    tracking = weight * (1 - weight) * apart**2 / 2
    var = weight**2 * full_up + (1 - weight) ** 2 * full_down + tracking
    states = np.where(up.states == State.FOLLOWED, up.states, down.states)
    likeness = np.fmax(up.likeness, down.likeness)
    limit = np.maximum(_DISPUTE_SD * np.sqrt(full_up + full_down), _DISPUTE_RADII * radius_px)
    states = np.where(apart > limit, State.DISPUTED, states).astype(np.uint8)
    missing = states != State.FOLLOWED
    places[missing], var[missing] = np.nan, np.nan
    return Trail(places, var, states, likeness, 0.0)
