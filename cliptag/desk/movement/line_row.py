"""A line of the page: what is told, the time that it leads to, and the way into a note."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import QSize, Qt
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.icons import icon
from cliptag.desk.movement.telling import Line
from cliptag.desk.strip import time_words
from cliptag.measure import shown
from cliptag.review import Number


class LineRow(QWidget):
    """A line, with the buttons that it needs; another line of the same shape can take its place."""

    def __init__(
        self, line: Line, go: Callable[[int], object], put: Callable[[Number], object]
    ) -> None:
        """``go`` is told a time, ``put`` a number."""
        super().__init__()
        self.line = line
        self._put_number = put
        self._label = QLabel()
        self._label.setWordWrap(True)
        role = "strong" if line.is_heading else "quiet" if line.number is None else ""
        self._label.setProperty("role", role)
        self._go = None if line.at_us is None else GoButton(go)
        self._put: QToolButton | None = None
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.2))
        layout.addWidget(self._label, 1)
        top = Qt.AlignmentFlag.AlignTop
        if self._go is not None:
            layout.addWidget(self._go, 0, top)
        if line.number is not None:
            tip = "Put this number into the chosen note, or into a new one"
            self._put = sign_button("note", "", tip, self._put_now)
            layout.addWidget(self._put, 0, top)
        self.show_line(line)

    def takes(self, line: Line) -> bool:
        """Whether a line has the shape of this row's."""
        return _shape(line) == _shape(self.line)

    def show_line(self, line: Line) -> None:
        """Show another line of the same shape."""
        self.line = line
        self._label.setText(line.words)
        if self._go is not None and line.at_us is not None:
            self._go.show_time(line.at_us, line.words)
        if self._put is not None and line.number is not None:
            number = line.number
            self._put.setAccessibleName(f"Put into the note: {number.words} {shown(number)}")

    def _put_now(self) -> None:
        if self.line.number is not None:
            self._put_number(self.line.number)


class GoButton(QPushButton):
    """A time as a link to its frame."""

    def __init__(self, go: Callable[[int], object]) -> None:
        super().__init__()
        self._at_us = 0
        self.setProperty("role", "link")
        self.setToolTip("Show this frame")
        self.clicked.connect(lambda: go(self._at_us))

    def show_time(self, at_us: int, words: str) -> None:
        """Lead to the frame of a time, of which ``words`` tell."""
        self._at_us = at_us
        self.setText(time_words(at_us, 2))
        self.setAccessibleName(f"Show the frame at {time_words(at_us, 2)}: {words}")


def sign_button(sign: str, name: str, tip: str, run: Callable[[], object]) -> QToolButton:
    """A small button with a sign."""
    button = QToolButton()
    button.setIcon(icon(sign, "accent"))
    button.setIconSize(QSize(look.space(0.95), look.space(0.95)))
    button.setAccessibleName(name)
    button.setToolTip(tip)
    button.clicked.connect(lambda: run())
    return button


def _shape(line: Line) -> tuple[bool, bool, bool]:
    return line.is_heading, line.at_us is None, line.number is None
