"""Which point is placed next: a list to choose from or to type into, and leaving one out."""

from __future__ import annotations

from PyQt6.QtCore import QObject, QSignalBlocker, pyqtSignal
from PyQt6.QtWidgets import QComboBox, QPushButton, QWidget

from cliptag.desk.fields import DropDown
from cliptag.desk.stage.points.model import PointModel
from cliptag.desk.stage.points.names import MOST_LETTERS, name_from, words_of

_WORDS = "Point to place next: choose it, or type a name of your own"


class PointAsking(QObject):
    """The name of the next point, and a button to leave it out: two widgets to lay out."""

    answered = pyqtSignal()
    """The keyboard is free again."""

    def __init__(self, model: PointModel, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._model = model
        self._shown: tuple[tuple[str, str], ...] = ()
        self.names, self.skip = DropDown(), QPushButton("Skip")
        self.names.setEditable(True)
        self.names.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.names.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        self.names.setMaxVisibleItems(20)
        field = self.names.lineEdit()
        assert field is not None
        field.setMaxLength(MOST_LETTERS)
        for part in (self.names, field):
            part.setAccessibleName(_WORDS)
            part.setToolTip(_WORDS)
        self.skip.setToolTip("Leave this point out, and go on to the next")
        self.skip.setAccessibleName("Leave this point out, and go on to the next")
        self.names.activated.connect(self._picked)
        field.returnPressed.connect(self._typed)
        self.skip.clicked.connect(self._skip)

    @property
    def widgets(self) -> tuple[QWidget, ...]:
        """What is shown, in order."""
        return self.names, self.skip

    def ask(self) -> None:
        """Show what the model has."""
        seen = self._model.at(self._model.index).seen
        shown = tuple(
            (name, f"{words_of(name)} ✓" if name in seen else words_of(name))
            for name in self._model.names
        )
        blocker = QSignalBlocker(self.names)
        if shown != self._shown:
            self._shown = shown
            self.names.clear()
            for name, words in shown:
                self.names.addItem(words, name)
        following = self._model.next
        self.names.setCurrentIndex(self.names.findData(following))
        field = self.names.lineEdit()
        if field is not None and not field.hasFocus():
            self.names.setEditText(words_of(following) if following else "")
        self.skip.setEnabled(following is not None)
        blocker.unblock()

    def _picked(self, which: int) -> None:
        self._model.ask_for(str(self.names.itemData(which)))
        self.answered.emit()

    def _typed(self) -> None:
        name = name_from(self.names.currentText().removesuffix("✓"))
        if name:
            self._model.ask_for(name)
            self.answered.emit()

    def _skip(self) -> None:
        self._model.skip()
        self.answered.emit()
