"""The mouse on the stage: which hand it is, and panning."""

from __future__ import annotations

import math
from collections.abc import Callable

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QMouseEvent
from PyQt6.QtWidgets import QApplication

from cliptag.desk.look import space
from cliptag.desk.stage.framing import Framing
from cliptag.desk.stage.hands import ChoosingHand, DrawingHand, Hand, Touch
from cliptag.desk.stage.hits import handle_at
from cliptag.desk.stage.mark_layer import LabelPlaces
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.points import PointHand
from cliptag.desk.stage.viewport import Viewport
from cliptag.review import Point


class StagePointer:
    """Turns mouse events into places on the picture and gives them to the hand in use."""

    def __init__(
        self,
        model: StageModel,
        framing: Framing,
        set_cursor: Callable[[Qt.CursorShape], None],
    ) -> None:
        self.at: QPointF | None = None
        """Where the pointer is on the stage; None when it is elsewhere."""
        self.drawing_hand = DrawingHand(model)
        self._choosing_hand = ChoosingHand(model)
        self._placing_hand = PointHand(model, self.drawing_hand)
        self._correcting_hand = PointHand(model, self._choosing_hand)
        self._model = model
        self._framing = framing
        self._set_cursor = set_cursor
        self._pressed: QPointF | None = None
        self._panned_from: QPointF | None = None
        self._is_far = False
        self._labels = LabelPlaces()

    @property
    def hand(self) -> Hand:
        """The hand that the pointer is now."""
        is_drawing = self._model.drawing is not None
        if self._model.points.is_on:
            return self._placing_hand if is_drawing else self._correcting_hand
        return self.drawing_hand if is_drawing else self._choosing_hand

    @property
    def is_down(self) -> bool:
        """Whether something is held or dragged."""
        return self._pressed is not None or self._panned_from is not None

    def press(self, event: QMouseEvent) -> None:
        """A button goes down."""
        at = event.position()
        self.at, self._is_far = at, False
        if event.button() == Qt.MouseButton.MiddleButton:
            self._panned_from = at
        elif event.button() == Qt.MouseButton.LeftButton:
            self._pressed = at
            if not self._with_touch(event, self.hand.press):
                self._panned_from = at
        self.show_cursor()

    def move(self, event: QMouseEvent) -> None:
        """The pointer moves."""
        at = event.position()
        self.at = at
        if self._pressed is not None:
            way = at - self._pressed
            # A hand that is held still trembles less than a drag goes.
            self._is_far |= math.hypot(way.x(), way.y()) >= QApplication.startDragDistance() / 2.0
        if self._panned_from is not None:
            self._framing.pan(at - self._panned_from)
            self._panned_from = at
        elif self._pressed is not None:
            self._with_touch(event, self.hand.move)
        else:
            self._with_touch(event, self.hand.hover)
        self.show_cursor()

    def release(self, event: QMouseEvent) -> None:
        """A button goes up."""
        if self._pressed is not None and event.button() == Qt.MouseButton.LeftButton:
            self._with_touch(event, self.hand.release)
            self._pressed = None
        self._panned_from, self._is_far = None, False
        self.show_cursor()

    def leave(self) -> None:
        """The pointer leaves the stage."""
        if not self.is_down:
            self.at = None
            self.drawing_hand.leave()

    def cancel(self) -> bool:
        """Let go of what is held; tells whether anything was."""
        if self._pressed is None:
            return False
        self._pressed = self._panned_from = None
        self.hand.cancel()
        return True

    def touch_at(self, view: Viewport, at: Point, is_snapping: bool = False) -> Touch:
        """A place on the picture as the hand takes it."""
        pixel = 1.0 / view.zoom
        return Touch(
            Point(*view.inside(at.x, at.y)),
            reach=0.55 * space() * pixel,
            step=3.0 * pixel,
            labels=self._label_boxes(view),
            is_far=self._is_far,
            is_snapping=is_snapping,
        )

    def show_cursor(self) -> None:
        """Give the pointer the shape that tells what a press would do."""
        self._set_cursor(self._cursor())

    def _label_boxes(self, view: Viewport) -> tuple[QRectF, ...]:
        if self._is_far or self._model.drawing is not None:
            return ()
        return self._labels.of(self._model.labelled(), view, self._model.upright_deg)

    def _with_touch(self, event: QMouseEvent, then: Callable[[Touch], bool | None]) -> bool:
        view = self._framing.viewport
        if view is None:
            return True
        at = Point(*view.to_picture(event.position().x(), event.position().y()))
        is_snapping = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        return then(self.touch_at(view, at, is_snapping)) is not False

    def _cursor(self) -> Qt.CursorShape:
        if self._panned_from is not None:
            return Qt.CursorShape.ClosedHandCursor
        if self._model.drawing is not None:
            return Qt.CursorShape.CrossCursor
        if self._pressed is not None and self.hand.looks_at is not None:
            return Qt.CursorShape.BlankCursor
        view = self._framing.viewport
        if self.at is None or view is None:
            return Qt.CursorShape.ArrowCursor
        touch = self.touch_at(view, Point(*view.to_picture(self.at.x(), self.at.y())))
        mark = self._model.chosen_mark
        if mark is not None and handle_at(mark, touch.at, touch.reach) is not None:
            return Qt.CursorShape.SizeAllCursor
        if self._model.points.is_on and self._model.points.nearest(touch.at, touch.reach):
            return Qt.CursorShape.SizeAllCursor
        if self._model.under(touch.at, touch.reach, touch.labels):
            return Qt.CursorShape.PointingHandCursor
        return Qt.CursorShape.ArrowCursor if view.is_whole else Qt.CursorShape.OpenHandCursor
