"""The marks on the stage, painted once for as long as they and the view stay the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainter, QPixmap

from cliptag.desk.stage.handles import magnified
from cliptag.desk.stage.shown import NoteMarks
from cliptag.desk.stage.viewport import Viewport
from cliptag.paint import Sizes, label_boxes, paint_marks


@dataclass(frozen=True, slots=True)
class MagnifiedSizes(Sizes):
    """Sizes on a picture that is looked at closely: lines and text don't grow with it."""

    own_unit: float = 1.0

    @property
    def unit(self) -> float:
        return self.own_unit


class MarkLayer:
    """Paints marks as the export does, scaled with the picture up to its own size.

    Closer than that only the picture grows, so that a thick line doesn't cover the place that it
    is to be put on.
    """

    def __init__(self) -> None:
        self._kept: dict[float, tuple[object, QPixmap]] = {}

    def paint(
        self,
        painter: QPainter,
        notes: Sequence[NoteMarks],
        view: Viewport,
        ratio: float,
        upright_deg: float,
    ) -> None:
        """Paint; the painter is in the area's coordinates, on a screen of this pixel ratio.

        Notes of one strength follow each other. Each strength is kept apart: dragging a mark
        leaves those of other notes as they are.
        """
        seen = QRectF(QPointF(view.left, view.top), QPointF(*view.to_area(*view.picture)))
        seen = QRectF((seen & QRectF(0.0, 0.0, *view.area)).toAlignedRect())
        if seen.isEmpty():
            return
        kept, self._kept = self._kept, {}
        painter.save()
        for strength, alike in groupby(notes, key=lambda note: note.strength):
            groups = tuple(alike)
            key = (groups, view, ratio, upright_deg)
            old_key, layer = kept.get(strength, (None, QPixmap()))
            if key != old_key:
                layer = _clear(seen, ratio)
                _paint_groups(layer, groups, view, seen, upright_deg)
            self._kept[strength] = (key, layer)
            painter.setOpacity(strength)
            painter.drawPixmap(seen.topLeft(), layer)
        painter.restore()


class LabelPlaces:
    """Where the labels of marks stand, found anew only when something about them changes."""

    def __init__(self) -> None:
        self._kept: tuple[QRectF, ...] = ()
        self._kept_for: object = None

    def of(
        self, notes: Sequence[NoteMarks], view: Viewport, upright_deg: float
    ) -> tuple[QRectF, ...]:
        """The label of each mark in picture pixels, note by note; empty where there is none."""
        key = (tuple(notes), view.zoom, view.area, upright_deg)
        if key != self._kept_for:
            self._kept_for = key
            _, times, sizes = _sizes(view)
            boxes = [
                box
                for note in (_magnified(note, times) for note in notes)
                for box in label_boxes(
                    note.marks, sizes, plumb_deg=upright_deg, keep_clear=note.keep_clear
                )
            ]
            self._kept = tuple(QRectF(box.topLeft() / times, box.size() / times) for box in boxes)
        return self._kept


def _sizes(view: Viewport) -> tuple[float, float, Sizes]:
    """The painter's scale, how many times larger marks have to be, and the sizes for these."""
    width, height = view.picture
    sizes = Sizes(width, height)
    scale = min(view.zoom, max(1.0, Viewport.fitted(view.picture, view.area).zoom))
    times = view.zoom / scale
    if times > 1.0:
        sizes = MagnifiedSizes(round(width * times), round(height * times), own_unit=sizes.unit)
    return scale, times, sizes


def _paint_groups(
    onto: QPixmap,
    groups: Sequence[NoteMarks],
    view: Viewport,
    seen: QRectF,
    upright_deg: float,
) -> None:
    scale, times, sizes = _sizes(view)
    painter = QPainter(onto)
    painter.translate(QPointF(view.left, view.top) - seen.topLeft())
    painter.scale(scale, scale)
    for group in (_magnified(group, times) for group in groups):
        paint_marks(painter, group.marks, sizes, plumb_deg=upright_deg, keep_clear=group.keep_clear)
    painter.end()


def _magnified(group: NoteMarks, times: float) -> NoteMarks:
    if times == 1.0:
        return group
    return replace(
        group,
        marks=tuple(replace(shown, mark=magnified(shown.mark, times)) for shown in group.marks),
        keep_clear=tuple(
            QRectF(box.topLeft() * times, box.size() * times) for box in group.keep_clear
        ),
    )


def _clear(seen: QRectF, ratio: float) -> QPixmap:
    made = QPixmap(round(seen.width() * ratio), round(seen.height() * ratio))
    made.setDevicePixelRatio(ratio)
    made.fill(Qt.GlobalColor.transparent)
    return made
