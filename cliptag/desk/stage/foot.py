"""The line at the stage's foot: what to do next, what is asked, how large the picture is."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from PyQt6.QtCore import QEvent, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QToolButton, QWidget

from cliptag.desk.look import palette, space
from cliptag.desk.stage.choices import AnswerBox, ChoiceStrip
from cliptag.desk.stage.flow import FlowLayout
from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.length_field import LengthField
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.viewport import Viewport
from cliptag.desk.stage.words import handle_words, mark_words

_REFERENCE_WORDS: Final = {"scale": "Remove the scale", "plumb_line": "Remove the true vertical"}


class HintLabel(QLabel):
    """A line of plain text that is broken only where there is no room for all of it.

    It takes the room of the longest of the hints that follow each other, so that what stands
    behind it keeps its place.
    """

    def __init__(self) -> None:
        super().__init__()
        self._hints: Sequence[str] = ("",)
        self.setTextFormat(Qt.TextFormat.PlainText)
        self.setWordWrap(True)

    def say(self, hint: str, others: Sequence[str]) -> None:
        """Show a hint that is one of several."""
        self._hints = (hint, *others)
        self.setText(hint)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        sizes = [self.fontMetrics().size(0, hint) for hint in self._hints]
        return QSize(max(size.width() for size in sizes) + 2, sizes[0].height())


class Foot(QWidget):
    """A hint, at times with chips or a field behind it; at the end the zoom."""

    zoom_pressed = pyqtSignal()
    resized = pyqtSignal()
    """The foot may need another height."""

    def __init__(self, parent: QWidget, model: StageModel) -> None:
        super().__init__(parent)
        self._model = model
        self.hint = HintLabel()
        self.choices, self.answer = ChoiceStrip(), AnswerBox()
        self.length = LengthField()
        self.remove = QPushButton()
        self.zoom = QToolButton()
        self._left = QWidget()
        self._flow = FlowLayout(self._left)
        self._flow.setContentsMargins(0, 0, 0, 0)
        for widget in (self.hint, self.choices, self.answer, self.length, self.remove):
            self._flow.addWidget(widget)
        self._row = QHBoxLayout(self)
        self._row.addWidget(self._left, 1)
        self._row.addWidget(self.zoom, 0, Qt.AlignmentFlag.AlignBottom)
        self._space_out()
        self.zoom.clicked.connect(self.zoom_pressed)
        self.choices.picked.connect(model.answer)
        self.answer.picked.connect(model.answer)
        self.remove.clicked.connect(model.clear_reference)
        self.length.given.connect(model.set_scale)
        self.length.cancelled.connect(self._give_up_length)
        self.length.refused.connect(model.state.warned)
        model.asked.connect(self._show)
        self._show()

    def height_for(self, width: int) -> int:
        """How high the foot has to be at a width."""
        margins = self._row.contentsMargins()
        room = width - margins.left() - margins.right()
        room -= self.zoom.sizeHint().width() + self._row.spacing()
        height = max(self._flow.heightForWidth(max(1, room)), self.zoom.sizeHint().height())
        return height + margins.top() + margins.bottom()

    def show_zoom(self, view: Viewport) -> None:
        """Show how large the picture is, beside its own size."""
        percent = 100.0 * view.zoom / view.pixel
        self.zoom.setText(f"{percent:.0f} %")
        words = "Show the picture at its own size" if view.is_whole else "Show the whole picture"
        self.zoom.setToolTip(words)
        self.zoom.setAccessibleName(f"{words}, now {percent:.0f} %")

    def changeEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        super().changeEvent(event)
        if event is not None and event.type() == QEvent.Type.FontChange:
            self._space_out()
            self.resized.emit()

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.fillRect(self.rect(), palette().colour("ground"))
        painter.fillRect(0, 0, self.width(), 1, palette().colour("hairline"))

    def _show(self) -> None:
        model = self._model
        question, is_asking = model.question, model.scale_ends is not None
        self.hint.say(*hints_of(model))
        self.hint.setVisible(not is_asking)
        is_drawing = model.drawing is not None
        self.choices.setVisible(question is not None and is_drawing)
        self.answer.setVisible(question is not None and not is_drawing)
        if question is not None:
            (self.choices if is_drawing else self.answer).ask(question)
        tool, review = model.state.tool, model.review
        known = {"scale": review and review.scale, "plumb_line": review and review.plumb}
        can_remove = tool is not None and known.get(tool) is not None and not is_asking
        self.remove.setVisible(can_remove)
        if can_remove and tool is not None:
            self.remove.setText(_REFERENCE_WORDS[tool])
            self.remove.setToolTip(_REFERENCE_WORDS[tool])
            self.remove.setAccessibleName(_REFERENCE_WORDS[tool])
        was_asking = self.length.isVisibleTo(self)
        self.length.setVisible(is_asking)
        if is_asking and not was_asking:
            self.length.ask(review.scale if review else None)
        elif was_asking and not is_asking:
            self._return_focus()
        self.resized.emit()

    def _give_up_length(self) -> None:
        self._model.restart_drawing()

    def _return_focus(self) -> None:
        stage = self.parentWidget()
        if stage is not None:
            stage.setFocus()

    def _space_out(self) -> None:
        self._row.setContentsMargins(space(0.6), space(0.12), space(0.4), space(0.12))
        self._row.setSpacing(space(0.5))
        self._flow.setSpacing(space(0.8))
        self._flow.row_gap = space(0.2)
        self.hint.setMinimumHeight(self.zoom.sizeHint().height())


def hints_of(model: StageModel) -> tuple[str, Sequence[str]]:
    """What can be done next, in plain words; and all that may be said before or after it."""
    if (drawing := model.drawing) is not None:
        tool = drawing.tool
        return drawing.hint, [tool.hint(given) for given in range(tool.least)]
    mark = model.chosen_mark
    if mark is None:
        return "", ()
    name, count = mark_words(mark), len(handles_of(mark))
    if count < 2:
        whole = f"Drag the {name} to move it; Delete takes it away."
    else:
        whole = f"Drag the {name} or a point of it, or press Tab for a point."
    points = [
        f"Arrow keys move the {handle_words(mark, which)}; with Shift, ten times."
        for which in range(count)
    ]
    return whole if model.point is None else points[model.point], (whole, *points)
