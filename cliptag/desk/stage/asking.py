"""What is asked on the stage: which joint, how long the scale is."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, QRect, QSize, pyqtSignal
from PyQt6.QtGui import QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import QPushButton, QWidget

from cliptag.desk.look import palette, space
from cliptag.desk.stage.choices import AnswerBox, ChoiceStrip
from cliptag.desk.stage.flow import FlowLayout
from cliptag.desk.stage.length_field import LengthField
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.points import FollowingStatus, PointAsking
from cliptag.desk.stage.seating import seat

_FOLLOWING: Final = "Let the mark go with the followed points on all frames of its note"
_STAYING: Final = "Let the mark stay where it was placed"
_REFERENCE_WORDS: Final = {"scale": "Remove the scale", "plumb_line": "Remove the true vertical"}


class Asking(QWidget):
    """Shows the one question of now; on a plate of its own while it floats on the stage."""

    answered = pyqtSignal()
    """The keyboard is free again."""

    def __init__(self, parent: QWidget, model: StageModel) -> None:
        super().__init__(parent)
        self._model = model
        self._is_floating = False
        self.choices, self.answer = ChoiceStrip(), AnswerBox()
        self.length, self.remove = LengthField(), QPushButton()
        self.points, self.status = (
            PointAsking(model.points, self),
            FollowingStatus(model.state, self),
        )
        self.follow = QPushButton()
        self._flow = FlowLayout(self)
        for widget in self._questions:
            self._flow.addWidget(widget)
        self._space_out()
        self.choices.picked.connect(model.answer)
        self.answer.picked.connect(model.answer)
        self.remove.clicked.connect(model.clear_reference)
        self.follow.clicked.connect(model.going_along.toggle)
        self.points.answered.connect(self.answered)
        self.status.appeared.connect(model.asked)
        self.length.given.connect(model.set_scale)
        self.length.cancelled.connect(model.restart_drawing)
        self.length.refused.connect(model.state.warned)

    @property
    def _questions(self) -> tuple[QWidget, ...]:
        return (
            *(self.choices, self.answer, self.length, self.remove),
            *(*self.points.widgets, self.follow, *self.status.widgets),
        )

    @property
    def is_empty(self) -> bool:
        """Whether nothing is asked."""
        return all(widget.isHidden() for widget in self._questions)

    def take_seat(self, line: QRect, area: QRect, whole: QRect) -> int:
        """Stand in the free part of the foot's line, else on the area; see ``seat``.

        ``whole`` is where the whole picture lies in the area. Where the question would cover its
        lower end, the feet, it gives how far the foot has to reach up so that it doesn't.
        """
        self._float(True)
        gap = space(0.5)
        alone = (*self.points.widgets, self.follow, *self.status.widgets)
        widths = [w.sizeHint().width() for w in alone if not w.isHidden()]
        least = max(self.choices.least_width, self.length.least_width, *widths) + 2 * self._pad
        in_line = self._flow.sizeHint() - QSize(2 * self._pad, 2 * self._pad)
        height_at = self._flow.heightForWidth
        place, is_floating = seat(in_line, least, height_at, line, area, whole, gap)
        is_covering = is_floating and not self.is_empty and place.intersects(whole)
        self._float(is_floating and not is_covering)
        if is_covering:
            place.setTop(place.bottom() + 1 - height_at(place.width()))
            place.moveBottom(area.bottom())
        self.setGeometry(place)
        self.raise_()
        return place.height() + gap if is_covering else 0

    def show_question(self) -> None:
        """Show what the stage asks now."""
        model = self._model
        question, is_length = model.question, model.scale_ends is not None
        is_drawing = model.drawing is not None
        self.choices.setVisible(question is not None and is_drawing)
        self.answer.setVisible(question is not None and not is_drawing)
        if question is not None:
            (self.choices if is_drawing else self.answer).ask(question)
        self._show_removal()
        self._show_following()
        was_length = not self.length.isHidden()
        self.length.setVisible(is_length)
        self.setVisible(not self.is_empty)
        if is_length and not was_length:
            self.length.ask(model.review.scale if model.review else None)
        elif was_length and not is_length:
            self.answered.emit()

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        if self._is_floating:
            painter = QPainter(self)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            painter.setBrush(palette().colour("ground"))
            painter.setPen(QPen(palette().colour("hairline"), 1.0))
            painter.drawRoundedRect(
                self.rect().adjusted(0, 0, -1, -1), 0.5 * space(), 0.5 * space()
            )

    def changeEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        super().changeEvent(event)
        if event is not None and event.type() == QEvent.Type.FontChange:
            self._space_out()

    def _float(self, is_floating: bool) -> None:
        self._is_floating = is_floating
        self._space_out()
        self.update()

    def _show_removal(self) -> None:
        tool, review = self._model.state.tool, self._model.review
        known = {"scale": review and review.scale, "plumb_line": review and review.plumb}
        is_possible = bool(tool and known.get(tool)) and self._model.scale_ends is None
        self.remove.setVisible(is_possible)
        if tool is not None and is_possible:
            self.remove.setText(_REFERENCE_WORDS[tool])
            self.remove.setToolTip(_REFERENCE_WORDS[tool])
            self.remove.setAccessibleName(_REFERENCE_WORDS[tool])

    def _show_following(self) -> None:
        model = self._model
        is_placing = model.state.tool == "point" and model.repeating.now is None
        for widget in self.points.widgets:
            widget.setVisible(is_placing)
        if is_placing:
            self.points.ask()
        mark = model.chosen_mark
        is_possible = mark is not None and model.drawing is None and model.going_along.is_possible()
        self.follow.setVisible(is_possible)
        if mark is not None and is_possible:
            words = "Let it stay" if mark.follows else "Let it follow"
            tip = _STAYING if mark.follows else _FOLLOWING
            self.follow.setText(words)
            self.follow.setToolTip(tip)
            self.follow.setAccessibleName(tip)
        for widget in self.status.widgets:
            widget.setVisible(self.status.is_telling)

    @property
    def _pad(self) -> int:
        return self._flow.contentsMargins().left()

    def _space_out(self) -> None:
        pad = space(0.4) if self._is_floating else 0
        self._flow.setContentsMargins(pad, pad, pad, pad)
        self._flow.setSpacing(space(0.8))
        self._flow.row_gap = space(0.2)
