"""The places of a mark that can be taken hold of, and the mark when one of them is moved."""

from __future__ import annotations

from typing import Final

import msgspec

from cliptag.review import Mark, Point, Ring, edit, points_of

MOST_HANDLES: Final = 16
"""A line drawn in one go has more points than anyone would move one by one."""
LEAST_RADIUS_PX: Final = 1.0
_DECIMALS: Final = 2
"""A hundredth of a pixel is finer than anyone can place a point."""


def handles_of(mark: Mark) -> tuple[Point, ...]:
    """The handles: a mark's points; of a ring its middle, then right, bottom, left, top.

    None for marks with more than ``MOST_HANDLES`` points, which are moved as a whole, and for
    marks that follow points, which lie where these are.
    """
    if mark.follows:
        return ()
    if isinstance(mark, Ring):
        x, y, across, down = mark.centre.x, mark.centre.y, mark.radius_x, mark.radius_y
        rim = ((x + across, y), (x, y + down), (x - across, y), (x, y - down))
        return (mark.centre, *(Point(*place) for place in rim))
    points = points_of(mark)
    return points if len(points) <= MOST_HANDLES else ()


def tidy(place: Point) -> Point:
    """The place without digits that mean nothing."""
    return Point(round(place.x, _DECIMALS), round(place.y, _DECIMALS))


def with_handle(mark: Mark, which: int, to: Point) -> Mark:
    """The mark with one of its handles put somewhere else."""
    to = tidy(to)
    if isinstance(mark, Ring) and which > 0:
        if which in (1, 3):
            radius = max(abs(to.x - mark.centre.x), LEAST_RADIUS_PX)
            return msgspec.structs.replace(mark, radius_x=radius)
        return msgspec.structs.replace(
            mark, radius_y=max(abs(to.y - mark.centre.y), LEAST_RADIUS_PX)
        )
    points = list(points_of(mark))
    points[which] = to
    return edit.with_points(mark, points)


def shifted(mark: Mark, by_x: float, by_y: float) -> Mark:
    """The whole mark moved by pixels of the picture."""
    moved = [tidy(Point(point.x + by_x, point.y + by_y)) for point in points_of(mark)]
    return edit.with_points(mark, moved)


def magnified(mark: Mark, times: float) -> Mark:
    """The mark as it lies on a picture that is so many times as large."""
    larger = edit.with_points(mark, [Point(p.x * times, p.y * times) for p in points_of(mark)])
    if isinstance(larger, Ring):
        return msgspec.structs.replace(
            larger, radius_x=larger.radius_x * times, radius_y=larger.radius_y * times
        )
    return larger


def snap_anchor(mark: Mark, which: int) -> Point | None:
    """The point that a moved handle is snapped to; None where there is nothing to line up with."""
    if isinstance(mark, Ring):
        return None
    points = points_of(mark)
    if len(points) < 2:
        return None
    return points[which - 1] if which else points[1]
