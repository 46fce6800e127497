"""The smoothing that the curves have, where it came from, and how to change it."""

from __future__ import annotations

from PyQt6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.fields import quiet
from cliptag.desk.movement.steps import MovementSteps
from cliptag.desk.movement.telling import smoothing


class SmoothingField(QWidget):
    """A cut-off frequency to type, and the way back to the clip's own."""

    def __init__(self, steps: MovementSteps) -> None:
        super().__init__()
        self._steps = steps
        self.words = quiet("")
        self.trouble = quiet("")
        self.trouble.setProperty("role", "trouble")
        self.trouble.hide()
        self.field = QLineEdit()
        self.field.setAccessibleName("Smoothing frequency in Hz")
        self.field.setToolTip("Lower is smoother; quick movements need more. Enter sets it.")
        self.field.setPlaceholderText("Hz")
        self.field.setMaximumWidth(look.space(5))
        self.field.editingFinished.connect(self._set)
        self.back = QPushButton("Back to the clip's own")
        self.back.setToolTip("Take the frequency from the clip's noise again")
        self.back.clicked.connect(lambda: steps.set_cutoff(None))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.2))
        line = QHBoxLayout()
        line.addWidget(QLabel("Smooth at"))
        line.addWidget(self.field)
        line.addWidget(QLabel("Hz"))
        line.addWidget(self.back)
        line.addStretch(1)
        layout.addWidget(self.words)
        layout.addLayout(line)
        layout.addWidget(self.trouble)

    def show_cutoff(self, cutoff_hz: float | None) -> None:
        """Show the review's own frequency, and what the report says of it."""
        report = self._steps.report
        self.words.setText(smoothing(report) if report is not None else "")
        self.words.setVisible(report is not None)
        if not self.field.hasFocus():
            self.field.setText("" if cutoff_hz is None else f"{cutoff_hz:g}")
        self.back.setVisible(cutoff_hz is not None)

    def _set(self) -> None:
        words = self.field.text().replace(",", ".").strip()
        if not self.field.isModified():
            return
        self.field.setModified(False)
        value = _number(words)
        is_wrong = bool(words) and value is None
        self.trouble.setText("Type a frequency between 1 and 1000 Hz, such as 6.")
        self.trouble.setVisible(is_wrong)
        if not is_wrong:
            self._steps.set_cutoff(value)


def _number(words: str) -> float | None:
    try:
        value = float(words)
    except ValueError:
        return None
    return value if 1.0 <= value <= 1000.0 else None
