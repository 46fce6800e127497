"""Words that are cut with dots, not at the edge, where there is little room."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from PyQt6.QtCore import QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy, QStyleOptionComboBox, QWidget

from cliptag.desk import look
from cliptag.desk.fields import DropDown

_Value = TypeVar("_Value")
_ROOM_EM = 2.6
"""What a drop-down list takes beside its words."""


class ShortDropDown(DropDown):
    """A list to drop down that may be narrower than its words."""

    def fill(self, values: Sequence[tuple[_Value, str]]) -> None:
        """Hold these values under these words."""
        self.clear()
        for value, words in values:
            self.addItem(words, value)

    def on_choice(self, choose: Callable[[_Value], object]) -> ShortDropDown:
        """Tell of what a person picks; gives itself."""
        self.activated.connect(lambda place: choose(self.itemData(place)))
        return self

    def initStyleOption(self, option: QStyleOptionComboBox | None) -> None:  # noqa: N802
        super().initStyleOption(option)
        if option is not None:
            room = self.width() - round(_ROOM_EM * look.space())
            option.currentText = self.fontMetrics().elidedText(
                option.currentText, Qt.TextElideMode.ElideRight, room
            )


class ShortLabel(QWidget):
    """One line of words."""

    def __init__(self) -> None:
        super().__init__()
        self._words = ""
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)
        self.setMinimumWidth(look.space(4))

    @property
    def words(self) -> str:
        """All of them."""
        return self._words

    def say(self, words: str) -> None:
        """Show other words."""
        if words != self._words:
            self._words = words
            self.setToolTip(words)
            self.setAccessibleName(words)
            self.update()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        metrics = self.fontMetrics()
        return QSize(metrics.horizontalAdvance(self._words), metrics.height())

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setPen(look.palette().colour("ink"))
        words = self.fontMetrics().elidedText(
            self._words, Qt.TextElideMode.ElideRight, self.width()
        )
        painter.drawText(
            self.rect(), Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter, words
        )
