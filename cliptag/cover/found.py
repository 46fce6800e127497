"""What a search for heads found in a clip: where each of them is, and how well that is known."""

from __future__ import annotations

from typing import Literal

from msgspec import Struct

from cliptag.cover.areas import Ellipse

How = Literal["seen", "followed", "held"]
"""Found in this very picture; carried on from another one by what moves; or left where it was."""


class Spot(Struct, frozen=True, array_like=True):
    """Where a head may be in one of the pictures that were looked at."""

    areas: tuple[Ellipse, ...]
    how: How
    far_us: int
    """How far in time the nearest picture is in which it was seen."""


class Head(Struct, frozen=True, kw_only=True):
    """One head, in pictures ``first`` and on; ``is_brief``: too short-lived to be sure of it."""

    first: int
    spots: tuple[Spot, ...]
    is_brief: bool

    def spot(self, sample: int) -> Spot | None:
        """Where it is in a picture, counted among those that were looked at."""
        at = sample - self.first
        return self.spots[at] if 0 <= at < len(self.spots) else None


class HeadSearch(Struct, frozen=True, kw_only=True):
    """All heads of a clip. ``samples`` are the frames that were looked at: first, last, between."""

    samples: tuple[int, ...]
    heads: tuple[Head, ...]
