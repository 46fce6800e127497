"""Marks on the picture: the box that one will paint, and the painting."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QRectF, Qt
from PyQt6.QtGui import QPainter

from cliptag.paint import mark_measuring, mark_pointing  # noqa: F401 - they register themselves
from cliptag.paint.colours import mark_colour
from cliptag.paint.labels import LabelPlate, label_plate
from cliptag.paint.placement import place_label
from cliptag.paint.registry import DRAWINGS, View
from cliptag.paint.sizes import Sizes
from cliptag.paint.sketch import Sketch
from cliptag.review import Kind, Mark


def mark_box(
    mark: Mark,
    sizes: Sizes,
    reading: str | None = None,
    plumb_deg: float = 0.0,
    keep_clear: Sequence[QRectF] = (),
) -> QRectF:
    """The rectangle of whole picture pixels that ``paint_mark`` touches with these arguments.

    Empty when the mark lies outside the picture.
    """
    sketch, plate, place = _compose(mark, sizes, reading, plumb_deg, keep_clear)
    box = sketch.box(sizes.casing)
    if plate is not None:
        box = box.united(place.adjusted(-1.0, -1.0, 1.0, 1.0))
    return QRectF(box.toAlignedRect()).intersected(sizes.picture)


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
    """Paint one mark; the painter is in picture coordinates, at any scale.

    ``reading`` is the number of a measuring mark as it should read ('Knee flexion 92° ± 2°').
    ``plumb_deg`` is how far the true vertical is turned from the picture's, clockwise positive.
    The label stays off the rectangles in ``keep_clear``, such as a caption, where it can.
    """
    sketch, plate, place = _compose(mark, sizes, reading, plumb_deg, keep_clear)
    colour = mark_colour(mark.colour, kind)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    painter.setClipRect(sizes.picture, Qt.ClipOperation.IntersectClip)
    sketch.paint(painter, colour, sizes.casing)
    if plate is not None:
        plate.paint(painter, place, colour)
    painter.restore()


def _compose(
    mark: Mark,
    sizes: Sizes,
    reading: str | None,
    plumb_deg: float,
    keep_clear: Sequence[QRectF],
) -> tuple[Sketch, LabelPlate | None, QRectF]:
    sketch = DRAWINGS[type(mark)](mark, View(sizes, plumb_deg))
    plate = label_plate(mark.label, reading, sizes)
    if plate is None:
        return sketch, None, QRectF()
    inset = 1.5 * sizes.unit
    room = sizes.picture.adjusted(inset, inset, -inset, -inset)
    place = place_label(plate.size, sketch.anchor, sketch, room, 2.0 * sizes.unit, keep_clear)
    return sketch, plate, place
