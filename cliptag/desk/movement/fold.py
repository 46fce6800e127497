"""A part of a page that folds away under its heading, and is only filled while it is open."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtWidgets import QSizePolicy, QToolButton, QVBoxLayout, QWidget

from cliptag.desk import look


class Fold(QWidget):
    """A heading that opens and closes what is under it: ``lead``, which stays, and ``rows``."""

    opened = pyqtSignal()

    def __init__(self, title: str, *, is_open: bool) -> None:
        super().__init__()
        self._title = title
        self.head = QToolButton()
        self.head.setCheckable(True)
        self.head.setChecked(is_open)
        self.head.setProperty("role", "fold")
        self.head.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.head.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.head.toggled.connect(self._toggle)
        self.inside = QWidget()
        self.lead, self.rows = QVBoxLayout(), QVBoxLayout()
        inside = QVBoxLayout(self.inside)
        inside.setContentsMargins(look.space(0.3), 0, 0, look.space(0.4))
        inside.addLayout(self.lead)
        inside.addLayout(self.rows)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.2))
        layout.addWidget(self.head)
        layout.addWidget(self.inside)
        self.say("")
        self._toggle(is_open)

    @property
    def is_open(self) -> bool:
        return self.head.isChecked()

    def say(self, more: str) -> None:
        """Tell beside the title what is inside."""
        self.head.setText(f"{self._title}{f' – {more}' if more else ''}")
        self.head.setAccessibleName(self.head.text())
        self.head.setToolTip(f"Open or close '{self._title}'")

    def refill(self, rows: Sequence[QWidget]) -> None:
        """Have other rows; the keyboard stays on what it was on, as far as it is there."""
        place = self._place_of_keyboard()
        while (item := self.rows.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.hide()
                widget.deleteLater()
        for row in rows:
            self.rows.addWidget(row)
        # Tab goes in the order of making, and the heads were all made before any row.
        for before, after in pairwise([self.head, *self._takers()]):
            QWidget.setTabOrder(before, after)
        if place is not None:
            buttons = self._takers()
            (buttons[min(place, len(buttons) - 1)] if buttons else self.head).setFocus()

    def _place_of_keyboard(self) -> int | None:
        for place, widget in enumerate(self._takers()):
            if widget.hasFocus():
                return place
        return None

    def _takers(self) -> list[QWidget]:
        """What takes the keyboard, in order."""
        rows = (self.rows.itemAt(number) for number in range(self.rows.count()))
        widgets = [row.widget() for row in rows if row is not None]
        return [
            inner
            for widget in widgets
            if widget is not None
            for inner in (widget, *widget.findChildren(QWidget))
            if inner.focusPolicy() & Qt.FocusPolicy.TabFocus
        ]

    def _toggle(self, is_open: bool) -> None:
        arrow = Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow
        self.head.setArrowType(arrow)
        self.head.setAccessibleDescription("open" if is_open else "closed")
        self.inside.setVisible(is_open)
        if is_open:
            self.opened.emit()
