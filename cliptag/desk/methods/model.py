"""What is answered, what is measured and what comes of it, for the method that is looked at."""

from __future__ import annotations

from collections.abc import Mapping

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.state import DeskState
from cliptag.errors import MeasureError
from cliptag.measure import (
    FORMS,
    Answer,
    Form,
    Outcome,
    Quantity,
    Question,
    answer_of,
    fill_in,
    quantities_of,
)


class MethodModel(QObject):
    """The chosen method, filled in from the shown frame until a person answers otherwise.

    ``changed`` tells of new answers or results, ``chosen`` of another method.
    """

    changed = pyqtSignal()
    chosen = pyqtSignal()

    def __init__(self, state: DeskState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._key = next(iter(FORMS))
        self._typed: dict[str, dict[str, str]] = {key: {} for key in FORMS}
        self._quantities: Mapping[str, Quantity] = {}
        self.measured: dict[str, Quantity] = {}
        self.outcome: Outcome | None = None
        self.sentence = ""

    @property
    def form(self) -> Form:
        """The method that is looked at."""
        return FORMS[self._key]

    def choose(self, key: str) -> None:
        """Look at another method; what was answered for this one is kept."""
        self._key = key
        self._work_out()
        self.chosen.emit()

    def typed(self, name: str) -> str | None:
        """What a person answered to a question; None where nobody did."""
        return self._typed[self._key].get(name)

    def say(self, name: str, word: str | None) -> None:
        """Answer a question; None or nothing goes back to what is measured, or usual."""
        if word is None or not word.strip():
            self._typed[self._key].pop(name, None)
        else:
            self._typed[self._key][name] = word
        self._work_out()
        self.changed.emit()

    def look_again(self) -> None:
        """Take what is measured on the shown frame now."""
        document, following = self._state.document, self._state.following
        self._quantities = {}
        if document is not None:
            report = following.report if following else None
            at_us = self._state.playhead.time_us
            self._quantities = quantities_of(document.review, report, at_us)
        self._work_out()
        self.changed.emit()

    def _work_out(self) -> None:
        self.outcome, self.sentence = None, ""
        try:
            given = self._given()
        except MeasureError as error:
            self.sentence = str(error)
            return
        form = self.form
        self.measured = fill_in(form, given, self._quantities)
        filled = {
            name: answer_of(form.question(name), quantity)
            for name, quantity in self.measured.items()
        }
        missing = self._missing({**filled, **given})
        if missing:
            self.sentence = f"Still to answer: {', '.join(one.words.lower() for one in missing)}."
            return
        try:
            self.outcome = form.answer({**filled, **given})
        except MeasureError as error:
            self.sentence = str(error)

    def _given(self) -> dict[str, Answer]:
        form = self.form
        return {name: form.question(name).read(word) for name, word in
                self._typed[self._key].items()}  # fmt: skip

    def _missing(self, answers: Mapping[str, Answer]) -> list[Question]:
        return [
            question
            for question in self.form.questions
            if question.is_needed and question.name not in answers
        ]
