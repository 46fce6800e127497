"""A take's outline with two ends to drag: what lies between them is heard."""

from __future__ import annotations

from typing import Final, Literal

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF
from PyQt6.QtWidgets import QSizePolicy, QWidget

from cliptag.desk import look

COLUMNS: Final = 480
"""How finely an outline is asked for."""
LEAST_US: Final = 200_000
"""A voice is at least so long."""
_STEP_US: Final = 20_000
_LEAP_US: Final = 200_000

_KEYS: Final = (Qt.Key.Key_Up, Qt.Key.Key_Down, Qt.Key.Key_Left, Qt.Key.Key_Right)

End = Literal["start", "end"]


class TrimBar(QWidget):
    """Shows one take. Left and right move the end that Up or Down (or the pointer) has chosen."""

    trimmed = pyqtSignal(int, int)
    """Start and end in µs of the take, as the hand drags them."""
    settled = pyqtSignal()
    """The hand let go."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._outline: NDArray[np.float32] = np.zeros((COLUMNS, 2), np.float32)
        self._length_us = 1
        self._start_us, self._end_us = 0, 1
        self._heard_us: int | None = None
        self._chosen: End = "start"
        self._is_dragging = False
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Where your voice starts and ends")
        self.setToolTip(
            "Drag the two ends to leave out what comes before and after. By the keyboard: Up and "
            "Down choose an end, Left and Right move it, with Shift farther."
        )
        self.setMouseTracking(True)

    @property
    def trim_us(self) -> tuple[int, int]:
        return self._start_us, self._end_us

    def show_take(self, outline: NDArray[np.float32], length_us: int) -> None:
        """Show another take."""
        self._outline, self._length_us = outline, max(1, length_us)
        self.update()

    def show_trim(self, start_us: int, end_us: int) -> None:
        """Show which stretch is heard."""
        if (start_us, end_us) != self.trim_us and not self._is_dragging:
            self._start_us, self._end_us = start_us, end_us
            self._tell()

    def show_heard(self, time_us: int | None) -> None:
        """Show what is heard just now; None when nothing is."""
        self._heard_us = time_us
        self.update()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(16), look.space(2.6))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(8), look.space(2.6))

    # -- the hand -------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and event.button() == Qt.MouseButton.LeftButton:
            self._chosen = self._nearer(event.position().x())
            self._is_dragging = True
            self._put(self._time_at(event.position().x()))

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None:
            return
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        if self._is_dragging:
            self._put(self._time_at(event.position().x()))

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self._is_dragging:
            self._is_dragging = False
            self.settled.emit()

    def event(self, event: QEvent | None) -> bool:
        # The arrows are the bar's while it has the keyboard, not the clip's.
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and event.key() in _KEYS
            and not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None:
            return
        key, is_far = event.key(), event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        step = _LEAP_US if is_far else _STEP_US
        if key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._chosen = "start" if key == Qt.Key.Key_Up else "end"
            self._tell()
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            here = self._start_us if self._chosen == "start" else self._end_us
            self._put(here + (step if key == Qt.Key.Key_Right else -step))
        else:
            super().keyPressEvent(event)

    def keyReleaseEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and not event.isAutoRepeat():
            self.settled.emit()
        super().keyReleaseEvent(event)

    def focusInEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusOutEvent(event)
        self.update()

    def _put(self, time_us: int) -> None:
        if self._chosen == "start":
            self._start_us = min(max(0, time_us), max(0, self._end_us - LEAST_US))
        else:
            least = min(self._length_us, self._start_us + LEAST_US)
            self._end_us = max(min(self._length_us, time_us), least)
        self._tell()
        self.trimmed.emit(*self.trim_us)

    def _nearer(self, x: float) -> End:
        to_start = abs(x - self._x_of(self._start_us))
        return "start" if to_start <= abs(x - self._x_of(self._end_us)) else "end"

    def _tell(self) -> None:
        what = "start" if self._chosen == "start" else "end"
        self.setAccessibleDescription(
            f"from {self._start_us / 1e6:.2f} to {self._end_us / 1e6:.2f} s of "
            f"{self._length_us / 1e6:.2f} s; the {what} moves"
        )
        self.update()

    # -- drawing --------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours, room = look.palette(), self._room()
        painter.setPen(QPen(colours.colour("focus" if self.hasFocus() else "edge"), 1.0))
        painter.setBrush(colours.colour("well"))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        first, last = self._x_of(self._start_us), self._x_of(self._end_us)
        kept = QRectF(first, room.top(), last - first, room.height())
        painter.fillRect(kept, colours.colour("chosen"))
        self._draw_outline(painter, room, colours, first, last)
        if self._heard_us is not None:
            x = self._x_of(self._heard_us)
            painter.setPen(QPen(colours.colour("ink"), 1.5))
            painter.drawLine(QPointF(x, room.top()), QPointF(x, room.bottom()))
        for end, x in (("start", first), ("end", last)):
            is_chosen = self.hasFocus() and end == self._chosen
            self._draw_end(painter, x, room, colours, end == "start", is_chosen)

    def _draw_outline(
        self, painter: QPainter, room: QRectF, colours: look.Palette, first: float, last: float
    ) -> None:
        count = len(self._outline)
        middle, half = room.center().y(), room.height() / 2 - 2
        tallest = max(0.05, float(np.abs(self._outline).max(initial=0.0)))
        for number, (low, high) in enumerate(self._outline.tolist()):
            x = room.left() + (number + 0.5) * room.width() / count
            token = "accent" if first <= x <= last else "edge"
            painter.setPen(QPen(colours.colour(token), max(1.0, room.width() / count)))
            top, bottom = middle - high / tallest * half, middle - low / tallest * half
            painter.drawLine(QPointF(x, min(top, middle - 0.5)), QPointF(x, max(bottom, middle)))

    def _draw_end(
        self,
        painter: QPainter,
        x: float,
        room: QRectF,
        colours: look.Palette,
        is_start: bool,
        is_chosen: bool,
    ) -> None:
        ink = colours.colour("focus" if is_chosen else "ink")
        painter.setPen(QPen(ink, 3.0 if is_chosen else 2.0))
        painter.drawLine(QPointF(x, room.top()), QPointF(x, room.bottom()))
        side = look.space(0.4) * (1 if is_start else -1)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ink)
        top = QPointF(x, room.top())
        painter.drawPolygon(QPolygonF([top, top + QPointF(side, 0), top + QPointF(0, abs(side))]))

    def _room(self) -> QRectF:
        side = look.space(0.35)
        return QRectF(self.rect()).adjusted(side, 3, -side, -3)

    def _x_of(self, time_us: int) -> float:
        room = self._room()
        return room.left() + room.width() * time_us / self._length_us

    def _time_at(self, x: float) -> int:
        room = self._room()
        share = (x - room.left()) / max(1.0, room.width())
        return round(min(max(share, 0.0), 1.0) * self._length_us)
