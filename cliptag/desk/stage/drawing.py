"""A mark that is being drawn: from the pointer's places to the points of the mark."""

from __future__ import annotations

import math
from typing import Final

from cliptag.desk.stage.handles import tidy
from cliptag.desk.stage.snapping import snapped, squared
from cliptag.desk.stage.tools import Bench, MarkTool
from cliptag.review import Mark, Point, edit

MOST_POINTS: Final = 10_000
"""A shade may not have more corners."""


class Drawing:
    """Collects the points for a tool.

    A click gives one point. Dragging gives the first point where it starts and another where it
    ends; once there is a first point, dragging only looks for the place of the next one. A tool
    that takes any number of points also takes the whole way of a drag.
    ``step`` is always the least distance, in picture pixels, at which two points are not one.
    """

    def __init__(self, tool: MarkTool) -> None:
        self.tool = tool
        self.mark_id = edit.new_id()
        self._given: list[Point] = []
        self._loose: Point | None = None
        self._pressed: Point | None = None
        self._is_drag = False
        self._is_whole = False

    @property
    def given(self) -> tuple[Point, ...]:
        """The points that are settled."""
        return tuple(self._given)

    @property
    def is_complete(self) -> bool:
        """Whether the mark has all its points."""
        return self._is_whole or len(self._given) == self.tool.most

    @property
    def is_freehand(self) -> bool:
        """Whether a drag is being taken as a whole way right now."""
        return self._is_drag and self.tool.most is None

    @property
    def hint(self) -> str:
        """What to do next."""
        return self.tool.hint(len(self._given))

    @property
    def preview(self) -> Mark | None:
        """The mark as it would be if the next point were where the pointer is."""
        points = [*self._given]
        if self._loose is not None and not self.is_freehand and not self.is_complete:
            points.append(self._loose)
        return self.tool.preview(points, self.mark_id) if points else None

    def snap(self, at: Point, upright_deg: float) -> Point:
        """Where a place is put when snapping is asked for."""
        anchor = self._given[-1] if self._given else self._pressed
        if anchor is None or self.is_freehand:
            return at
        if self.tool.is_square_when_snapped:
            return squared(anchor, at)
        return snapped(anchor, at, upright_deg if self.tool.is_upright_by_plumb else 0.0)

    def press(self, at: Point) -> None:
        """The button goes down."""
        self._pressed = self._loose = at
        self._is_drag = False

    def move(self, at: Point | None) -> None:
        """The pointer moves without giving a place; None: it is elsewhere."""
        self._loose = at

    def drag(self, at: Point, step: float) -> None:
        """The pointer moves so far with the button down that it is no click any more."""
        if not self._is_drag:
            self._is_drag = True
            if self._pressed is not None and not self._given and self.tool.most != 1:
                self._give(self._pressed, step)
        if self.is_freehand:
            self._give(at, step)
        self._loose = at

    def release(self, at: Point, step: float) -> None:
        """The button goes up."""
        if self._pressed is None:
            return
        self._give(at, step)
        if self.is_freehand:
            self._given[-1] = tidy(at)
            self.end()
        self._pressed = None
        self._is_drag = False

    def place(self, at: Point, step: float) -> None:
        """Give a point without the pointer; on the last one's place it ends an open mark."""
        if self._is_repeated(at, step):
            self.end()
        else:
            self._give(at, step)

    def end(self) -> None:
        """End a mark of any number of points, if it has enough."""
        if self.tool.most is None and len(self._given) >= self.tool.least:
            self._is_whole = True

    def take_back(self) -> bool:
        """Take the last point back; tells whether there was one."""
        return bool(self._given) and self._given.pop() is not None

    def finish(self, bench: Bench) -> None:
        """Hand the complete mark over."""
        self.tool.finish(self._given, self.mark_id, bench)

    def _give(self, at: Point, step: float) -> None:
        if not self._is_repeated(at, step) and len(self._given) < MOST_POINTS:
            self._given.append(tidy(at))
        self._loose = None

    def _is_repeated(self, at: Point, step: float) -> bool:
        last = self._given[-1] if self._given else None
        return last is not None and math.dist((at.x, at.y), (last.x, last.y)) < step
