"""The page at the right of both pictures: what changed, the notes, how well the views compare."""

from __future__ import annotations

from typing import Final, Literal, TypeAlias

from PyQt6.QtCore import QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import (
    QLabel,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.commands import Commands
from cliptag.desk.fields import Choice, heading, quiet
from cliptag.desk.pairing.arranging import Arranging
from cliptag.desk.pairing.goal_row import GoalRow
from cliptag.desk.pairing.notes import NotesPage
from cliptag.desk.pairing.state import PairState
from cliptag.desk.pairing.table import DifferenceList
from cliptag.pairing import CHANCE_WORDS, MEANING_WORDS, ONCE_WORDS
from cliptag.review import DEFAULT_CAUTION

Leaf: TypeAlias = Literal["changed", "notes", "views"]

_WORDS: Final[dict[Leaf, str]] = {"changed": "What changed", "notes": "Notes", "views": "Views"}
_WIDTH_EM: Final = 21.0


class SidePage(QWidget):
    """One of three leaves at a time."""

    def __init__(self, state: PairState, arranging: Arranging, commands: Commands) -> None:
        super().__init__()
        self._state = state
        self.setAccessibleName("What is told of both")
        self.list = DifferenceList(state)
        self.notes = NotesPage(state, arranging, commands)
        self.views = ViewsPage(state)
        self._nothing = quiet("")
        self._nothing.hide()
        changed = QWidget()
        column = QVBoxLayout(changed)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._nothing)
        column.addWidget(self.list, 1)
        column.addWidget(GoalRow(state, arranging))
        self._stack = QStackedWidget()
        self._leaves: dict[Leaf, QWidget] = {
            "changed": changed,
            "notes": self.notes,
            "views": self.views,
        }
        for leaf in self._leaves.values():
            self._stack.addWidget(leaf)
        self._choice = Choice(_WORDS, self.turn_to)
        self._choice.setAccessibleName("Leaf")
        layout = QVBoxLayout(self)
        layout.setSpacing(look.space(0.4))
        layout.addWidget(self._choice)
        layout.addWidget(self._stack, 1)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        state.compared.connect(self._show)
        look.look().changed.connect(self._restyle)
        self._restyle()
        self.turn_to("changed")

    @property
    def leaf(self) -> Leaf:
        """Which leaf is open."""
        shown = self._stack.currentWidget()
        return next(name for name, leaf in self._leaves.items() if leaf is shown)

    def turn_to(self, leaf: Leaf) -> None:
        """Open a leaf."""
        self._stack.setCurrentWidget(self._leaves[leaf])
        self._choice.show_value(leaf)

    def take_keyboard(self) -> None:
        """Give the keyboard to the open leaf."""
        first = {"changed": self.list, "notes": self.notes.list, "views": self.views}[self.leaf]
        first.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def fit(self, room: int) -> None:
        """Be as wide as is good to read in a window of this width, never half of it."""
        self.setMaximumWidth(min(look.space(_WIDTH_EM), round(0.4 * room)))

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(_WIDTH_EM), super().sizeHint().height())

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.fillRect(self.rect(), look.palette().colour("plate"))
        painter.setPen(look.palette().colour("hairline"))
        painter.drawLine(0, 0, 0, self.height())

    def _show(self) -> None:
        comparison = self._state.comparison
        if comparison is None:
            return
        has_any = bool(comparison.differences)
        self._nothing.setVisible(not has_any)
        self._nothing.setText(
            "Nothing was measured in both: follow the same points in both reviews, or measure the "
            "same joint at the same moment."
        )
        count = len(comparison.warnings)
        self._choice.rename("views", f"Views: {count}" if count else "Views")

    def _restyle(self) -> None:
        margin = look.space(0.5)
        layout = self.layout()
        assert layout is not None
        layout.setContentsMargins(margin, margin, margin, margin)


class ViewsPage(QScrollArea):
    """Whether the two views can be compared, and what the numbers can't say."""

    def __init__(self, state: PairState) -> None:
        super().__init__()
        self._state = state
        self.setAccessibleName("How well the two views compare")
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        inside = QWidget()
        self._column = QVBoxLayout(inside)
        self._column.setContentsMargins(0, 0, look.space(0.3), 0)
        self._column.setSpacing(look.space(0.6))
        self.setWidget(inside)
        state.compared.connect(self._show)

    def _show(self) -> None:
        comparison = self._state.comparison
        while (item := self._column.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        if comparison is None:
            return
        self._column.addWidget(heading("The two views"))
        for warning in comparison.warnings:
            self._add(warning.sentence)
        if not comparison.warnings:
            self._add("Nothing in the clips tells that the cameras stood differently.")
        for side in comparison.sides:
            if side.trouble:
                self._add(f"{side.words}: {side.trouble}")
        self._column.addWidget(heading("Moments"))
        self._add(comparison.alignment.basis_words)
        self._column.addWidget(heading("What the numbers say"))
        for sentence in (MEANING_WORDS, ONCE_WORDS, CHANCE_WORDS, DEFAULT_CAUTION):
            self._add(sentence, role="quiet")
        self._column.addStretch(1)

    def _add(self, words: str, role: str = "") -> None:
        label = QLabel(words)
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setProperty("role", role)
        self._column.addWidget(label)
