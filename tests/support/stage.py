"""A stage with a clip on it, worked with real mouse and key events."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import msgspec
from PyQt6.QtCore import QEvent, QPointF, Qt
from PyQt6.QtGui import QImage, QMouseEvent
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from support.media import make_clip

from cliptag.desk.stage import StageView, Viewport
from cliptag.desk.state import DeskState, Tool
from cliptag.review import Mark, Note, Point, Review

XY = tuple[float, float]
LEFT = Qt.MouseButton.LeftButton
MIDDLE = Qt.MouseButton.MiddleButton
SHIFT = Qt.KeyboardModifier.ShiftModifier
PLAIN = Qt.KeyboardModifier.NoModifier


def portrait_clip(folder: Path) -> Path:
    """Twelve frames of 1080 x 1920, each different from the others."""
    return make_clip(folder / "clip.mp4", size=(1080, 1920), seconds=0.4)


class StageHand:
    """Works a stage like a person; places are picture pixels of the clip."""

    def __init__(self, state: DeskState, view: StageView) -> None:
        self.state = state
        self.view = view

    @property
    def review(self) -> Review:
        assert self.state.document is not None
        return self.state.document.review

    @property
    def notes(self) -> tuple[Note, ...]:
        return self.review.notes

    @property
    def mark(self) -> Mark:
        """The one mark of the one note."""
        (note,) = self.notes
        (mark,) = note.marks
        return mark

    @property
    def viewport(self) -> Viewport:
        assert self.view.viewport is not None
        return self.view.viewport

    def put(self, *notes: Note, **fields: object) -> None:
        """Have these notes in the review."""
        assert self.state.document is not None
        review = msgspec.structs.replace(self.review, notes=notes, **fields)
        self.state.document.do(review, "put")
        QApplication.processEvents()

    def clear(self) -> None:
        """Begin anew: an empty review, nothing in hand, the first frame, the whole picture."""
        self.state.take_tool(None)
        self.state.choose(None)
        self.state.stand_on("whole")
        self.put(scale=None, plumb=None, facing=None)
        self.view.model._answers.clear()
        self.view.show_references(False)
        self.view.keys.forget()
        self.view.preview_image(None)
        self.view.fit()
        self.state.playhead.go_to(0)
        self.view.model.is_exact = False
        assert self.state.feed is not None
        self.state.feed.exact(0)
        self.ready()

    def ready(self) -> None:
        """Wait until the frame under the playhead is shown."""
        latest = time.monotonic() + 10.0
        while not self.view.model.is_ready:
            assert time.monotonic() < latest, "no picture came"
            QTest.qWait(2)

    def go_to(self, index: int) -> None:
        self.state.playhead.go_to(index)
        self.ready()

    def look_at(self, zoom: float, middle: XY) -> None:
        """Zoom, with a place of the picture in the middle."""
        self.view.framing.fit()
        view = self.viewport
        at = QPointF(*view.to_area(*middle))
        self.view.framing.zoom(zoom / view.zoom, at)
        view = self.viewport
        x, y = view.to_area(*middle)
        self.view.framing.pan(QPointF(view.area[0] / 2 - x, view.area[1] / 2 - y))

    def take(self, tool: Tool) -> None:
        self.state.take_tool(tool)

    def on_stage(self, at: XY) -> QPointF:
        return QPointF(*self.viewport.to_area(*at))

    def hover(self, at: XY, keys: Qt.KeyboardModifier = PLAIN) -> None:
        self._send(QEvent.Type.MouseMove, at, Qt.MouseButton.NoButton, False, keys)

    def press(
        self, at: XY, keys: Qt.KeyboardModifier = PLAIN, button: Qt.MouseButton = LEFT
    ) -> None:
        self._send(QEvent.Type.MouseButtonPress, at, button, True, keys)

    def drag(
        self, at: XY, keys: Qt.KeyboardModifier = PLAIN, button: Qt.MouseButton = LEFT
    ) -> None:
        self._send(QEvent.Type.MouseMove, at, Qt.MouseButton.NoButton, button, keys)

    def release(
        self, at: XY, keys: Qt.KeyboardModifier = PLAIN, button: Qt.MouseButton = LEFT
    ) -> None:
        self._send(QEvent.Type.MouseButtonRelease, at, button, False, keys)

    def click(self, at: XY, keys: Qt.KeyboardModifier = PLAIN) -> None:
        self.hover(at, keys)
        self.press(at, keys)
        self.release(at, keys)

    def double_click(self, at: XY) -> None:
        self.click(at)
        self._send(QEvent.Type.MouseButtonDblClick, at, LEFT, True, PLAIN)
        self.release(at)

    def pull(
        self,
        start: XY,
        end: XY,
        keys: Qt.KeyboardModifier = PLAIN,
        button: Qt.MouseButton = LEFT,
    ) -> None:
        """Drag from one place to another, by way of the places between."""
        self.press(start, keys, button)
        for step in range(1, 9):
            share = step / 8
            way = (
                start[0] + share * (end[0] - start[0]),
                start[1] + share * (end[1] - start[1]),
            )
            self.drag(way, keys, button)
        self.release(end, keys, button)

    def key(self, key: Qt.Key, keys: Qt.KeyboardModifier = PLAIN) -> None:
        QTest.keyClick(self.view, key, keys)

    def picture(self) -> QImage:
        """What the stage shows."""
        return self.view.grab().toImage()

    def _send(
        self,
        kind: QEvent.Type,
        at: XY,
        button: Qt.MouseButton,
        held: Qt.MouseButton | bool,
        keys: Qt.KeyboardModifier,
    ) -> None:
        place = self.on_stage(at)
        nothing = Qt.MouseButton.NoButton
        buttons = held if isinstance(held, Qt.MouseButton) else button if held else nothing
        there = QPointF(self.view.mapToGlobal(place.toPoint()))
        QApplication.sendEvent(self.view, QMouseEvent(kind, place, there, button, buttons, keys))


@contextmanager
def stage_with(path: Path, size: tuple[int, int] = (900, 1000)) -> Iterator[StageHand]:
    """A stage of this size with a clip or a review on it, its first frame shown."""
    state = DeskState()
    view = StageView(state)
    view.resize(*size)
    view.show()
    assert state.open(path), "the clip was not opened"
    hand = StageHand(state, view)
    try:
        hand.ready()
        yield hand
    finally:
        state.close()
        view.close()
        view.deleteLater()


def close_to(point: Point, place: XY, within: float = 0.5) -> bool:
    """Whether a point lies where it should, in picture pixels."""
    return abs(point.x - place[0]) <= within and abs(point.y - place[1]) <= within
