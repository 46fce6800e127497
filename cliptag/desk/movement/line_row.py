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


def line_row(line: Line, go: Callable[[int], object], put: Callable[[Number], object]) -> QWidget:
    """A widget for a line; ``go`` is told a time, ``put`` a number."""
    label = QLabel(line.words)
    label.setWordWrap(True)
    if line.is_heading:
        label.setProperty("role", "strong")
        return label
    if line.number is None:
        label.setProperty("role", "quiet")
    holder = QWidget()
    layout = QHBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(look.space(0.2))
    layout.addWidget(label, 1)
    top = Qt.AlignmentFlag.AlignTop
    if line.at_us is not None:
        layout.addWidget(go_button(line.at_us, line.words, go), 0, top)
    if line.number is not None:
        layout.addWidget(put_button(line.number, put), 0, top)
    return holder


def go_button(at_us: int, words: str, go: Callable[[int], object]) -> QPushButton:
    """The time as a link to its frame."""
    button = QPushButton(time_words(at_us, 2))
    button.setProperty("role", "link")
    button.setToolTip("Show this frame")
    button.setAccessibleName(f"Show the frame at {time_words(at_us, 2)}: {words}")
    button.clicked.connect(lambda: go(at_us))
    return button


def put_button(number: Number, put: Callable[[Number], object]) -> QToolButton:
    """The small button that puts a number into the note."""
    return sign_button(
        "note",
        f"Put into the note: {number.words} {shown(number)}",
        "Put this number into the chosen note, or into a new one",
        lambda: put(number),
    )


def sign_button(sign: str, name: str, tip: str, run: Callable[[], object]) -> QToolButton:
    """A small button with a sign."""
    button = QToolButton()
    button.setIcon(icon(sign, "accent"))
    button.setIconSize(QSize(look.space(0.95), look.space(0.95)))
    button.setAccessibleName(name)
    button.setToolTip(tip)
    button.clicked.connect(lambda: run())
    return button
