"""Rows of a page: a label above what it names, and words beneath that say what it does."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TypeVar

from PyQt6.QtCore import QLocale, QPointF, QRectF, QSignalBlocker, Qt
from PyQt6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen, QWheelEvent
from PyQt6.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStyle,
    QStyleOptionButton,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look

_ValueT = TypeVar("_ValueT")


def row(name: str, field: QWidget, help_words: str = "") -> QWidget:
    """A field with its name above it; the name is also what a screen reader says."""
    field.setAccessibleName(name)
    if help_words:
        field.setAccessibleDescription(help_words)
    holder = QWidget()
    layout = QVBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, look.space(0.3))
    layout.setSpacing(look.space(0.2))
    label = QLabel(name)
    label.setBuddy(field)
    label.setProperty("role", "strong")
    layout.addWidget(label)
    layout.addWidget(field)
    if help_words:
        layout.addWidget(quiet(help_words))
    return holder


def heading(words: str) -> QLabel:
    """A heading inside a page."""
    label = QLabel(words)
    label.setProperty("role", "heading")
    label.setIndent(0)
    return label


def quiet(words: str) -> QLabel:
    """Words of less weight, over several lines if need be."""
    label = QLabel(words)
    label.setWordWrap(True)
    label.setProperty("role", "quiet")
    return label


class TickBox(QCheckBox):
    """A box to tick whose edge is seen in the dark too; the style's is darker than the ground."""

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        option, style, colours = QStyleOptionButton(), self.style(), look.palette()
        assert style is not None
        self.initStyleOption(option)
        place = style.subElementRect(QStyle.SubElement.SE_CheckBoxIndicator, option, self)
        box = QRectF(place).adjusted(1.0, 1.0, -1.0, -1.0)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.colour("edge"), 1.2))
        painter.setBrush(colours.colour("accent" if self.isChecked() else "plate"))
        painter.drawRoundedRect(box, 0.2 * box.width(), 0.2 * box.width())
        if self.isChecked():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(colours.colour("on_accent"), 0.15 * box.width()))
            painter.drawPath(tick_path(box.center(), 0.6 * box.width()))
        option.rect = style.subElementRect(QStyle.SubElement.SE_CheckBoxContents, option, self)
        style.drawControl(QStyle.ControlElement.CE_CheckBoxLabel, option, painter, self)
        if self.hasFocus():
            ring = QRectF(0.0, 0.0, min(self.width(), self.sizeHint().width()), self.height())
            painter.setPen(QPen(colours.colour("focus"), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(ring.adjusted(1.0, 1.0, -1.0, -1.0), 3.0, 3.0)


def tick_path(centre: QPointF, radius: float) -> QPainterPath:
    """A tick inside a circle."""
    path = QPainterPath(centre + QPointF(-0.5, 0.02) * radius)
    path.lineTo(centre + QPointF(-0.12, 0.4) * radius)
    path.lineTo(centre + QPointF(0.52, -0.38) * radius)
    return path


class Choice(QWidget):
    """A few values side by side, of which one holds; arrow keys move between them."""

    def __init__(
        self,
        values: Mapping[_ValueT, str],
        choose: Callable[[_ValueT], object],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.2))
        self._group = QButtonGroup(self)
        self._values: list[object] = list(values)
        for number, words in enumerate(values.values()):
            button = QPushButton(words)
            button.setCheckable(True)
            button.setProperty("role", "choice")
            self._group.addButton(button, number)
            layout.addWidget(button)
        layout.addStretch(1)
        self._group.idClicked.connect(lambda number: choose(list(values)[number]))
        first = self._group.button(0)
        assert first is not None
        self.setFocusProxy(first)

    def show_value(self, value: object) -> None:
        """Show which value holds; None of them if it isn't among them."""
        place = self._values.index(value) if value in self._values else -1
        self._group.setExclusive(False)
        for number, button in enumerate(self._group.buttons()):
            button.setChecked(number == place)
        self._group.setExclusive(True)

    def rename(self, value: object, words: str) -> None:
        """Other words for a value."""
        button = self._group.button(self._values.index(value))
        if button is not None:
            button.setText(words)
            button.setAccessibleName(f"{self.accessibleName()}: {words}")

    def setAccessibleName(self, name: str | None) -> None:  # noqa: N802 - Qt's name
        super().setAccessibleName(name)
        for button in self._group.buttons():
            button.setAccessibleName(f"{name}: {button.text()}")


class DropDown(QComboBox):
    """A list to drop down, with a plain arrow: a style sheet takes the style's own away.

    The wheel scrolls what the list lies on, and never changes an answer by accident.
    """

    def wheelEvent(self, event: QWheelEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None:
            event.ignore()

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        super().paintEvent(event)
        paint_drop_arrow(self)


def paint_drop_arrow(field: QWidget) -> None:
    """Draw a plain arrow at a field's right end: what is under it drops down."""
    painter = QPainter(field)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    pen = QPen(look.palette().colour("quiet_ink"), max(1.4, look.space() / 11.0))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    reach = 0.22 * look.space()
    tip = QPointF(field.width() - 0.7 * look.space(), field.height() / 2 + 0.5 * reach)
    painter.drawPolyline(tip + QPointF(-reach, -reach), tip, tip + QPointF(reach, -reach))


def drop_down(
    values: Sequence[tuple[_ValueT, str]], choose: Callable[[_ValueT], object]
) -> QComboBox:
    """A list to drop down; ``choose`` is told what a person picks."""
    box = DropDown()
    for value, words in values:
        box.addItem(words, value)
    box.activated.connect(lambda number: choose(values[number][0]))
    box.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
    return box


def show_in(box: QComboBox, value: object) -> None:
    """Show a value in a drop-down list without telling anyone."""
    blocker = QSignalBlocker(box)
    box.setCurrentIndex(box.findData(value))
    blocker.unblock()


def own_name(code: str) -> str:
    """What the speakers of a language call it, by its code of ISO 639."""
    if code == "en":
        return "English"
    name = QLocale(code).nativeLanguageName().split(" (")[0]
    return name[:1].upper() + name[1:]
