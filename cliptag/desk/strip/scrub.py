"""Dragging through the clip: a picture at once while the hand moves, the frame when it rests."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PyQt6.QtCore import QObject, QTimer, pyqtSignal

from cliptag.desk.state import DeskState

REST_MS: Final = 80


class Scrub(QObject):
    """Asks for at most one picture in each turn of the event loop, whatever the pointer sends."""

    moved = pyqtSignal()
    """The wished frame is another one, or the drag has ended."""

    def __init__(self, state: DeskState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._index: int | None = None
        self._asked: int | None = None
        self._turn = _single_shot(self, self._ask)
        self._rest = _single_shot(self, self._show)

    @property
    def index(self) -> int | None:
        """The frame that the hand is on; None while nothing is dragged."""
        return self._index

    def to(self, index: int) -> None:
        """The hand is on a frame now. A clip that plays is stopped."""
        self._state.playhead.pause()
        index = min(max(index, 0), self._state.playhead.last_index)
        self._rest.start(REST_MS)
        if index != self._index:
            self._index = index
            if not self._turn.isActive():
                self._turn.start(0)
            self.moved.emit()

    def end(self) -> None:
        """The hand let go: show the frame that it was on."""
        if self._index is not None:
            self._turn.stop()
            self._rest.stop()
            self._show()
            self.drop()

    def drop(self) -> None:
        """Forget the drag, without a further move."""
        self._turn.stop()
        self._rest.stop()
        self._index = self._asked = None
        self.moved.emit()

    def _ask(self) -> None:
        if self._index is None or self._state.feed is None or self._index == self._asked:
            return
        self._asked = self._index
        self._state.feed.rough(self._index)

    def _show(self) -> None:
        if self._index is not None:
            self._state.playhead.go_to(self._index)


def _single_shot(owner: Scrub, call: Callable[[], object]) -> QTimer:
    timer = QTimer(owner)
    timer.setSingleShot(True)
    timer.timeout.connect(call)
    return timer
