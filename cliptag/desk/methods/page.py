"""The page of published reference methods: what one says comes first, what it asks beneath."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QLabel, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.fields import drop_down, heading, quiet, row, show_in
from cliptag.desk.methods.asking import QuestionRow
from cliptag.desk.methods.lesson_view import LessonView
from cliptag.desk.methods.model import MethodModel
from cliptag.desk.movement.line_row import LineRow
from cliptag.desk.movement.steps import MovementSteps
from cliptag.desk.movement.telling import Line
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.side_panel import SidePanel
from cliptag.desk.state import DeskState
from cliptag.errors import MeasureError
from cliptag.lesson import write_lesson
from cliptag.measure import GUIDE, METHODS, Method, number_text

_WIDTH_EM: Final = 28.0
_KNOWN: Final = {
    "read": "Read in a text that prints it",
    "quoted": "Quoted by another text",
    "from memory": "From memory, to be compared with the source",
}


class MethodsPage(SidePanel):
    """Choose a method, answer what the camera can't, and put the result into a note."""

    def __init__(
        self, state: DeskState, reviewing: Reviewing, host: QWidget, above: QWidget
    ) -> None:
        super().__init__("Reference methods", host, width=_WIDTH_EM, above=above)
        self._state, self._steps = state, MovementSteps(state, reviewing)
        self.model = MethodModel(state, self)
        self.choice = drop_down(
            [(key, method.name) for key, method in METHODS.items()], self.model.choose
        )
        self._gives = quiet("")
        self.result = QLabel()
        self.result.setWordWrap(True)
        self.result.setAccessibleName("Result")
        flags = Qt.TextInteractionFlag
        self.result.setTextInteractionFlags(
            flags.TextSelectableByMouse | flags.TextSelectableByKeyboard
        )
        self.lesson = LessonView(self._save_lesson)
        self.rows: list[QuestionRow] = []
        self._told: list[LineRow] = []
        self._numbers, self._asked, self._source = _column(), _column(), quiet("")
        self._lay_out()
        self.model.chosen.connect(self._fill)
        self.model.changed.connect(self._show)
        for signal in (state.followed, state.reviewed, state.opened):
            signal.connect(self._look_again)
        state.playhead.moved.connect(self._look_again)
        state.playhead.playing_changed.connect(self._look_again)
        look.look().changed.connect(self._fill)

    def bring(self) -> None:
        """Show the page, unless there is no clip that it could speak of."""
        if self._state.document is not None:
            super().bring()
            self._look_again()
            self._fill()

    def _lay_out(self) -> None:
        add = self.body.addWidget
        add(row("Method", self.choice))
        add(self._gives)
        add(heading("What it says"))
        add(self.result)
        add(self._numbers)
        add(self.lesson)
        add(heading("What it asks"))
        add(self._asked)
        add(heading("Where it comes from"))
        add(self._source)
        self.body.addStretch(1)

    def _look_again(self) -> None:
        if self._state.document is None:
            self.put_away()
        elif self.isVisible() and not self._state.playhead.is_playing:
            self.model.look_again()

    def _fill(self) -> None:
        """Another method: other questions."""
        form = self.model.form
        show_in(self.choice, form.method.key)
        self._gives.setText(f"It gives {form.method.gives}.")
        self._source.setText(_source_words(form.method))
        _clear(self._asked)
        self.rows = [QuestionRow(question, self.model) for question in form.questions]
        for asked in self.rows:
            _layout(self._asked).addWidget(asked)
        self._show()

    def _show(self) -> None:
        outcome = self.model.outcome
        self.result.setText(outcome.meaning if outcome else f"{self.model.sentence} {GUIDE}")
        for asked in self.rows:
            asked.show_answer()
        numbers = outcome.numbers if outcome else ()
        self._show_numbers([Line(number_text(number), number=number) for number in numbers])
        self.lesson.show_lesson(outcome.lesson if outcome else None)

    def _show_numbers(self, lines: list[Line]) -> None:
        """Keep the rows that are there, so that the keyboard stays where it is."""
        while len(self._told) > len(lines):
            self._told.pop().deleteLater()
        for told, line in zip(self._told, lines, strict=False):
            told.show_line(line)
        for line in lines[len(self._told) :]:
            told = LineRow(line, self._state.playhead.go_to_time, self._steps.put)
            self._told.append(told)
            _layout(self._numbers).addWidget(told)

    def _save_lesson(self) -> None:
        outcome, clip = self.model.outcome, self._state.clip
        if outcome is None or outcome.lesson is None or clip is None:
            return
        path = clip.path.with_name(f"{clip.path.stem}.lever-arm.png")
        try:
            write_lesson(outcome.lesson, path, is_wide=False)
        except MeasureError as error:
            self._state.warned.emit(str(error))
        else:
            self._state.say(f"Saved the picture as {path.name}, beside the clip.")


def _source_words(method: Method) -> str:
    known = [f"{_KNOWN[how]}: {what}." for what, how in method.known]
    limits = [f"Limit: {limit}." for limit in method.limits]
    return "\n".join([f"{method.source}.", *known, *limits, method.does_not_say, GUIDE])


def _column() -> QWidget:
    column = QWidget()
    layout = QVBoxLayout(column)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(look.space(0.2))
    return column


def _layout(column: QWidget) -> QVBoxLayout:
    layout = column.layout()
    assert isinstance(layout, QVBoxLayout)
    return layout


def _clear(column: QWidget) -> None:
    layout = _layout(column)
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()
