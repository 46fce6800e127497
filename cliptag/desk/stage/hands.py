"""What the pointer does on the picture: one hand draws, the other chooses and moves."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from PyQt6.QtCore import QRectF

from cliptag.desk.stage.drawing import Drawing
from cliptag.desk.stage.handles import handles_of, snap_anchor
from cliptag.desk.stage.hits import handle_at
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.snapping import snapped
from cliptag.review import Mark, Point, edit


@dataclass(frozen=True, slots=True)
class Touch:
    """A place of the pointer on the picture.

    ``reach`` is how near counts as touching, ``step`` how far apart two points have to be, both in
    picture pixels. ``is_far``: the pointer went so far with the button down that it is no click.
    """

    at: Point
    reach: float
    step: float
    labels: tuple[QRectF, ...] = ()
    """Where the labels of the marks stand, in the order of ``StageModel.placed``."""
    is_far: bool = False
    is_snapping: bool = False


class Hand(Protocol):
    """Takes the pointer's button and its way on the picture."""

    def press(self, touch: Touch) -> bool:
        """The button goes down; False: there is nothing to take hold of."""

    def move(self, touch: Touch) -> None:
        """The pointer moves with the button down."""

    def hover(self, touch: Touch) -> None:
        """The pointer moves with the button up."""

    def release(self, touch: Touch) -> None:
        """The button goes up."""

    def cancel(self) -> None:
        """Let go, as if nothing had been taken hold of."""

    @property
    def looks_at(self) -> Point | None:
        """The place that the loupe should show; None: no loupe."""


class DrawingHand:
    """Gives places to the mark that is being drawn."""

    def __init__(self, model: StageModel) -> None:
        self._model = model
        self._at: Point | None = None
        self._is_down = False

    def press(self, touch: Touch) -> bool:
        if not self._model.is_ready:
            return True
        if self._model.scale_ends is not None:
            self._model.restart_drawing()
        if (drawing := self._model.drawing) is not None:
            self._is_down = True
            self._at = self._place(drawing, touch)
            drawing.press(self._at)
            self._model.changed.emit()
        return True

    def move(self, touch: Touch) -> None:
        drawing = self._model.drawing
        if drawing is not None and self._is_down:
            self._at = self._place(drawing, touch)
            if touch.is_far:
                drawing.drag(self._at, touch.step)
            else:
                drawing.move(self._at)
            self._model.changed.emit()

    def hover(self, touch: Touch) -> None:
        drawing = self._model.drawing
        if drawing is not None and self._model.is_ready and not drawing.is_complete:
            self._at = self._place(drawing, touch)
            drawing.move(self._at)
            self._model.changed.emit()

    def release(self, touch: Touch) -> None:
        drawing = self._model.drawing
        if drawing is not None and self._is_down:
            self._is_down = False
            drawing.release(self._place(drawing, touch), touch.step)
            self._settle(drawing)

    def place(self, touch: Touch) -> None:
        """Give a place from the keyboard."""
        drawing = self._model.drawing
        if drawing is not None and self._model.is_ready:
            drawing.place(self._place(drawing, touch), touch.step)
            self._settle(drawing)

    def end(self) -> None:
        """End a mark of any number of points."""
        if (drawing := self._model.drawing) is not None:
            drawing.end()
            self._settle(drawing)

    def leave(self) -> None:
        """The pointer is elsewhere: nothing follows it."""
        if self._at is not None:
            self._at = None
            if self._model.drawing is not None:
                self._model.drawing.move(None)
            self._model.changed.emit()

    def cancel(self) -> None:
        self._is_down, self._at = False, None
        self._model.restart_drawing()

    @property
    def looks_at(self) -> Point | None:
        drawing = self._model.drawing
        if drawing is None or drawing.is_complete or drawing.is_freehand:
            return None
        return self._at if drawing.tool.is_exact or self._is_down else None

    def _place(self, drawing: Drawing, touch: Touch) -> Point:
        return drawing.snap(touch.at, self._model.upright_deg) if touch.is_snapping else touch.at

    def _settle(self, drawing: Drawing) -> None:
        if drawing.is_complete:
            self._at = None
            drawing.finish(self._model)
        self._model.asked.emit()
        self._model.changed.emit()


class ChoosingHand:
    """Chooses marks, moves them and their points."""

    def __init__(self, model: StageModel) -> None:
        self._model = model
        self._run = ""
        self._start: Point | None = None
        self._held: Mark | None = None
        self._at: Point | None = None
        self._offset = (0.0, 0.0)
        self._others: list[tuple[str, str]] = []
        self._is_moving = False

    def press(self, touch: Touch) -> bool:
        self._forget()
        self._run, self._start = f"drag {edit.new_id()}", touch.at
        mark = self._model.chosen_mark
        which = handle_at(mark, touch.at, touch.reach) if mark is not None else None
        if mark is not None and which is not None:
            self._model.choose_point(which)
            self._hold(mark, touch)
            return True
        return self._press_mark(touch)

    def move(self, touch: Touch) -> None:
        if self._held is None or self._start is None or not (touch.is_far or self._is_moving):
            return
        self._is_moving = True
        point = self._model.point
        if point is None:
            to = touch.at
            if touch.is_snapping:
                to = snapped(self._start, to, self._model.upright_deg)
            self._model.editor.shift(
                self._held, to.x - self._start.x, to.y - self._start.y, self._run
            )
            return
        to = Point(touch.at.x + self._offset[0], touch.at.y + self._offset[1])
        anchor = snap_anchor(self._held, point) if touch.is_snapping else None
        if anchor is not None:
            to = snapped(anchor, to, self._model.upright_deg)
        self._at = to
        self._model.editor.put_handle(point, to, self._run)

    def hover(self, touch: Touch) -> None:
        """Nothing happens without the button."""

    def release(self, touch: Touch) -> None:
        if self._is_moving:
            self._model.editor.end_run()
        elif self._others:
            self._model.state.choose(*self._others[0])
        elif self._held is None and not touch.is_far:
            self._model.let_go()
        self._forget()
        self._model.changed.emit()

    def cancel(self) -> None:
        if self._is_moving and self._model.state.document is not None:
            self._model.state.document.undo()
        self._forget()
        self._model.changed.emit()

    @property
    def looks_at(self) -> Point | None:
        return self._at

    def _press_mark(self, touch: Touch) -> bool:
        """Choose the topmost mark; the chosen one keeps its place until the button goes up."""
        placed = self._model.placed()
        under = [placed[i] for i in self._model.under(touch.at, touch.reach, touch.labels)]
        if not under:
            return False
        note, chosen = self._model.state.chosen_note, self._model.chosen_mark
        here = next(
            (i for i, u in enumerate(under) if note and u.note_id == note.id and u.mark == chosen),
            None,
        )
        if here is None:
            self._model.state.choose(under[0].note_id, under[0].mark.id)
            here = 0
        elif len(under) > 1:
            following = under[(here + 1) % len(under)]
            self._others = [(following.note_id, following.mark.id)]
        self._model.choose_point(None)
        self._hold(under[here].mark, touch)
        return True

    def _hold(self, mark: Mark, touch: Touch) -> None:
        self._held = mark
        point = self._model.point
        if point is not None:
            handle = handles_of(mark)[point]
            # A point doesn't jump to the pointer that took hold of it a little beside.
            self._offset = handle.x - touch.at.x, handle.y - touch.at.y
            self._at = handle

    def _forget(self) -> None:
        self._held = self._start = self._at = None
        self._others, self._is_moving = [], False
