"""Labels of marks that move with the body: each keeps one place by its mark."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from PyQt6.QtCore import QRectF

from cliptag.paint.labels import label_plate
from cliptag.paint.marks import LabelSpot, ShownMark, place_at, room_in
from cliptag.paint.placement import Points, Surroundings, points_taken, steady_offset
from cliptag.paint.registry import View, sketch_of
from cliptag.paint.sizes import Sizes
from cliptag.review import Mark, points_of


def steady_spots(
    pictures: Sequence[Sequence[ShownMark]],
    sizes: Sizes,
    *,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
    beneath: Sequence[Points] = (),
    roomiest: Mapping[str, str] | None = None,
) -> dict[str, LabelSpot]:
    """Where the labels of moving marks stand best all through a movement, by the marks' ids.

    ``pictures``: the marks as they are on some pictures of it, the one that matters most first. So
    labels go with the body and don't hop from one side to the other. ``keep_clear`` is as for
    ``paint_marks``; ``beneath`` holds for each picture (N, 2) pixels that are better not covered;
    ``roomiest`` the longest readings that the marks will have, by their ids.
    """
    view, step = View(sizes, plumb_deg), 2.0 * sizes.unit
    sketches = [{shown.mark.id: sketch_of(shown.mark, view) for shown in on} for on in pictures]
    beneath = beneath or [np.empty((0, 2))] * len(pictures)
    taken = [
        np.concatenate([there, *(points_taken(sketch, step) for sketch in on.values())])
        for there, on in zip(beneath, sketches, strict=True)
    ]
    clear: list[list[QRectF]] = [list(keep_clear) for _ in pictures]
    spots: dict[str, LabelSpot] = {}
    for mark_id in dict.fromkeys(shown.mark.id for on in pictures for shown in on):
        seen = [
            (number, shown)
            for number, on in enumerate(pictures)
            for shown in on
            if shown.mark.id == mark_id
        ]
        number, first = seen[0]
        longest = (roomiest or {}).get(mark_id, first.reading)
        plate = label_plate(first.mark.label, first.reading, sizes, longest)
        if plate is None:
            continue
        room = room_in(sizes, first.mark)
        around = [
            (_points(shown.mark), Surroundings(taken[n], room, step, clear[n])) for n, shown in seen
        ]
        point, by = steady_offset(plate.size, sketches[number][mark_id].anchors, around)
        spot = LabelSpot(point, by.x(), by.y(), longest)
        spots[mark_id] = spot
        for n, shown in seen:
            clear[n].append(place_at(spot, shown.mark, plate, sizes))
    return spots


def _points(mark: Mark) -> Points:
    return np.array([(point.x, point.y) for point in points_of(mark)])
