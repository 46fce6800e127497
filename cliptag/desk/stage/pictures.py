"""Asks for the picture of the frame under the playhead, and brings the pictures that come."""

from __future__ import annotations

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtGui import QImage

from cliptag.desk.frames import FrameFeed
from cliptag.desk.state import DeskState


class Pictures(QObject):
    """The pictures of the clip that is on the desk now."""

    came = pyqtSignal(int, QImage, bool)
    """A frame's index, its picture, and whether it is that very frame."""

    def __init__(self, state: DeskState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._feed: FrameFeed | None = None
        self._asked: int | None = None
        state.playhead.moved.connect(self._ask)
        state.playhead.jumped.connect(self._jumped)

    def open(self) -> None:
        """There is another clip on the desk, or none; the playhead will move to its start."""
        self._feed = self._state.feed
        if self._feed is not None:
            self._feed.pictured.connect(self._pictured)

    def ask(self) -> None:
        """Have the frame under the playhead pictured."""
        self._ask(self._state.playhead.index)

    def _ask(self, index: int) -> None:
        self._asked = index
        if self._feed is not None:
            self._feed.exact(index)

    def _jumped(self) -> None:
        # Dragging through the clip shows frames without the playhead; it may end where it began.
        if self._asked != self._state.playhead.index:
            self.ask()

    def _pictured(self, index: int, image: QImage, is_exact: bool) -> None:
        # What a feed that was closed meanwhile still had on its way is of another clip.
        if self.sender() is self._feed:
            if index != self._state.playhead.index:
                self._asked = None
            self.came.emit(index, image, is_exact)
