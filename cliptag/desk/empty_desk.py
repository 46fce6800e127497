"""What the desk shows while no clip is on it: what to do, a place to drop a clip, the demo."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Final

from PyQt6.QtCore import QRectF, Qt
from PyQt6.QtGui import QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.commands import Commands
from cliptag.desk.fields import heading, quiet
from cliptag.review import DEFAULT_CAUTION, SUFFIX

_STEPS: Final = (
    ("Open", "a client's clip or photo: drop it anywhere in this window."),
    ("Climb", "from the feet up: at each place write what you see, draw on the picture, measure."),
    ("Send back", "the take-home: the video with your marks and captions burned in."),
)

_MOST_RECENT: Final = 5
_WIDEST: Final = 42.0
"""In text heights: a longer line is hard to read."""


class EmptyDesk(QScrollArea):
    """First start, and whenever nothing is open."""

    def __init__(
        self, commands: Commands, open_path: Callable[[Path], object], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._open_path = open_path
        self.setWidgetResizable(True)
        self.setAccessibleName("Empty desk")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        page = QWidget()
        self._recent = QVBoxLayout()
        self._recent_title = heading("Go on with")
        self._column = QVBoxLayout()
        outer = QHBoxLayout(page)
        middle = QWidget()
        middle.setLayout(self._column)
        middle.setMaximumWidth(look.space(_WIDEST))
        outer.addStretch(1)
        outer.addWidget(middle, 100)
        outer.addStretch(1)
        self._fill(commands)
        self.setWidget(page)

    def show_recent(self, paths: Sequence[Path]) -> None:
        """List the files that were open last."""
        while (item := self._recent.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        self._recent_title.setVisible(bool(paths))
        shown = paths[:_MOST_RECENT]
        names = [_words_for(path) for path in shown]
        for path, name in zip(shown, names, strict=True):
            words = (
                f"{name} in {path.parent.name or path.parent}" if names.count(name) > 1 else name
            )
            button = QPushButton(words.replace("&", "&&"))
            button.setProperty("role", "link")
            button.setToolTip(str(path))
            button.setAccessibleName(f"Open {words}")
            button.clicked.connect(partial(self._open, path))
            self._recent.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)

    def _open(self, path: Path, _checked: bool = False) -> None:
        self._open_path(path)

    def _fill(self, commands: Commands) -> None:
        title = QLabel("Review a client's clip")
        title.setProperty("role", "title")
        title.setWordWrap(True)
        self._column.setSpacing(look.space(0.5))
        self._column.addStretch(1)
        self._column.addWidget(title)
        for number, (verb, rest) in enumerate(_STEPS, 1):
            line = QLabel(f"<b>{number}. {verb}</b> {rest}")
            line.setTextFormat(Qt.TextFormat.RichText)
            line.setWordWrap(True)
            self._column.addWidget(line)
        self._column.addSpacing(look.space(0.6))
        self._column.addWidget(DropPlace(commands))
        self._column.addWidget(_casebook_link(commands), 0, Qt.AlignmentFlag.AlignLeft)
        self._column.addWidget(self._recent_title)
        self._column.addLayout(self._recent)
        self._column.addStretch(1)
        self._column.addWidget(quiet(DEFAULT_CAUTION))
        self._column.addSpacing(look.space(0.6))


def _casebook_link(commands: Commands) -> QPushButton:
    action = commands.action("casebook")
    link = QPushButton("Casebook: your clients, week by week, and what waits today")
    link.setProperty("role", "link")
    link.setToolTip(action.toolTip())
    link.clicked.connect(action.trigger)
    return link


def _words_for(path: Path) -> str:
    """What a person calls a file: a review by the name of its clip."""
    is_review = path.name.endswith(SUFFIX)
    return f"{path.name.removesuffix(SUFFIX)}, the review" if is_review else path.name


class DropPlace(QWidget):
    """A large place to drop a file on, with the buttons for who would rather press one.

    The whole window takes a dropped file; this is where one looks for it.
    """

    def __init__(self, commands: Commands) -> None:
        super().__init__()
        self.setMinimumHeight(look.space(9))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        words = QLabel("Drop a clip, a photo or a review here")
        words.setProperty("role", "lead")
        words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        words.setWordWrap(True)
        buttons = QHBoxLayout()
        buttons.setSpacing(look.space(0.6))
        buttons.addStretch(1)
        for name, role in (("open", "main"), ("demo", "")):
            action = commands.action(name)
            button = QPushButton(action.text())
            button.setToolTip(action.toolTip())
            button.setProperty("role", role)
            button.clicked.connect(action.trigger)
            buttons.addWidget(button)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setSpacing(look.space(0.8))
        layout.addStretch(1)
        layout.addWidget(words)
        layout.addLayout(buttons)
        layout.addStretch(1)

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours = look.palette()
        pen = QPen(colours.colour("edge"), 1.5)
        pen.setDashPattern([5, 4])
        painter.setPen(pen)
        painter.setBrush(colours.colour("plate"))
        round_px = look.space(0.6)
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), round_px, round_px)
