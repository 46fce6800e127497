"""The keys of the stage: moving the chosen point, drawing without a pointer."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeyEvent

from cliptag.desk.stage.framing import Framing
from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.pointer import StagePointer
from cliptag.review import Point

_WAYS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_DELETE: Final = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
CLOSE_ZOOM: Final = 4.0
"""From this zoom on, an arrow key moves by a tenth of a picture pixel instead of one."""
FINE_PX: Final = 0.1
FAST: Final = 10
"""How many times as far with Shift, and, for the aim, after the key was held down a while."""


class StageKeys:
    """Knows which keys the stage wants right now, and what they do.

    With a tool in hand, Enter sets up an aim that the arrow keys move and Enter places.
    """

    def __init__(self, model: StageModel, pointer: StagePointer, framing: Framing) -> None:
        self.aim: Point | None = None
        """Where the next point would be placed from the keyboard."""
        self._is_nudging = False
        self._model = model
        self._pointer = pointer
        self._framing = framing
        self._repeats = 0

    @property
    def looks_at(self) -> Point | None:
        """The place that the loupe should show; None: the keys move nothing."""
        point, mark = self._held_point(), self._model.chosen_mark
        if self.aim is None and self._is_nudging and self._model.points.chosen is not None:
            return self._model.points.chosen_place
        if self.aim is None and self._is_nudging and point is not None and mark is not None:
            return handles_of(mark)[point]
        return self.aim

    def forget(self) -> None:
        """The pointer took over."""
        self.aim, self._is_nudging = None, False

    def wants(self, event: QKeyEvent) -> bool:
        """Whether a key is the stage's rather than a command's right now."""
        key, model = event.key(), self._model
        if _has_command_modifier(event):
            return False
        if key in _WAYS:
            is_held = self._held_point() is not None or model.points.chosen is not None
            return self.aim is not None or is_held
        if key in _ENTER:
            return model.drawing is not None
        if key in _DELETE or key == Qt.Key.Key_Escape:
            is_chosen = model.chosen_mark is not None or model.points.chosen is not None
            return model.drawing is not None or is_chosen
        return False

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key says; tells whether it was one of the stage's."""
        if not self.wants(event):
            return False
        key = event.key()
        self._repeats = self._repeats + 1 if event.isAutoRepeat() else 0
        if key in _WAYS:
            is_fast = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self._go(*_WAYS[Qt.Key(key)], FAST if is_fast else 1)
        elif key in _ENTER:
            self._enter()
        elif key in _DELETE:
            self._delete()
        else:
            self._escape()
        self._model.changed.emit()
        return True

    def tab(self, is_forward: bool) -> bool:
        """Choose the next point of the chosen mark; False: there is none to choose."""
        mark, points = self._model.chosen_mark, self._model.points
        if self._model.repeating.now is None and points.is_on and mark is None:
            if self._model.drawing is not None and points.chosen is None:
                return False
            self._is_nudging = False
            points.choose_another(1 if is_forward else -1)
            return points.chosen is not None
        if self._model.drawing is not None or mark is None or not handles_of(mark):
            return False
        self._is_nudging = False
        self._model.next_point(1 if is_forward else -1)
        return True

    def _go(self, dx: int, dy: int, times: int) -> None:
        view = self._framing.viewport
        if view is None:
            return
        step = times * (FINE_PX if view.zoom >= CLOSE_ZOOM else 1.0)
        if self.aim is not None:
            step *= min(1 + self._repeats, FAST)
            self.aim = Point(*view.inside(self.aim.x + dx * step, self.aim.y + dy * step))
            self._pointer.drawing_hand.hover(self._pointer.touch_at(view, self.aim))
            return
        if self._model.points.chosen is not None:
            self._model.points.nudge(dx * step, dy * step)
            self._is_nudging = True
            return
        point = self._held_point()
        if point is not None:
            self._model.editor.nudge(point, dx * step, dy * step)
            self._is_nudging = True

    def _enter(self) -> None:
        view, drawing = self._framing.viewport, self._model.drawing
        if view is None or drawing is None or self._model.scale_ends is not None:
            return
        if self.aim is not None:
            self._pointer.drawing_hand.place(self._pointer.touch_at(view, self.aim))
            if self._model.drawing is None:
                self.aim = None
        elif drawing.tool.most is None and drawing.given:
            self._pointer.drawing_hand.end()
        else:
            width, height = view.area
            self.aim = Point(*view.inside(*view.to_picture(width / 2.0, height / 2.0)))
            self._pointer.drawing_hand.hover(self._pointer.touch_at(view, self.aim))

    def _delete(self) -> None:
        if self._model.drawing is not None:
            self._model.take_back()
        elif self._model.points.chosen is not None:
            self._model.points.take_back()
        else:
            self._model.editor.delete()

    def _escape(self) -> None:
        if self._pointer.cancel():
            return
        if self.aim is not None and not (self._model.drawing and self._model.drawing.given):
            self.aim = None
            self._pointer.drawing_hand.leave()
        else:
            self._is_nudging = False
            self._model.step_back()

    def _held_point(self) -> int | None:
        is_seen = self._model.drawing is None and self._model.chosen_mark is not None
        return self._model.point if is_seen else None


def _has_command_modifier(event: QKeyEvent) -> bool:
    return bool(
        event.modifiers()
        & (
            Qt.KeyboardModifier.ControlModifier
            | Qt.KeyboardModifier.AltModifier
            | Qt.KeyboardModifier.MetaModifier
        )
    )
