"""Paints the stage: picture, marks, handles, loupe."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PyQt6.QtCore import QPointF, QRectF
from PyQt6.QtGui import QImage, QPainter

from cliptag.desk.look import font, palette, space
from cliptag.desk.stage.grips import paint_aim, paint_grips
from cliptag.desk.stage.loupe import (
    LoupePlace,
    paint_loupe,
    paint_number,
    scale_in_loupe,
    side_of_loupe,
)
from cliptag.desk.stage.mark_layer import LabelPlaces, MarkLayer
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.picture_layer import PictureLayer
from cliptag.desk.stage.points import PointLayer
from cliptag.desk.stage.shown import NoteMarks
from cliptag.desk.stage.viewport import Viewport
from cliptag.review import Point

_LOUPE_HEIGHTS: Final = 9.5
_NAME_SIZE: Final = 0.8


class StagePainter:
    """Keeps what was painted for as long as it stays the same."""

    def __init__(self, model: StageModel) -> None:
        self._model = model
        self._picture, self._marks = PictureLayer(), MarkLayer()
        self._points, self._labels = PointLayer(), LabelPlaces()
        self.loupe_place = LoupePlace()

    def show_picture(self, image: QImage) -> None:
        """Paint another picture from now on."""
        self._picture.show(image)

    def clear(self) -> None:
        """Paint no picture from now on."""
        self._picture.clear()

    def paint(
        self, painter: QPainter, view: Viewport, ratio: float, looks_at: Point | None
    ) -> None:
        """Paint on a screen of this pixel ratio; ``looks_at`` is where the loupe looks, if any."""
        model = self._model
        area = QRectF(0.0, 0.0, *view.area)
        has_loupe = looks_at is not None and model.is_exact
        notes = model.notes_beside_loupe() if has_loupe else model.notes()
        painter.setClipRect(area)
        self._picture.paint(painter, view, ratio)
        self._marks.paint(painter, notes, view, ratio, model.upright_deg)
        if model.points.is_on and model.index is not None:
            self._paint_points(painter, view, ratio, notes)
        mark = model.chosen_mark
        if mark is not None and model.drawing is None:
            accent = palette().colour("accent")
            paint_grips(painter, mark, model.point, view, space(), accent)
        if looks_at is not None and has_loupe:
            self._paint_loupe(painter, view, area, looks_at)

    def _paint_points(
        self, painter: QPainter, view: Viewport, ratio: float, notes: Sequence[NoteMarks]
    ) -> None:
        points, index = self._model.points, self._model.index
        assert index is not None
        boxes = self._labels.of(notes, view, self._model.upright_deg) if notes else ()
        labels = [
            QRectF(QPointF(*view.to_area(b.left(), b.top())), b.size() * view.zoom)
            for b in boxes
            if not b.isEmpty()
        ]
        accent = palette().colour("accent")
        seen = points.at(index).seen
        self._points.paint(
            painter, seen, points.chosen, view, ratio, font(_NAME_SIZE), accent, labels
        )

    def _paint_loupe(
        self, painter: QPainter, view: Viewport, area: QRectF, looks_at: Point
    ) -> None:
        at = QPointF(*view.to_area(looks_at.x, looks_at.y))
        paint_aim(painter, at, space())
        sight = self._model.sight(looks_at)
        side = side_of_loupe(area, space(_LOUPE_HEIGHTS))
        square = self.loupe_place.next(at.x(), at.y(), area, side)
        paint_loupe(painter, self._picture.image, sight, square, scale_in_loupe(view.zoom))
        if sight.number:
            paint_number(painter, sight.number, square, at, area, font(1.0, strong=True))
