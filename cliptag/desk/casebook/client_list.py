"""The clients at the left, and what a search found: one line each, with what waits."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import (
    QAbstractListModel,
    QModelIndex,
    QObject,
    QPoint,
    QRect,
    QSize,
    Qt,
    pyqtSignal,
)
from PyQt6.QtGui import QKeyEvent, QPainter
from PyQt6.QtWidgets import QListView, QStyle, QStyledItemDelegate, QStyleOptionViewItem

from cliptag.casebook import Client, Day, Found, ReceivedClip
from cliptag.desk import look
from cliptag.desk.casebook.telling import count_words, week_words

_MOST_CLIPS: Final = 200
"""Of the clips that a search finds so many are listed: nobody reads on, but asks more precisely."""


@dataclass(frozen=True, slots=True)
class Line:
    """A client, or a clip that was found; ``words`` stand under the name."""

    client: str
    name: str
    words: str = ""
    is_late: bool = False
    clip_id: int | None = None


def lines_of(clients: tuple[Client, ...], day: Day) -> list[Line]:
    """All clients with what waits of each."""
    waiting = Counter(kept.client for kept in (*day.to_review, *day.to_export, *day.to_send))
    late = {kept.client for kept in day.late}
    owing: dict[str, list[int]] = {}
    for gap in day.missing:
        owing.setdefault(gap.client, []).append(gap.week)
    lines = []
    for person in clients:
        parts = []
        if waiting[person.name]:
            count = waiting[person.name]
            parts.append(f"{count_words(count, 'clip')} {'waits' if count == 1 else 'wait'}")
        if person.name in owing:
            weeks = owing[person.name]
            owes = f"week {weeks[0]}" if len(weeks) == 1 else f"{len(weeks)} weeks"
            parts.append(f"owes {owes}")
        is_late = person.name in late
        words = f"{', '.join(parts)}{', late' if is_late else ''}"
        lines.append(Line(person.name, person.name, words, is_late))
    return lines


def lines_found(found: Found, lines: list[Line]) -> list[Line]:
    """What a search found: the clients first, then the clips."""
    known = {line.client: line for line in lines}
    people = [known.get(one.name, Line(one.name, one.name)) for one in found.clients]
    newest = sorted(found.clips, key=lambda kept: kept.received_at, reverse=True)
    return people + [_clip_line(kept) for kept in newest[:_MOST_CLIPS]]


class ClientList(QListView):
    """Choosing a line opens the client's page; Enter gives it the keyboard."""

    wanted = pyqtSignal(object)
    """The Line that was chosen."""
    entered_page = pyqtSignal()
    """The person wants to go on to the page."""

    def __init__(self) -> None:
        super().__init__()
        self._lines = _Lines(self)
        self._dropping: int | None = None
        self.setModel(self._lines)
        self.setItemDelegate(_Painter(self))
        self.setUniformItemSizes(True)
        self.setAccessibleName("Clients")
        self.setFrameShape(QListView.Shape.NoFrame)
        self.setVerticalScrollMode(QListView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.clicked.connect(self._choose)
        look.look().changed.connect(self._restyle)

    def _restyle(self) -> None:
        self._lines.layoutChanged.emit()

    @property
    def lines(self) -> list[Line]:
        return self._lines.lines

    @property
    def dropping(self) -> int | None:
        """The row over which files are held."""
        return self._dropping

    def fill(self, lines: list[Line], chosen: str | None) -> None:
        """Show other lines; the place in the list is kept as far as it can be."""
        if lines != self._lines.lines:
            self._lines.replace(lines)
        self.mark(chosen)

    def mark(self, chosen: str | None) -> None:
        """Mark the client whose page is open."""
        current = self.currentIndex().row()
        if 0 <= current < len(self.lines) and self.lines[current].client == chosen:
            return
        place = next((n for n, line in enumerate(self.lines) if line.client == chosen), None)
        index = QModelIndex() if place is None else self._lines.index(place)
        self.setCurrentIndex(index)
        if place is None:
            self.clearSelection()

    def line_at(self, place: QPoint) -> Line | None:
        """The line at a place of this list."""
        index = self.indexAt(place)
        return self.lines[index.row()] if index.isValid() else None

    def hold_over(self, place: QPoint | None) -> None:
        """Show over which line files are held."""
        index = self.indexAt(place) if place is not None else QModelIndex()
        row = index.row() if index.isValid() else None
        if row != self._dropping:
            self._dropping = row
            viewport = self.viewport()
            if viewport is not None:
                viewport.update()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        before = self.currentIndex()
        if event is not None and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._choose(before)
            self.entered_page.emit()
            return
        super().keyPressEvent(event)
        if self.currentIndex() != before:
            self._choose(self.currentIndex())

    def choose_first(self) -> None:
        """Choose the first line."""
        if self.lines:
            self.setCurrentIndex(self._lines.index(0))
            self._choose(self.currentIndex())

    def _choose(self, index: QModelIndex) -> None:
        if index.isValid():
            self.wanted.emit(self.lines[index.row()])


class _Lines(QAbstractListModel):
    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.lines: list[Line] = []

    def replace(self, lines: list[Line]) -> None:
        self.beginResetModel()
        self.lines = lines
        self.endResetModel()

    def rowCount(self, parent: QModelIndex | None = None) -> int:  # noqa: N802 - Qt's name
        return 0 if parent is not None and parent.isValid() else len(self.lines)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> object:
        line = self.lines[index.row()]
        roles = Qt.ItemDataRole
        if role == roles.DisplayRole:
            return line.name
        if role in (roles.AccessibleTextRole, roles.ToolTipRole):
            return f"{line.name}: {line.words}" if line.words else line.name
        return None


class _Painter(QStyledItemDelegate):
    def __init__(self, view: ClientList) -> None:
        super().__init__(view)
        self._view = view

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:  # noqa: N802
        return QSize(look.space(8), look.space(2.7))

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        assert painter is not None
        line, colours = self._view.lines[index.row()], look.palette()
        flags = QStyle.StateFlag
        is_chosen = bool(option.state & flags.State_Selected)
        is_held = index.row() == self._view.dropping
        painter.save()
        if is_chosen or is_held or option.state & flags.State_MouseOver:
            painter.fillRect(option.rect, colours.colour("chosen"))
        if is_chosen or is_held:
            edge = QRect(option.rect)
            edge.setWidth(max(3, look.space(0.2)))
            painter.fillRect(edge, colours.colour("accent"))
        text = option.rect.adjusted(look.space(0.7), look.space(0.25), -look.space(0.4), 0)
        text.setHeight(look.space(1.15))
        if not line.words:
            text.moveTop(option.rect.center().y() - text.height() // 2)
        place = int(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        elide = Qt.TextElideMode.ElideRight
        painter.setFont(look.font(strong=line.clip_id is None))
        painter.setPen(colours.colour("ink"))
        name = painter.fontMetrics().elidedText(line.name, elide, text.width())
        painter.drawText(text, place, name)
        painter.setFont(look.font(0.9))
        painter.setPen(colours.colour("danger" if line.is_late else "quiet_ink"))
        words = f"\u25b2 {line.words}" if line.is_late else line.words
        words = painter.fontMetrics().elidedText(words, elide, text.width())
        painter.drawText(text.translated(0, look.space(1.05)), place, words)
        if option.state & flags.State_HasFocus and self._view.hasFocus():
            pen = painter.pen()
            pen.setColor(colours.colour("focus"))
            pen.setWidth(2)
            painter.setPen(pen)
            painter.drawRect(option.rect.adjusted(1, 1, -1, -1))
        painter.restore()


def _clip_line(kept: ReceivedClip) -> Line:
    where = week_words(kept.week, kept.topic)
    words = f"{kept.client}, {where}" if where else kept.client
    return Line(kept.client, kept.original_name, words, clip_id=kept.id)
