"""Marks on the picture: the box that they will paint, and the painting."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QPainter

from cliptag.paint import mark_measuring, mark_pointing  # noqa: F401 - they register themselves
from cliptag.paint.colours import mark_colour
from cliptag.paint.geometry import qpoint
from cliptag.paint.labels import LabelPlate, label_plate
from cliptag.paint.placement import place_label, points_taken, rect_at
from cliptag.paint.registry import View, sketch_of
from cliptag.paint.sizes import Sizes
from cliptag.paint.sketch import Sketch
from cliptag.review import Kind, Mark, points_of


@dataclass(frozen=True, slots=True)
class LabelSpot:
    """A label's place by its mark, the same on every picture while the mark moves.

    ``by_x`` and ``by_y`` lead in pixels from the mark's point number ``point`` to the label's
    middle; the plate has room for the reading ``roomiest``.
    """

    point: int
    by_x: float
    by_y: float
    roomiest: str | None = None


@dataclass(frozen=True, slots=True)
class ShownMark:
    """A mark as it is shown: in a note of some kind, with its number if it has one.

    ``reading`` is the number of a measuring mark as it should read ('Knee flexion 92° ± 2°').
    ``spot``: where its label stands while it moves (see ``steady.py``); None: where it fits
    best on this picture.
    """

    mark: Mark
    kind: Kind
    reading: str | None = None
    spot: LabelSpot | None = None


@dataclass(frozen=True, slots=True)
class _Composed:
    sketch: Sketch
    colour: QColor
    plate: LabelPlate | None
    place: QRectF


def paint_marks(
    painter: QPainter,
    marks: Sequence[ShownMark],
    sizes: Sizes,
    *,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
) -> None:
    """Paint marks that are seen together; the painter is in picture coordinates, at any scale.

    Labels stay off every mark, off each other and off ``keep_clear`` (such as a caption's box)
    where there is room. ``plumb_deg`` is how far the true vertical is turned from the picture's,
    clockwise positive.
    """
    composed = _compose(marks, sizes, plumb_deg, keep_clear)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.setClipRect(sizes.picture, Qt.ClipOperation.IntersectClip)
    for one in composed:
        one.sketch.paint(painter, one.colour, sizes.casing)
    for one in composed:
        if one.plate is not None:
            one.plate.paint(painter, one.place, one.colour)
    painter.restore()


def marks_box(
    marks: Sequence[ShownMark],
    sizes: Sizes,
    *,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
) -> QRectF:
    """The rectangle of whole picture pixels that ``paint_marks`` touches with these arguments.

    Empty when there is nothing to paint inside the picture.
    """
    box = QRectF()
    for one in _compose(marks, sizes, plumb_deg, keep_clear):
        box = box.united(one.sketch.box(sizes.casing))
        if one.plate is not None:
            box = box.united(one.place.adjusted(-1.0, -1.0, 1.0, 1.0))
    return QRectF(box.intersected(sizes.picture).toAlignedRect())


def label_boxes(
    marks: Sequence[ShownMark],
    sizes: Sizes,
    *,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
) -> tuple[QRectF, ...]:
    """Where ``paint_marks`` puts each mark's label with these arguments; empty: it has none."""
    return tuple(one.place for one in _compose(marks, sizes, plumb_deg, keep_clear))


def paint_mark(
    painter: QPainter,
    mark: Mark,
    sizes: Sizes,
    *,
    kind: Kind,
    reading: str | None = None,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
) -> None:
    """Paint one mark by itself, as ``paint_marks`` does."""
    paint_marks(
        painter,
        (ShownMark(mark, kind, reading),),
        sizes,
        plumb_deg=plumb_deg,
        keep_clear=keep_clear,
    )


def mark_box(
    mark: Mark,
    sizes: Sizes,
    reading: str | None = None,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
) -> QRectF:
    """The rectangle of whole picture pixels that ``paint_mark`` touches with these arguments."""
    return marks_box(
        (ShownMark(mark, "seen", reading),), sizes, plumb_deg=plumb_deg, keep_clear=keep_clear
    )


def place_at(spot: LabelSpot, mark: Mark, plate: LabelPlate, sizes: Sizes) -> QRectF:
    """Where a plate with its spot stands on a picture."""
    centre = qpoint(points_of(mark)[spot.point]) + QPointF(spot.by_x, spot.by_y)
    return rect_at(plate.size, centre, room_in(sizes, mark))


def room_in(sizes: Sizes, mark: Mark) -> QRectF:
    """Where a mark's label may stand: in the picture, of several in that which it is on."""
    inset, first = 1.5 * sizes.unit, points_of(mark)[0]
    return sizes.panel_at(first.x, first.y).adjusted(inset, inset, -inset, -inset)


def _compose(
    marks: Sequence[ShownMark],
    sizes: Sizes,
    plumb_deg: float,
    keep_clear: Sequence[QRectF],
) -> list[_Composed]:
    view = View(sizes, plumb_deg)
    sketches = [sketch_of(shown.mark, view) for shown in marks]
    plates = [
        label_plate(
            shown.mark.label, shown.reading, sizes, shown.spot.roomiest if shown.spot else None
        )
        for shown in marks
    ]
    places = _places(marks, sketches, plates, sizes, keep_clear)
    return [
        _Composed(sketch, mark_colour(shown.mark.colour, shown.kind), plate, place)
        for shown, sketch, plate, place in zip(marks, sketches, plates, places, strict=True)
    ]


def _places(
    marks: Sequence[ShownMark],
    sketches: Sequence[Sketch],
    plates: Sequence[LabelPlate | None],
    sizes: Sizes,
    keep_clear: Sequence[QRectF],
) -> list[QRectF]:
    """Where each plate stands; an empty rectangle for none.

    Those that have their spot come first, then the largest one chooses.
    """
    places = [QRectF() for _ in plates]
    waiting: list[tuple[LabelPlate, int]] = []
    for number, (shown, plate) in enumerate(zip(marks, plates, strict=True)):
        if plate is not None and shown.spot is not None:
            places[number] = place_at(shown.spot, shown.mark, plate, sizes)
        elif plate is not None:
            waiting.append((plate, number))
    if not waiting:
        return places
    step = 2.0 * sizes.unit
    taken = np.concatenate([points_taken(sketch, step) for sketch in sketches])
    clear = [*keep_clear, *(place for place in places if not place.isEmpty())]
    for plate, number in sorted(waiting, key=lambda item: -item[0].area):
        room = room_in(sizes, marks[number].mark)
        place = place_label(plate.size, sketches[number].anchors, taken, room, step, clear)
        places[number] = place
        clear.append(place)
    return places
