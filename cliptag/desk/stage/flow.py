"""A layout that sets widgets one after the other and starts a new row when one is full."""

from __future__ import annotations

from PyQt6.QtCore import QPoint, QRect, QSize
from PyQt6.QtWidgets import QLayout, QLayoutItem, QWidget


class FlowLayout(QLayout):
    """Rows from the top, each as high as its highest widget, everything in its middle."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self.row_gap = 2
        """Between one row and the next, in pixels."""

    def addItem(self, item: QLayoutItem | None) -> None:  # noqa: N802 - Qt's name
        if item is not None:
            self._items.append(item)

    def count(self) -> int:
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # noqa: N802 - Qt's name
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # noqa: N802 - Qt's name
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def hasHeightForWidth(self) -> bool:  # noqa: N802 - Qt's name
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802 - Qt's name
        inside = QRect(0, 0, width, 0).marginsRemoved(self.contentsMargins())
        return self._arrange(inside, is_real=False) + width - inside.width()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """All in one row."""
        sizes = [item.sizeHint() for item in self._shown()]
        width = sum(size.width() for size in sizes) + self.spacing() * max(0, len(sizes) - 1)
        height = max((size.height() for size in sizes), default=0)
        margins = self.contentsMargins()
        return QSize(
            width + margins.left() + margins.right(), height + margins.top() + margins.bottom()
        )

    def minimumSize(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(0, 0)

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802 - Qt's name
        super().setGeometry(rect)
        self._arrange(rect.marginsRemoved(self.contentsMargins()), is_real=True)

    def _shown(self) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty()]

    def _arrange(self, rect: QRect, is_real: bool) -> int:
        """Set the rows into a rectangle, or only count; gives their height."""
        y, gap = rect.top(), max(0, self.spacing())
        for row in self._rows(rect.width(), gap):
            height = max(size.height() for _, size in row)
            x = rect.left()
            for item, size in row:
                if is_real:
                    corner = QPoint(x, y + (height - size.height()) // 2)
                    item.setGeometry(QRect(corner, size))
                x += size.width() + gap
            y += height + self.row_gap
        return max(0, y - self.row_gap - rect.top())

    def _rows(self, width: int, gap: int) -> list[list[tuple[QLayoutItem, QSize]]]:
        rows: list[list[tuple[QLayoutItem, QSize]]] = []
        room = -1
        for item in self._shown():
            size = item.sizeHint()
            if size.width() > width > 0:
                height = item.heightForWidth(width) if item.hasHeightForWidth() else size.height()
                size = QSize(width, height)
            if size.width() > room:
                rows.append([])
                room = width
            rows[-1].append((item, size))
            room -= size.width() + gap
        return rows
