"""Choosing a note's kind by shape and word."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, get_args

from PyQt6.QtCore import QPoint, QRectF, QSize, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import QButtonGroup, QHBoxLayout, QRadioButton, QWidget

from cliptag.desk import look
from cliptag.desk.card.tips import KeyedTip
from cliptag.paint import paint_kind
from cliptag.review import KIND_WORDS, Kind

KINDS: Final[tuple[Kind, ...]] = get_args(Kind)


class KindChooser(QWidget):
    """The five kinds side by side; the arrow keys move between them."""

    def __init__(self, choose: Callable[[Kind], object], parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Kind of note")
        self._group = QButtonGroup(self)
        self._layout = QHBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self.buttons: dict[Kind, KindButton] = {}
        for number, kind in enumerate(KINDS):
            button = self.buttons[kind] = KindButton(kind, self)
            self._group.addButton(button, number)
            self._layout.addWidget(button, 1)
        self._group.idToggled.connect(
            lambda number, is_on: choose(KINDS[number]) if is_on else None
        )

    def show_kind(self, kind: Kind) -> None:
        """Show which kind the note is of."""
        was_blocked = self._group.blockSignals(True)
        self.buttons[kind].setChecked(True)
        self._group.blockSignals(was_blocked)


class KindButton(QRadioButton):
    """A kind: its shape over its word."""

    def __init__(self, kind: Kind, parent: QWidget) -> None:
        super().__init__(parent)
        self._kind = kind
        self.setAccessibleName(KIND_WORDS[kind])
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        # A click must not take the keyboard from the text: letters would be commands then.
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        KeyedTip(self, KIND_WORDS[kind], f"kind_{kind}")

    def hitButton(self, at: QPoint) -> bool:  # noqa: N802 - Qt's name
        return self.rect().contains(at)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        words = QFontMetricsF(look.font(0.85)).horizontalAdvance(KIND_WORDS[self._kind])
        return QSize(round(words + 0.7 * look.space()), look.space(2.7))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours, em = look.palette(), look.space()
        box = QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -1.0)
        painter.setPen(Qt.PenStyle.NoPen)
        if self.isChecked() or self.underMouse():
            painter.setBrush(colours.colour("chosen" if self.isChecked() else "ground"))
        else:
            painter.setBrush(Qt.BrushStyle.NoBrush)
        if self.hasFocus():
            painter.setPen(QPen(colours.colour("focus"), 2.0))
        elif self.isChecked():
            painter.setPen(QPen(colours.colour("accent"), 1.0))
        painter.drawRoundedRect(box, 0.3 * em, 0.3 * em)
        side = 1.05 * em
        shape = QRectF(box.center().x() - side / 2, box.top() + 0.28 * em, side, side)
        paint_kind(painter, self._kind, shape, colours.colour("plate"))
        painter.setFont(look.font(0.85, strong=self.isChecked()))
        painter.setPen(colours.colour("ink"))
        words = QRectF(box.left(), shape.bottom(), box.width(), box.bottom() - shape.bottom())
        painter.drawText(words, Qt.AlignmentFlag.AlignCenter, KIND_WORDS[self._kind])
