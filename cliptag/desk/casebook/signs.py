"""How far a clip or a week is, as a small sign: each has a shape of its own."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QRectF, QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import QWidget

from cliptag.casebook import STATE_WORDS, WEEK_WORDS, State, WeekState
from cliptag.desk import look
from cliptag.desk.fields import tick_path

SIGN_OF: Final[dict[State, WeekState]] = {
    "new": "waits",
    "in_work": "in_work",
    "done": "ready",
    "exported": "ready",
    "sent": "sent",
}


def paint_sign(painter: QPainter, box: QRectF, state: WeekState, *, is_late: bool = False) -> None:
    """Draw the sign of a state into a square box."""
    colours = look.palette()
    ink = colours.colour("danger" if is_late else "accent")
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    radius = 0.42 * box.width()
    circle = QRectF(box.center().x() - radius, box.center().y() - radius, 2 * radius, 2 * radius)
    pen = QPen(ink, max(1.4, 0.11 * box.width()))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    if state == "ahead":
        pen.setColor(colours.colour("edge"))
        pen.setStyle(Qt.PenStyle.DotLine)
    painter.setPen(pen)
    if state in ("waits", "sent"):
        painter.setBrush(ink)
    painter.drawEllipse(circle)
    if state == "in_work":
        painter.setBrush(ink)
        painter.drawPie(circle, -90 * 16, 180 * 16)
    elif state == "ready":
        painter.setBrush(ink)
        painter.setPen(Qt.PenStyle.NoPen)
        inner = circle.adjusted(*(part * radius for part in (0.52, 0.52, -0.52, -0.52)))
        painter.drawRect(inner)
    elif state == "sent":
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(colours.colour("on_accent"), max(1.4, 0.13 * box.width())))
        painter.drawPath(tick_path(circle.center(), radius))


class StateSign(QWidget):
    """The sign of a clip's state; a screen reader is told the word."""

    def __init__(self, state: State, *, is_late: bool = False) -> None:
        super().__init__()
        self._state, self._is_late = state, is_late
        words = f"{STATE_WORDS[state]}{', late' if is_late else ''}"
        self.setAccessibleName(words)
        self.setToolTip(words)
        self.setFixedSize(look.space(0.95), look.space(1.2))

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(0.95), look.space(1.2))

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        side = min(self.width(), self.height())
        box = QRectF(0, (self.height() - side) / 2, side, side)
        paint_sign(painter, box, SIGN_OF[self._state], is_late=self._is_late)


def week_words_of(state: WeekState, is_late: bool) -> str:
    """A week's state as a word."""
    if is_late and state == "nothing_sent":
        return "nothing sent, late"
    return f"{WEEK_WORDS[state]}{', late' if is_late else ''}"
