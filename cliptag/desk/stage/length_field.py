"""Asks how long the marked way is, on the stage itself."""

from __future__ import annotations

import math
from typing import Final

from PyQt6.QtCore import QEvent, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QLabel, QLineEdit, QPushButton, QWidget

from cliptag.desk.look import space
from cliptag.desk.stage.flow import FlowLayout
from cliptag.measure import COVERAGE_FACTOR
from cliptag.review import Scale

_USUAL_SD_CM: Final = 0.5
_LONGEST_CM: Final = 100_000.0


def number_in(text: str) -> float | None:
    """The number that a person typed, with a point or a comma; None when it is none."""
    try:
        number = float(text.strip().replace(",", ".").removesuffix("cm"))
    except ValueError:
        return None
    return number if math.isfinite(number) else None


class LengthField(QWidget):
    """Length and its uncertainty in centimetres, and what was measured.

    The uncertainty is typed as all others are shown: expanded, with ``COVERAGE_FACTOR``.
    """

    given = pyqtSignal(float, float, str)
    """Length, its standard uncertainty, what it is."""
    cancelled = pyqtSignal()
    refused = pyqtSignal(str)
    """Why what was typed can't be taken, in a sentence."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._length = _field("Length in centimetres", "", 4.5)
        self._within = _field("Uncertainty of the length in centimetres", "", 3.0)
        self._what = _field("What it is", "what it is, if you like", 14.0)
        self._what.setMaxLength(200)
        self._set = QPushButton("Set")
        self._set.setToolTip("Set the scale (Enter)")
        self._set.setAccessibleName("Set the scale")
        self._set.setProperty("role", "main")
        self._set.clicked.connect(self._give)
        row = FlowLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(0.4))
        for widget in (
            QLabel("Its length:"),
            self._length,
            QLabel("cm ±"),
            self._within,
            QLabel("cm"),
            self._what,
            self._set,
        ):
            row.addWidget(widget)
        for field in (self._length, self._within, self._what):
            field.returnPressed.connect(self._give)

    @property
    def least_width(self) -> int:
        """The width of the widest field; 0 while nothing is asked."""
        return 0 if self.isHidden() else self._what.sizeHint().width()

    def ask(self, known: Scale | None) -> None:
        """Start with what is known of the scale so far."""
        self._length.setText(f"{known.length_cm:g}" if known else "")
        self._within.setText(
            f"{COVERAGE_FACTOR * (known.length_sd_cm if known else _USUAL_SD_CM):g}"
        )
        self._what.setText(known.what if known else "")
        self._length.setFocus()
        self._length.selectAll()

    def event(self, event: QEvent | None) -> bool:
        is_key = isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape
        if event is not None and is_key:
            event.accept()
            if event.type() == QEvent.Type.KeyPress:
                self.cancelled.emit()
            return True
        return super().event(event)

    def _give(self) -> None:
        length_cm, within_cm = number_in(self._length.text()), number_in(self._within.text() or "0")
        if length_cm is None or not 0.0 < length_cm <= _LONGEST_CM:
            self._refuse(self._length, "Type the length in centimetres, such as 100 or 45.5.")
        elif within_cm is None or not 0.0 <= within_cm <= length_cm:
            self._refuse(self._within, "Type how far the length may be off in cm, such as 1.")
        else:
            self.given.emit(length_cm, within_cm / COVERAGE_FACTOR, self._what.text().strip())

    def _refuse(self, field: QLineEdit, sentence: str) -> None:
        field.setFocus()
        field.selectAll()
        self.refused.emit(sentence)


def _field(name: str, placeholder: str, heights: float) -> QLineEdit:
    field = QLineEdit()
    field.setPlaceholderText(placeholder)
    field.setAccessibleName(name)
    field.setToolTip(name)
    field.setFixedWidth(space(heights))
    return field
