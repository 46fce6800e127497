"""Labels of marks that move with the body: each keeps one place by its mark."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from PyQt6.QtCore import QRectF, QSizeF

from cliptag.paint.geometry import distance, qpoint
from cliptag.paint.labels import label_plate
from cliptag.paint.marks import LabelSpot, ShownMark, place_at, room_in
from cliptag.paint.placement import Surroundings, points_taken, steady_offset
from cliptag.paint.registry import View, sketch_of
from cliptag.paint.sizes import Sizes
from cliptag.paint.sketch import Sketch
from cliptag.review import points_of


def steady_spots(
    pictures: Sequence[Sequence[ShownMark]],
    sizes: Sizes,
    *,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
) -> dict[str, LabelSpot]:
    """Where the labels of moving marks stand best all through a movement, by the marks' ids.

    ``pictures``: the marks as they are on some pictures of it, the one that matters most first. So
    labels go with the body and don't hop from one side to the other. ``keep_clear`` is as for
    ``paint_marks``.
    """
    view, step = View(sizes, plumb_deg), 2.0 * sizes.unit
    sketches = [{shown.mark.id: sketch_of(shown.mark, view) for shown in on} for on in pictures]
    taken = [
        np.concatenate([np.empty((0, 2)), *(points_taken(sketch, step) for sketch in on.values())])
        for on in sketches
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
        readings = [shown.reading for _, shown in seen if shown.reading]
        roomiest = max(readings, key=len, default=None)
        number, first = seen[0]
        plate = label_plate(first.mark.label, first.reading, sizes, roomiest)
        if plate is None:
            continue
        around = [
            (shown, Surroundings(taken[n], room_in(sizes), step, clear[n])) for n, shown in seen
        ]
        spot = _steady_spot(plate.size, sketches[number][mark_id], around, roomiest)
        spots[mark_id] = spot
        for n, shown in seen:
            clear[n].append(place_at(spot, shown.mark, plate, sizes))
    return spots


def _steady_spot(
    size: QSizeF,
    sketch: Sketch,
    around: Sequence[tuple[ShownMark, Surroundings]],
    roomiest: str | None,
) -> LabelSpot:
    """From the point next to which the label would stand on the first picture."""
    first = points_of(around[0][0].mark)
    main = sketch.anchors[0].at
    point = min(range(len(first)), key=lambda at: distance(qpoint(first[at]), main))
    pictures = [(qpoint(points_of(shown.mark)[point]), there) for shown, there in around]
    by = steady_offset(size, sketch.anchors, qpoint(first[point]), pictures)
    return LabelSpot(point, by.x(), by.y(), roomiest)
