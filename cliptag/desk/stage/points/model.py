"""The followed points in hand: which is next, which is chosen, and every change to them."""

from __future__ import annotations

import math
from collections.abc import Callable

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.stage.handles import tidy
from cliptag.desk.stage.points.names import OFFERED_FIRST, ORDER, the
from cliptag.desk.stage.points.seen import OnFrame, PointsByFrame
from cliptag.desk.stage.surety import Surety
from cliptag.desk.state import DeskState
from cliptag.errors import ReviewError
from cliptag.measure import BODY_CHAIN
from cliptag.review import Point, Review, edit


class PointModel(QObject):
    """Places, moves and takes back followed points on a frame of the desk's clip.

    ``next`` is the point that a click places; ``chosen`` the one that keys move.
    """

    changed = pyqtSignal()

    def __init__(self, state: DeskState, surety: Surety, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._surety = surety
        self._points = PointsByFrame(state)
        self._wanted: str | None = None
        self._skipped: set[str] = set()
        self._chosen: str | None = None
        self._last: list[str] = []
        self._is_asked_for = False
        self.veiled: str | None = None
        """A point that is not shown just now, so that it doesn't lead the hand."""
        state.opened.connect(self._open)
        state.tool_changed.connect(self._tool_changed)
        state.followed.connect(self.changed)

    # -- what is seen ---------------------------------------------------------------------------

    @property
    def is_on(self) -> bool:
        """Whether the points are shown and can be taken hold of."""
        return self._is_asked_for or self._state.tool == "point"

    @property
    def is_asked_for(self) -> bool:
        """Whether they are shown without the tool too."""
        return self._is_asked_for

    @property
    def index(self) -> int:
        """The frame under the playhead."""
        return self._state.playhead.index

    def show(self, is_shown: bool) -> None:
        """Show the points also without the tool, or not."""
        self._is_asked_for = is_shown
        if not self.is_on:
            self._chosen = None
        self.changed.emit()

    def at(self, index: int) -> OnFrame:
        """The points on a frame."""
        found = self._points.at(index)
        if self.veiled in found.seen:
            seen = {name: one for name, one in found.seen.items() if name != self.veiled}
            return OnFrame(seen, found.missing)
        return found

    @property
    def names(self) -> tuple[str, ...]:
        """All that can be placed, in order: the usual points, then more, then the coach's own."""
        own = [name for name in self._points.keys() if name not in ORDER]  # noqa: SIM118
        if self._wanted is not None and self._wanted not in (*ORDER, *own):
            own.append(self._wanted)
        return (*ORDER, *own)

    def nearest(self, at: Point, reach: float) -> str | None:
        """The point that lies nearest to a place of the shown frame, within ``reach`` pixels."""
        gaps = (
            (math.dist((at.x, at.y), (one.at.x, one.at.y)), name)
            for name, one in self.at(self.index).seen.items()
        )
        gap, name = min(gaps, default=(math.inf, ""))
        return name if gap <= reach else None

    def is_placed_here(self, name: str) -> bool:
        """Whether a point was placed by hand on the shown frame."""
        return self.index in self._points.keys().get(name, {})

    # -- which ----------------------------------------------------------------------------------

    @property
    def next(self) -> str | None:
        """The point that a click places: the one asked for, one lost here, one not yet placed."""
        if self._wanted is not None:
            return self._wanted
        known, missing = self._points.keys(), self.at(self.index).missing
        document = self._state.document
        first = OFFERED_FIRST.get(document.review.movement, ()) if document is not None else ()
        order: tuple[str, ...] = (*BODY_CHAIN, *first, *ORDER)
        for name in (*missing, *(n for n in order if n not in known)):
            if name not in self._skipped:
                return name
        return None

    @property
    def has_usual(self) -> bool:
        """Whether the usual points are all placed or left out."""
        known = self._points.keys()
        return all(name in known or name in self._skipped for name in BODY_CHAIN)

    @property
    def chosen(self) -> str | None:
        """The point that keys move; it is there on the shown frame."""
        if self.is_on and self._chosen in self.at(self.index).seen:
            return self._chosen
        return None

    @property
    def chosen_place(self) -> Point | None:
        """Where the chosen point lies on the shown frame."""
        name = self.chosen
        return self.at(self.index).seen[name].at if name is not None else None

    def ask_for(self, name: str) -> None:
        """Place this point next; where it is there already, choose it."""
        self._wanted = name or None
        self._skipped.discard(name)
        if name in self.at(self.index).seen:
            self._chosen = name
        self.changed.emit()

    def skip(self) -> None:
        """Leave the next point out for now."""
        if (name := self.next) is not None:
            self._skipped.add(name)
            self._wanted = None
            self.changed.emit()

    def choose(self, name: str | None) -> None:
        """Choose a point of the shown frame for the keys."""
        if name != self._chosen:
            self._chosen = name
            self.changed.emit()

    def choose_another(self, by: int) -> None:
        """Choose the next point of the shown frame, or the one before."""
        here = list(self.at(self.index).seen)
        if here:
            start = here.index(self.chosen) if self.chosen in here else (-1 if by > 0 else 0)
            self.choose(here[(start + by) % len(here)])

    # -- changes --------------------------------------------------------------------------------

    def place(
        self, name: str, at: Point, run: str | None = None, sd_px: float | None = None
    ) -> None:
        """Place a point on the shown frame; steps of one ``run`` are undone together."""
        at = tidy(at)
        words = f"move {the(name)}" if self.is_placed_here(name) or run else f"place {the(name)}"
        sd_px = self._surety.sd_px(at) if sd_px is None else sd_px
        at_us = self._time_us(name)
        if self._do(lambda r: edit.with_tracked_point(r, name, at_us, at, sd_px), words, run):
            self._chosen = name if run else None
            self._last = [*(other for other in self._last if other != name), name]
            if self._wanted == name:
                self._wanted = None
            self.changed.emit()

    def nudge(self, by_x: float, by_y: float) -> None:
        """Move the chosen point by picture pixels; a spell of it is one step."""
        name, at = self.chosen, self.chosen_place
        if name is not None and at is not None:
            run = f"nudge {name} {self.index}"
            self.place(name, Point(at.x + by_x, at.y + by_y), run)

    @property
    def placed_last(self) -> str | None:
        """What ``take_back`` takes back: the chosen point, else the last one placed here."""
        if self.chosen is not None:
            return self.chosen if self.is_placed_here(self.chosen) else None
        here = [name for name, one in self.at(self.index).seen.items() if one.is_placed]
        return next((name for name in reversed((*here, *self._last)) if name in here), None)

    def take_back(self) -> None:
        """Take back a placement on the shown frame."""
        name = self.placed_last
        if name is not None:
            at_us = self._time_us(name)
            self._do(lambda r: edit.without_tracked_key(r, name, at_us), f"take {the(name)} back")
            self._last = [other for other in self._last if other != name]
            self.changed.emit()

    def drop(self) -> None:
        """Follow the chosen point no longer, on any frame."""
        name = self.chosen
        if name is not None:
            self._do(lambda r: edit.without_tracked_point(r, name), f"follow {the(name)} no longer")
            self._skipped.add(name)
            self._chosen = self._wanted = None
            self.changed.emit()

    def end_run(self) -> None:
        """The hand lets go: what follows is a step of its own."""
        if self._state.document is not None:
            self._state.document.end_run()

    def undo(self) -> None:
        """Take back what the hand just did."""
        if self._state.document is not None:
            self._state.document.undo()

    def _time_us(self, name: str) -> int:
        clip = self._state.clip
        assert clip is not None
        key = self._points.keys().get(name, {}).get(self.index)
        return key.at_us if key is not None else int(clip.times_us[self.index])

    def _do(self, change: Callable[[Review], Review], words: str, run: str | None = None) -> bool:
        document = self._state.document
        if document is None:
            return False
        try:
            review = change(document.review)
        except ReviewError as error:
            self._state.warned.emit(str(error))
            return False
        document.do(review, words, run=run)
        return True

    # -- what the desk tells --------------------------------------------------------------------

    def _open(self) -> None:
        self._wanted = self._chosen = self.veiled = None
        self._last = []
        self._skipped.clear()

    def _tool_changed(self) -> None:
        self._wanted = None
        if self._state.tool != "point":
            self._skipped.clear()
        if not self.is_on:
            self._chosen = None
