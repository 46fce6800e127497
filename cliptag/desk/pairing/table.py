"""What changed: a list of quantities, each with both values, the change and a plain verdict."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QAbstractListModel, QModelIndex, QPersistentModelIndex, QRectF, QSize, Qt
from PyQt6.QtGui import QColor, QFontMetricsF, QPainter, QPen
from PyQt6.QtWidgets import (
    QAbstractItemView,
    QListView,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
)

from cliptag.desk import look
from cliptag.desk.pairing.state import PairState
from cliptag.pairing import Difference, Row, row_of

_NAME: Final = Qt.ItemDataRole.UserRole
_SMALL: Final = 0.9
_PAD_EM: Final = 0.4
_LINES: Final = 3


class DifferenceModel(QAbstractListModel):
    """One row for each quantity; what a row says in words is also what a screen reader says."""

    def __init__(self) -> None:
        super().__init__()
        self._differences: tuple[Difference, ...] = ()
        self._rows: tuple[Row, ...] = ()
        self._names = ("", "")

    def show(self, differences: tuple[Difference, ...], names: tuple[str, str]) -> None:
        """Show other differences; rows of the same quantities stay chosen."""
        rows = tuple(map(row_of, differences))
        is_same = [d.name for d in differences] == [d.name for d in self._differences]
        if is_same and differences:
            self._differences, self._rows, self._names = differences, rows, names
            self.dataChanged.emit(self.index(0), self.index(len(rows) - 1))
            return
        self.beginResetModel()
        self._differences, self._rows, self._names = differences, rows, names
        self.endResetModel()

    def rowCount(  # noqa: N802 - Qt's name
        self, parent: QModelIndex | QPersistentModelIndex | None = None
    ) -> int:
        return 0 if parent is not None and parent.isValid() else len(self._rows)

    def data(
        self, index: QModelIndex | QPersistentModelIndex, role: int = Qt.ItemDataRole.DisplayRole
    ) -> str | None:
        if not index.isValid():
            return None
        if role == _NAME:
            return self._differences[index.row()].name
        if role in (
            Qt.ItemDataRole.DisplayRole,
            Qt.ItemDataRole.AccessibleTextRole,
            Qt.ItemDataRole.ToolTipRole,
        ):
            return self._words(index.row())
        return None

    def row(self, place: int) -> tuple[Row, Difference]:
        """A line as it reads, and what it is of."""
        return self._rows[place], self._differences[place]

    def place_of(self, name: str | None) -> int | None:
        """The line of a quantity."""
        return next((n for n, d in enumerate(self._differences) if d.name == name), None)

    def _words(self, place: int) -> str:
        row, difference = self._rows[place], self._differences[place]
        first, second = self._names
        goal = f" Goal: {difference.goal}." if difference.goal else ""
        return (
            f"{row.words}: {row.first} in {first}, {row.second} in {second}. "
            f"Change {row.change}; {row.detectable} can be told from measuring error. "
            f"{row.verdict[:1].upper()}{row.verdict[1:]}.{goal}"
        )


class DifferenceList(QListView):
    """The list; arrow keys choose a line, for which a goal can be set."""

    def __init__(self, state: PairState) -> None:
        super().__init__()
        self._state = state
        self._model = DifferenceModel()
        self.setModel(self._model)
        self.setItemDelegate(_Line(self))
        self.setAccessibleName("What changed")
        self.setFrameShape(QListView.Shape.NoFrame)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setUniformItemSizes(True)
        self.setResizeMode(QListView.ResizeMode.Adjust)
        selection = self.selectionModel()
        assert selection is not None
        selection.currentChanged.connect(self._choose)
        state.compared.connect(self._show)
        state.chosen.connect(self._show_chosen)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def _show(self) -> None:
        comparison = self._state.comparison
        if comparison is not None:
            first, second = comparison.sides
            self._model.show(comparison.differences, (first.words, second.words))
            self._show_chosen()

    def _choose(self, index: QModelIndex) -> None:
        name = index.data(_NAME)
        if name is not None:
            self._state.choose_quantity(str(name))

    def _show_chosen(self) -> None:
        place = self._model.place_of(self._state.chosen_quantity)
        if place is not None and self.currentIndex().row() != place:
            self.setCurrentIndex(self._model.index(place))

    def _restyle(self) -> None:
        colours = look.palette()
        self.setStyleSheet(f"QListView {{ background: {colours.plate}; outline: none; }}")
        self.scheduleDelayedItemsLayout()


class _Line(QStyledItemDelegate):
    """Paints one quantity: its name and verdict, both values, the change and its limit."""

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:  # noqa: N802
        height = _LINES * QFontMetricsF(look.font(_SMALL)).height() + 2 * _PAD_EM * look.space()
        return QSize(look.space(12), round(height + 0.3 * look.space()))

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        model = index.model()
        if painter is None or not isinstance(model, DifferenceModel):
            return
        row, difference = model.row(index.row())
        colours, pad = look.palette(), _PAD_EM * look.space()
        box = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected:
            painter.fillRect(box, colours.colour("chosen"))
        painter.setPen(QPen(colours.colour("hairline"), 1.0))
        painter.drawLine(box.bottomLeft(), box.bottomRight())
        inner = box.adjusted(pad, pad, -pad, -pad)
        self._paint_lines(painter, inner, row, difference)
        if option.state & QStyle.StateFlag.State_HasFocus:
            painter.setPen(QPen(colours.colour("focus"), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(box.adjusted(1.0, 1.0, -1.0, -1.0))
        painter.restore()

    def _paint_lines(
        self, painter: QPainter, box: QRectF, row: Row, difference: Difference
    ) -> None:
        colours = look.palette()
        ink, quiet = colours.colour("ink"), colours.colour("quiet_ink")
        strong, plain = look.font(_SMALL, strong=True), look.font(_SMALL)
        tall = QFontMetricsF(plain).height()
        lines = (
            (row.words, row.change, strong if row.is_changed else plain, ink),
            (_both_values(row, difference), "", plain, ink),
            (_verdict(row, difference), f"error up to {row.detectable}", plain, quiet),
        )
        for number, (left, right, font, colour) in enumerate(lines):
            line = QRectF(box.left(), box.top() + number * tall, box.width(), tall)
            painter.setFont(font)
            room = line.width()
            if right:
                painter.setPen(colour)
                painter.drawText(line, Qt.AlignmentFlag.AlignRight, right)
                room -= QFontMetricsF(font).horizontalAdvance(right) + 0.5 * look.space()
            is_verdict = number == 2 and row.is_changed
            painter.setPen(colours.colour("accent") if is_verdict else QColor(colour))
            words = QFontMetricsF(font).elidedText(left, Qt.TextElideMode.ElideRight, room)
            painter.drawText(line, Qt.AlignmentFlag.AlignLeft, words)


def _both_values(row: Row, difference: Difference) -> str:
    """'48° ± 2° → 35° ± 2° forward': the sense once where it is the same."""
    first, sense = row.first, difference.first.sense
    if sense and sense == difference.second.sense:
        first = first.removesuffix(f" {sense}")
    return f"{first} → {row.second}"


def _verdict(row: Row, difference: Difference) -> str:
    """The verdict; a goal is told of also where nothing changed."""
    is_told = difference.goal is None or difference.towards is not None
    return row.verdict if is_told else f"{row.verdict}, goal: {difference.goal}"
