"""One rung of the ladder: a button with the region's state, and a tick for 'looked at and fine'."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, QLineF, QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import (
    QEnterEvent,
    QFocusEvent,
    QFontMetricsF,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
)
from PyQt6.QtWidgets import QCheckBox, QPushButton, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.card.tips import KeyedTip
from cliptag.desk.climb_rungs import Rung
from cliptag.desk.fields import tick_path
from cliptag.paint import paint_kind
from cliptag.review import REGION_WORDS, Region

_STEPS: Final = {
    Qt.Key.Key_Up: 1,
    Qt.Key.Key_Down: -1,
}


class FineTick(QCheckBox):
    """Hollow while the region is open, a dot when it has notes, a tick when found fine."""

    def __init__(self, region: Region, parent: QWidget) -> None:
        super().__init__(parent)
        self._is_open = True
        name = f"{REGION_WORDS[region]} looked at and fine"
        self.setAccessibleName(name)
        KeyedTip(self, name, "fine")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def show_rung(self, rung: Rung) -> None:
        """Show the state without telling anyone."""
        self._is_open = rung.is_open
        self.setChecked(rung.is_fine)
        self.update()

    def hitButton(self, at: object) -> bool:  # noqa: N802 - Qt's name
        return True

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(1.25), look.space(1.25))

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours, em = look.palette(), look.space()
        centre, radius = QRectF(self.rect()).center(), 0.42 * em
        accent = colours.colour("accent")
        ring = accent if self.underMouse() or not self._is_open else colours.colour("edge")
        painter.setPen(QPen(ring, max(1.2, 0.1 * em)))
        painter.setBrush(accent if self.isChecked() else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(centre, radius, radius)
        if self.isChecked():
            pen = QPen(colours.colour("on_accent"), max(1.6, 0.13 * em))
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawPath(tick_path(centre, radius))
        elif not self._is_open:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(accent)
            painter.drawEllipse(centre, 0.45 * radius, 0.45 * radius)

    def enterEvent(self, event: QEnterEvent | None) -> None:  # noqa: N802 - Qt's name
        self.update()

    def leaveEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        self.update()


class RungButton(QPushButton):
    """A region's rung. The mouse steps through its notes; a key starts or opens one."""

    stepped = pyqtSignal()
    """Clicked with the mouse."""
    entered = pyqtSignal()
    """Pressed by a key, or by a screen reader."""
    climbed = pyqtSignal(int)
    """An arrow key: so many rungs up (or down)."""
    reached = pyqtSignal()
    """It got the keyboard."""

    def __init__(self, region: Region, parent: QWidget, *, has_step: bool = True) -> None:
        super().__init__(parent)
        self.region = region
        self._has_step = has_step
        self._is_here = False
        self._by_mouse = False
        self._rung = Rung(region, (), False, True)
        self._shown: tuple[str, bool] | None = None
        self.tick = FineTick(region, self)
        self.more = _More(region, self)
        self.setObjectName(f"rung_{region}")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(self._pressed)

    def show_rung(self, rung: Rung, *, is_here: bool) -> None:
        """Show the region's state; ``is_here``: it is the one that is looked at."""
        is_same = (rung.words, is_here) == self._shown
        self._rung, self._is_here = rung, is_here
        if is_same:
            return
        self._shown = (rung.words, is_here)
        self.tick.show_rung(rung)
        self.setAccessibleName(rung.words)
        doing = "Click to go to its notes" if rung.notes else "Click to write a note"
        self.setAccessibleDescription(doing)
        self.setToolTip(f"{rung.words}\n{doing}")
        # The Tab key stops at one rung only; arrows lead to the others.
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus if is_here else Qt.FocusPolicy.ClickFocus)
        self._show_more()
        self.update()

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        em = look.space()
        words = QFontMetricsF(look.font(strong=True)).horizontalAdvance(REGION_WORDS[self.region])
        notes = 3.45 if self._has_step else 1.25
        return QSize(round(words + (1.75 + notes) * em), round(1.3 * em))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return self.sizeHint()

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        em = look.space()
        self._paint_ground(painter, em)
        if self._has_step:
            self._paint_step(painter, em)
        left = self._paint_notes(painter, em)
        colours = look.palette()
        painter.setFont(look.font(strong=self._is_here))
        token = "quiet_ink" if self._rung.is_open and not self._is_here else "ink"
        painter.setPen(colours.colour(token))
        words = QRectF(1.75 * em, 0.0, left - 1.75 * em, self.height() - 0.12 * em)
        painter.drawText(
            words,
            Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft,
            QFontMetricsF(painter.font()).elidedText(
                REGION_WORDS[self.region], Qt.TextElideMode.ElideRight, words.width()
            ),
        )

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        side = look.space(1.25)
        top = (self.height() - side) // 2
        self.tick.setGeometry(look.space(0.15), top, side, side)
        self.more.setGeometry(self.width() - side, top, side, side)

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        self._by_mouse = True
        super().mouseReleaseEvent(event)
        self._by_mouse = False

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None:
            return
        key = Qt.Key(event.key())
        if key in _STEPS:
            self.climbed.emit(_STEPS[key])
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.entered.emit()
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent | None) -> bool:
        # Up and down climb while a rung has the keyboard, whatever they do elsewhere.
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and event.key() in _STEPS
            and event.modifiers() == Qt.KeyboardModifier.NoModifier
        ):
            event.accept()
            return True
        return super().event(event)

    def focusInEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusInEvent(event)
        self.reached.emit()
        self._show_more()

    def focusOutEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusOutEvent(event)
        self._show_more()

    def enterEvent(self, event: QEnterEvent | None) -> None:  # noqa: N802 - Qt's name
        super().enterEvent(event)
        self._show_more()

    def leaveEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        super().leaveEvent(event)
        self._show_more()

    def _pressed(self) -> None:
        (self.stepped if self._by_mouse else self.entered).emit()

    def _show_more(self) -> None:
        self.more.setVisible(self.underMouse() or self.hasFocus())

    def _paint_ground(self, painter: QPainter, em: float) -> None:
        colours = look.palette()
        box = QRectF(self.rect()).adjusted(1.0, 1.0, -1.0, -0.2 * em)
        if self._is_here or self.underMouse():
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(colours.colour("chosen" if self._is_here else "plate"))
            painter.drawRoundedRect(box, 0.3 * em, 0.3 * em)
        if self.hasFocus():
            painter.setPen(QPen(colours.colour("focus"), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(box, 0.3 * em, 0.3 * em)

    def _paint_step(self, painter: QPainter, em: float) -> None:
        """The step one stands on: it fills with the accent once the region was looked at."""
        is_done = not self._rung.is_open
        colour = look.palette().colour("accent" if is_done else "edge")
        if not is_done:
            colour.setAlphaF(0.55)
        painter.setPen(QPen(colour, max(1.5, (0.16 if is_done else 0.08) * em)))
        y = self.height() - 0.08 * em
        painter.drawLine(QLineF(0.0, y, self.width(), y))

    def _paint_notes(self, painter: QPainter, em: float) -> float:
        """The shapes of its notes' kinds and their number, at the right; gives where they start."""
        # On the ladder the shapes stand in a column, whether or not there is a plus beside them.
        has_plus = self._has_step or not self.more.isHidden()
        right = self.width() - (1.5 if has_plus else 0.2) * em
        if not self._rung.notes:
            return right
        middle = self.height() / 2 - 0.06 * em
        count = str(len(self._rung.notes))
        if len(self._rung.notes) > 1:
            font = look.font(0.85)
            width = QFontMetricsF(font).horizontalAdvance(count)
            painter.setFont(font)
            painter.setPen(look.palette().colour("quiet_ink"))
            box = QRectF(right - width, middle - em / 2, width, em)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, count)
            right -= width + 0.3 * em
        side = 0.8 * em
        for kind in reversed(self._rung.kinds):
            right -= side
            paint_kind(painter, kind, QRectF(right, middle - side / 2, side, side))
            right -= 0.12 * em
        return right


class _More(QToolButton):
    """A plus that starts a further note of the region."""

    def __init__(self, region: Region, parent: QWidget) -> None:
        super().__init__(parent)
        name = f"New note on {REGION_WORDS[region].lower()} at this frame"
        self.setAccessibleName(name)
        KeyedTip(self, name, "new_note")
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setVisible(False)

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        em = look.space()
        centre, reach = QRectF(self.rect()).center(), 0.3 * em
        token = "accent" if self.underMouse() else "quiet_ink"
        pen = QPen(look.palette().colour(token), max(1.6, 0.12 * em))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        for x, y in ((reach, 0.0), (0.0, reach)):
            painter.drawLine(centre - QPointF(x, y), centre + QPointF(x, y))
