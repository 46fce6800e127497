"""One mark of the note in the card: what it is, its number, and how it is drawn."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, get_args

from PyQt6.QtCore import QRectF, QSize, Qt
from PyQt6.QtGui import QIcon, QPainter, QPen, QPixmap
from PyQt6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.fields import drop_down, show_in
from cliptag.desk.icons import icon
from cliptag.desk.stage.words import mark_words
from cliptag.paint import mark_colour
from cliptag.review import Kind, Mark, MarkColour, MarkWeight

_COLOUR_WORDS: Final[dict[MarkColour, str]] = {
    "kind": "as its kind",
    "white": "white",
    "orange": "orange",
    "sky": "sky blue",
    "green": "green",
    "yellow": "yellow",
    "vermillion": "red-orange",
    "purple": "purple",
}
_WEIGHT_WIDTHS: Final[dict[MarkWeight, float]] = {"fine": 0.06, "normal": 0.12, "bold": 0.22}


class MarkRow(QWidget):
    """The mark's name chooses it; the chosen one shows its label, colour and weight."""

    def __init__(
        self,
        edits: NoteEdits,
        mark_id: str,
        choose: Callable[[str], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._edits, self._mark_id = edits, mark_id
        self._what = "mark"
        self._shown: tuple[object, ...] | None = None
        self._drawn_for: tuple[Kind, look.Palette, int] | None = None
        self.name = QToolButton()
        self.name.setCheckable(True)
        self.name.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.name.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.name.clicked.connect(lambda: choose(mark_id))
        self._number = QLabel()
        self._number.setProperty("role", "quiet")
        self._number.setWordWrap(True)
        self._number.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self.delete = QToolButton()
        self.delete.setText("×")
        self.delete.clicked.connect(lambda: edits.drop_mark(mark_id, self._what))
        self.label = QLineEdit()
        self.label.setMaxLength(200)
        self.label.setPlaceholderText("label")
        self.label.textEdited.connect(self._set_label)
        self.label.editingFinished.connect(edits.end_run)
        self.colour = drop_down(list(_COLOUR_WORDS.items()), self._set_colour)
        weights = [(weight, weight) for weight in get_args(MarkWeight)]
        self.weight = drop_down(weights, self._set_weight)
        # Two rows of their own: a long name must not push the fields below it aside.
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        above, below = QHBoxLayout(), QHBoxLayout()
        above.addWidget(self.name, 1)
        above.addWidget(self._number, 1)
        above.addWidget(self.delete)
        below.addWidget(self.label, 1)
        below.addWidget(self.colour)
        below.addWidget(self.weight)
        self._layout.addLayout(above)
        self._layout.addLayout(below)

    def show_mark(self, mark: Mark, kind: Kind, number: str, *, is_chosen: bool) -> None:
        """Show a mark of a note of this kind, with the number that it carries, if any."""
        shown = (mark, kind, number, is_chosen, look.palette(), look.space())
        if shown == self._shown and self.label.text() == mark.label:
            return
        self._shown = shown
        self._what = mark_words(mark)
        name = self._what[0].upper() + self._what[1:]
        self.name.setText(f" {name}")
        self.name.setIcon(icon(type(mark).__name__.lower(), "accent" if is_chosen else "ink"))
        self.name.setIconSize(QSize(look.space(1.0), look.space(1.0)))
        self.name.setChecked(is_chosen)
        self.name.setAccessibleName(f"{name} {number}".strip())
        self.name.setToolTip(f"Choose this {self._what} to change it")
        self._number.setText(number)
        self.delete.setAccessibleName(f"Delete {self._what}")
        self.delete.setToolTip(f"Delete this {self._what}")
        self.label.setAccessibleName(f"Label of {self._what}")
        self.label.setToolTip("Words beside the mark on the picture")
        self.colour.setAccessibleName(f"Colour of {self._what}")
        self.colour.setAccessibleDescription(f"Colour of {self._what}")
        self.colour.setToolTip("Its colour; that of the note's kind unless you choose another")
        self.weight.setAccessibleName(f"Weight of {self._what}")
        self.weight.setAccessibleDescription(f"Weight of {self._what}")
        self.weight.setToolTip("How strong its line is")
        if self.label.text() != mark.label:
            self.label.setText(mark.label)
        if is_chosen:
            self._show_samples(kind)
        show_in(self.colour, mark.colour)
        show_in(self.weight, mark.weight)
        for field in (self.label, self.colour, self.weight):
            field.setVisible(is_chosen)

    def _show_samples(self, kind: Kind) -> None:
        drawn_for = (kind, look.palette(), look.space())
        if drawn_for == self._drawn_for:
            return
        self._drawn_for = drawn_for
        for box in (self.colour, self.weight):
            box.setIconSize(QSize(look.space(), look.space()))
        for place, colour in enumerate(_COLOUR_WORDS):
            self.colour.setItemIcon(place, _swatch(colour, kind, look.palette(), look.space()))
        for place, weight in enumerate(_WEIGHT_WIDTHS.values()):
            self.weight.setItemIcon(place, _stroke(weight, look.palette(), look.space()))

    def _set_label(self, text: str) -> None:
        run = f"label {self._mark_id}"
        self._edits.set_mark(self._mark_id, f"label of {self._what}", run=run, label=text)

    def _set_colour(self, colour: MarkColour) -> None:
        self._edits.set_mark(self._mark_id, f"colour of {self._what}", colour=colour)

    def _set_weight(self, weight: MarkWeight) -> None:
        self._edits.set_mark(self._mark_id, f"weight of {self._what}", weight=weight)


def _swatch(colour: MarkColour, kind: Kind, colours: look.Palette, em: int) -> QIcon:
    pixmap, painter = _blank(em)
    painter.setPen(QPen(colours.colour("edge"), 1.0))
    painter.setBrush(mark_colour(colour, kind))
    painter.drawEllipse(QRectF(0.1 * em, 0.1 * em, 0.8 * em, 0.8 * em))
    painter.end()
    return QIcon(pixmap)


def _stroke(weight: float, colours: look.Palette, em: int) -> QIcon:
    pixmap, painter = _blank(em)
    pen = QPen(colours.colour("ink"), weight * em)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    painter.drawLine(round(0.15 * em), round(0.75 * em), round(0.85 * em), round(0.25 * em))
    painter.end()
    return QIcon(pixmap)


def _blank(side: int) -> tuple[QPixmap, QPainter]:
    scale = 3.0
    pixmap = QPixmap(round(side * scale), round(side * scale))
    pixmap.setDevicePixelRatio(scale)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    return pixmap, painter
