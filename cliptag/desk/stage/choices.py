"""One answer of a few: a strip of chips for the tool in hand, a list for the chosen mark."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QButtonGroup, QPushButton, QWidget

from cliptag.desk.fields import DropDown
from cliptag.desk.look import space
from cliptag.desk.stage.flow import FlowLayout
from cliptag.desk.stage.model import Question

_OWN_KEYS: Final = frozenset(
    (
        Qt.Key.Key_Space,
        Qt.Key.Key_Left,
        Qt.Key.Key_Right,
        Qt.Key.Key_Up,
        Qt.Key.Key_Down,
    )
)


class Chip(QPushButton):
    """One answer; while it has the focus its keys don't go to the desk's commands."""

    def event(self, event: QEvent | None) -> bool:
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and event.key() in _OWN_KEYS
        ):
            event.accept()
            return True
        return super().event(event)


class ChoiceStrip(QWidget):
    """Shows the words of some values, one of them chosen."""

    picked = pyqtSignal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._answers: dict[str, str] = {}
        self._chips: dict[str, Chip] = {}
        self._group = QButtonGroup(self)
        self._layout = FlowLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(space(0.2))

    def ask(self, question: Question) -> None:
        """Show a question's answers."""
        self.setAccessibleName(question.words)
        if question.answers != self._answers:
            self._fill(question)
        self._chips[question.answer].setChecked(True)

    @property
    def least_width(self) -> int:
        """The width of the widest chip."""
        return max((chip.sizeHint().width() for chip in self._chips.values()), default=0)

    def chip(self, value: str) -> Chip:
        """The chip of a value."""
        return self._chips[value]

    def _fill(self, question: Question) -> None:
        while (item := self._layout.takeAt(0)) is not None:
            if (widget := item.widget()) is not None:
                self._group.removeButton(widget)  # type: ignore[arg-type]
                widget.hide()
                widget.deleteLater()
        self._answers, self._chips = question.answers, {}
        for value, word in question.answers.items():
            chip = Chip(self)
            chip.setText(word)
            chip.setCheckable(True)
            chip.setProperty("role", "choice")
            chip.setAccessibleName(f"{question.words}: {word}")
            chip.setToolTip(f"{question.words}: {word}")
            chip.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            chip.clicked.connect(lambda _checked, value=value: self.picked.emit(value))
            self._group.addButton(chip)
            self._layout.addWidget(chip)
            chip.show()  # else it counts as hidden until the next turn of the event loop
            self._chips[value] = chip
        self.updateGeometry()


class AnswerBox(DropDown):
    """Shows the answer of a question, and drops the others down."""

    picked = pyqtSignal(str)

    def __init__(self) -> None:
        super().__init__()
        self.activated.connect(lambda _place: self.picked.emit(self.currentData()))

    def ask(self, question: Question) -> None:
        """Show a question's answers."""
        self.setAccessibleName(question.words)
        self.setToolTip(question.words)
        if question.answers != {self.itemData(i): self.itemText(i) for i in range(self.count())}:
            self.clear()
            for value, words in question.answers.items():
                self.addItem(words, value)
        self.setCurrentIndex(self.findData(question.answer))
