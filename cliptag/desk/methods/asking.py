"""One question of a method as a row: a field for a number, a list or a box to tick."""

from __future__ import annotations

from PyQt6.QtCore import QSignalBlocker
from PyQt6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.fields import TickBox, drop_down, quiet, show_in
from cliptag.desk.methods.model import MethodModel
from cliptag.measure import Quantity, Question, rounded

_CHOOSE = ""


class QuestionRow(QWidget):
    """Shows what is answered or measured, and tells the model what a person answers."""

    def __init__(self, question: Question, model: MethodModel) -> None:
        super().__init__()
        self.question, self._model = question, model
        self.field = self._field()
        self.field.setAccessibleName(question.words)
        self._note = quiet("")
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, look.space(0.2))
        layout.setSpacing(look.space(0.15))
        if question.kind != "yes or no":
            label = QLabel(question.words)
            label.setWordWrap(True)
            label.setBuddy(self.field)
            label.setProperty("role", "strong")
            layout.addWidget(label)
        line = QHBoxLayout()
        line.setSpacing(look.space(0.4))
        line.addWidget(self.field, 1)
        if question.unit and question.kind != "yes or no":
            line.addWidget(QLabel(question.unit))
        layout.addLayout(line)
        layout.addWidget(self._note)
        self.show_answer()

    def show_answer(self) -> None:
        """Show what holds now, unless a person is just typing it."""
        question, typed = self.question, self._model.typed(self.question.name)
        measured = self._model.measured.get(question.name) if typed is None else None
        blocker = QSignalBlocker(self.field)
        if isinstance(self.field, TickBox):
            usual = bool(question.default)
            self.field.setChecked(usual if typed is None else typed == "yes")
        elif isinstance(self.field, QComboBox):
            show_in(self.field, typed if typed is not None else question.default or _CHOOSE)
        elif isinstance(self.field, QLineEdit) and not (typed and self.field.hasFocus()):
            text = typed or (_amount(measured) if measured else self._usual())
            if text != self.field.text():
                self.field.setText(text)
        blocker.unblock()
        words = self._words(measured)
        self._note.setText(words)
        self._note.setVisible(bool(words))
        self.field.setAccessibleDescription(words)

    def _words(self, measured: Quantity | None) -> str:
        if self.question.kind in ("yes or no", "choice"):
            return ""
        allowed = self.question.allowed
        if measured is not None:
            return f"Measured: {measured.words}. Allowed: {allowed}"
        if self.question.measured and self._model.typed(self.question.name) is not None:
            return f"Your own; empty the field to take the measured one. Allowed: {allowed}"
        return f"Allowed: {allowed}"

    def _usual(self) -> str:
        usual = self.question.default
        if usual is None or isinstance(usual, bool):
            return ""
        if isinstance(usual, tuple):
            return ", ".join(f"{one:g}" for one in usual)
        return str(usual) if isinstance(usual, str | int) else f"{usual.value:g}"

    def _field(self) -> TickBox | QComboBox | QLineEdit:
        question, name = self.question, self.question.name
        if question.kind == "yes or no":
            box = TickBox(question.words.removesuffix("?"))
            box.toggled.connect(lambda on: self._model.say(name, "yes" if on else "no"))
            return box
        if question.kind == "choice":
            words = [(choice, choice[:1].upper() + choice[1:]) for choice in question.choices]
            if question.is_needed:
                words.insert(0, (_CHOOSE, "Choose\u2026"))
            return drop_down(words, lambda value: self._model.say(name, value))
        line = QLineEdit()
        line.setMaxLength(120)
        line.textEdited.connect(lambda word: self._model.say(name, word))
        line.editingFinished.connect(self.show_answer)
        return line


def _amount(measured: Quantity) -> str:
    value = measured.estimate
    if value.sd == 0:
        return f"{value.value:g}"
    number, spread = rounded(value.value, value.sd)
    return f"{number} ± {spread}"
