"""Where the coach placed points, and the legs on which they are followed from there."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from cliptag.errors import MeasureError


@dataclass(frozen=True, slots=True)
class Placement:
    """A point as placed on a frame: pixels as displayed, x right, y down, from the outer corner.

    ``sd_px`` is the standard deviation of the placing along each axis; None lets it be estimated
    from the picture's sharpness.
    """

    frame: int
    x: float
    y: float
    sd_px: float | None = None


Keys: TypeAlias = Mapping[str, Sequence[Placement]]


@dataclass(frozen=True, slots=True)
class Leg:
    """One point followed from a placement up or down the frames, to ``end`` inclusive."""

    name: str
    start: Placement
    end: int

    @property
    def is_up(self) -> bool:
        return self.end > self.start.frame

    def covers(self, frame: int) -> bool:
        """Whether the frame is one of those to be found (the start is given)."""
        low, high = sorted((self.start.frame, self.end))
        return low <= frame <= high and frame != self.start.frame


@dataclass(frozen=True, slots=True)
class Stretch:
    """The frames ``first`` to ``last`` of one point that lie between placements, or outside."""

    name: str
    before: Placement | None
    after: Placement | None
    first: int
    last: int

    @property
    def up(self) -> Leg | None:
        return None if self.before is None else Leg(self.name, self.before, self.last)

    @property
    def down(self) -> Leg | None:
        return None if self.after is None else Leg(self.name, self.after, self.first)


def checked(keys: Keys, frame_count: int) -> dict[str, tuple[Placement, ...]]:
    """The placements in order of their frames. Raises MeasureError for ones that can't be used."""
    ordered = {}
    for name, given in keys.items():
        placements = tuple(sorted(given, key=lambda placement: placement.frame))
        if not placements:
            raise MeasureError(f"The point {name} is placed nowhere: place it on one frame.")
        for placement in placements:
            _check(name, placement, frame_count)
        frames = [placement.frame for placement in placements]
        for frame in frames:
            if frames.count(frame) > 1:
                raise MeasureError(
                    f"The point {name} is placed more than once on frame {frame}: keep one."
                )
        ordered[name] = placements
    return ordered


def _check(name: str, placement: Placement, frame_count: int) -> None:
    if not 0 <= placement.frame < frame_count:
        raise MeasureError(
            f"The point {name} is placed on frame {placement.frame}, but the clip has the frames "
            f"0 to {frame_count - 1}."
        )
    if not (math.isfinite(placement.x) and math.isfinite(placement.y)):
        raise MeasureError(f"The point {name} lies nowhere on frame {placement.frame}.")
    sd = placement.sd_px
    if sd is not None and not (math.isfinite(sd) and sd >= 0):
        raise MeasureError(f"The point {name}: its standard deviation must be 0 or more pixels.")


def stretches_of(
    name: str, placements: Sequence[Placement], frame_count: int
) -> tuple[Stretch, ...]:
    """What lies before, between and after a point's placements, in order; empty ones left out."""
    ends: list[Placement | None] = [None, *placements, None]
    stretches = []
    for before, after in itertools.pairwise(ends):
        first = 0 if before is None else before.frame + 1
        last = frame_count - 1 if after is None else after.frame - 1
        if first <= last:
            stretches.append(Stretch(name, before, after, first, last))
    return tuple(stretches)
