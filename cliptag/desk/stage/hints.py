"""The line that says what can be done next."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QRect, QSize, Qt
from PyQt6.QtWidgets import QLabel

from cliptag.desk.stage.handles import handles_of
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.points import point_hints
from cliptag.desk.stage.words import handle_words, mark_words


class HintLabel(QLabel):
    """A line of plain text that is broken only where there is no room for all of it.

    It takes the room of the longest of the hints that follow each other, so that what stands
    beside it keeps its place.
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
        self.updateGeometry()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        sizes = [self.fontMetrics().size(0, hint) for hint in self._hints]
        return QSize(max(size.width() for size in sizes) + 2, sizes[0].height())

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        room = QRect(0, 0, max(1, width), 10_000)
        flags = int(Qt.TextFlag.TextWordWrap)
        return max(
            self.fontMetrics().boundingRect(room, flags, hint).height() for hint in self._hints
        )


def hints_of(model: StageModel) -> tuple[str, Sequence[str]]:
    """What can be done next, in plain words; and all that may be said before or after it."""
    hint, others = _next_step(model)
    if not model.repeating.told:
        return hint, others
    told = f"{model.repeating.told} {hint}".rstrip()
    return told, (*others, told)


def _next_step(model: StageModel) -> tuple[str, Sequence[str]]:
    if model.repeating.now is not None:
        return model.repeating.now.hint, ()
    if model.state.tool == "point" or (model.points.is_on and model.chosen_mark is None):
        return point_hints(model.points, model.state.tool == "point")
    if (drawing := model.drawing) is not None:
        if model.scale_ends is not None:
            return "", ()
        return drawing.hint, [drawing.tool.hint(given) for given in range(drawing.tool.least)]
    mark = model.chosen_mark
    if mark is None:
        return "", ()
    if mark.follows:
        return f"The {mark_words(mark)} goes with the points that are followed.", ()
    count = len(handles_of(mark))
    if count < 2:
        whole = f"Drag the {mark_words(mark)} to move it."
    else:
        whole = f"Drag the {mark_words(mark)} or one of its points."
    points = [f"Arrow keys move the {handle_words(mark, which)}." for which in range(count)]
    return whole if model.point is None else points[model.point], (whole, *points)


def keys_of(model: StageModel) -> str:
    """What the keys do now; empty when none is the stage's."""
    if model.state.tool == "point" and model.repeating.now is None:
        return (
            "Enter: place with the arrow keys. Backspace: take the last placing back. Tab: to the "
            "list of points. Esc: lay the tool down."
        )
    if model.points.chosen is not None:
        return (
            "Tab: next point. Arrow keys: move it, with Shift ten times as far. "
            "Delete: take back where it was placed here. Esc: let go."
        )
    if model.drawing is not None:
        return (
            "Shift: level, upright and every 15°. Enter: place with the arrow keys, or end. "
            "Backspace: take the last point back. Esc: give up."
        )
    if model.chosen_mark is None:
        return ""
    return (
        "Tab: next point. Arrow keys: move it, with Shift ten times as far. "
        "Delete: take the mark away. Esc: let go."
    )
