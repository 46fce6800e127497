"""The pointer on followed points: drags them, and leaves all else to another hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cliptag.desk.stage.hits import handle_at
from cliptag.review import Point, edit

if TYPE_CHECKING:
    from cliptag.desk.stage.hands import Hand, Touch
    from cliptag.desk.stage.model import StageModel


class PointHand:
    """Takes hold of points that are shown; with the tool in hand, a click places the next one."""

    def __init__(self, model: StageModel, other: Hand) -> None:
        """``other`` gets what isn't about a point that is there already."""
        self._model = model
        self._points = model.points
        self._other = other
        self._held: str | None = None
        self._offset = (0.0, 0.0)
        self._at: Point | None = None
        self._run = ""

    def press(self, touch: Touch) -> bool:
        self._forget()
        is_placing = self._model.drawing is not None
        if self._may_take(touch):
            self._take(touch)
        if self._held is not None and not is_placing:
            self._model.let_go()
            self._points.choose(self._held)
            return True
        if not is_placing:
            self._points.choose(None)
        return self._other.press(touch)

    def move(self, touch: Touch) -> None:
        if self._held is None or not (touch.is_far or self._at):
            self._other.move(touch)
            return
        if self._at is None:
            self._run = f"drag {edit.new_id()}"
            if self._model.drawing is not None:
                self._other.cancel()
        self._at = Point(touch.at.x + self._offset[0], touch.at.y + self._offset[1])
        self._points.place(self._held, self._at, self._run)

    def hover(self, touch: Touch) -> None:
        self._other.hover(touch)

    def release(self, touch: Touch) -> None:
        if self._at is not None:
            self._points.end_run()
            self._forget()
            self._model.changed.emit()
        elif self._held is None or self._model.drawing is not None:
            self._other.release(touch)
        self._forget()

    def cancel(self) -> None:
        if self._at is not None:
            self._points.undo()
            self._model.changed.emit()
        else:
            self._other.cancel()
        self._forget()

    @property
    def looks_at(self) -> Point | None:
        return self._at or self._other.looks_at

    def _may_take(self, touch: Touch) -> bool:
        model = self._model
        if not model.is_ready or model.repeating.now is not None:
            return False
        if model.drawing is not None:  # an arrow may begin on a point
            return model.state.tool == "point"
        mark = model.chosen_mark
        return mark is None or handle_at(mark, touch.at, touch.reach) is None

    def _take(self, touch: Touch) -> None:
        name = self._points.nearest(touch.at, touch.reach)
        if name is not None:
            at = self._points.at(self._points.index).seen[name].at
            # A point doesn't jump to the pointer that took hold of it a little beside.
            self._held, self._offset = name, (at.x - touch.at.x, at.y - touch.at.y)

    def _forget(self) -> None:
        self._held = self._at = None
