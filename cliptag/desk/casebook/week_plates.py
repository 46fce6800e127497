"""A programme's weeks as a row of plates, each with what it brought."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PyQt6.QtCore import QRectF, QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import QAbstractButton, QWidget

from cliptag.casebook import WeekStanding
from cliptag.desk import look
from cliptag.desk.casebook.pieces import empty_out
from cliptag.desk.casebook.signs import paint_sign, week_words_of
from cliptag.desk.stage.flow import FlowLayout

_WIDE: Final = 6.4
_HIGH: Final = 4.1


class WeekPlate(QAbstractButton):
    """One week: its number, what it is about, and how far it is."""

    def __init__(self, week: WeekStanding, *, is_now: bool) -> None:
        super().__init__()
        self.week, self._is_now = week, is_now
        state = week_words_of(week.state, week.is_late)
        now = ", this week" if is_now else ""
        self.setAccessibleName(f"Week {week.week}{now}, {week.topic}: {state}")
        what = "show its clips" if week.clips else "add clips to it"
        self.setToolTip(f"Week {week.week}, {week.topic}: {state}; press to {what}")
        self.setObjectName(f"week {week.week}")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(_WIDE), look.space(_HIGH))

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter, colours = QPainter(self), look.palette()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        line = look.space(1.15)
        box = QRectF(self.rect()).adjusted(1.5, 1.5, -1.5, -1.5)
        has_ring = self.hasFocus()
        edge = "focus" if has_ring else "accent" if self._is_now else "hairline"
        painter.setPen(QPen(colours.colour(edge), 2.0 if has_ring or self._is_now else 1.0))
        painter.setBrush(colours.colour("chosen" if self.underMouse() else "plate"))
        painter.drawRoundedRect(box, look.space(0.25), look.space(0.25))
        inside = box.adjusted(look.space(0.4), look.space(0.25), -look.space(0.3), 0)
        flags = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        rows = [QRectF(inside.x(), inside.y() + n * line, inside.width(), line) for n in range(3)]
        painter.setFont(look.font(strong=True))
        painter.setPen(colours.colour("ink"))
        painter.drawText(rows[0], int(flags), f"Week {self.week.week}")
        painter.setFont(look.font())
        painter.setPen(colours.colour("quiet_ink"))
        metrics = painter.fontMetrics()
        elide = Qt.TextElideMode.ElideRight
        painter.drawText(
            rows[1], int(flags), metrics.elidedText(self.week.topic, elide, int(inside.width()))
        )
        self._paint_state(painter, rows[2], int(flags))

    def _paint_state(self, painter: QPainter, row: QRectF, flags: int) -> None:
        is_late = self.week.is_late
        side = 0.8 * row.height()
        sign = QRectF(row.x(), row.center().y() - side / 2, side, side)
        paint_sign(painter, sign, self.week.state, is_late=is_late)
        painter.setFont(look.font(0.86))
        painter.setPen(look.palette().colour("danger" if is_late else "ink"))
        words = row.adjusted(side + look.space(0.25), 0, 0, 0)
        text = week_words_of(self.week.state, False)
        painter.drawText(words, flags, f"{text} \u25b2" if is_late else text)


class WeekPlates(QWidget):
    """All weeks, over as many rows as they need."""

    def __init__(self, choose: Callable[[WeekStanding], object]) -> None:
        super().__init__()
        self._choose = choose
        self._flow = FlowLayout(self)
        self._flow.setContentsMargins(0, 0, 0, 0)
        self.setAccessibleName("Weeks of the programme")

    def fill(self, weeks: Sequence[WeekStanding], now: int | None) -> None:
        """Show other weeks; ``now`` is the number of the present one."""
        empty_out(self._flow)
        for week in weeks:
            plate = WeekPlate(week, is_now=week.week == now)
            plate.clicked.connect(lambda _checked, week=week: self._choose(week))
            self._flow.addWidget(plate)
            plate.show()
        self._flow.invalidate()
        self.updateGeometry()

    def plate_at(self, x: int, y: int) -> WeekPlate | None:
        """The plate at a place of this widget."""
        child = self.childAt(x, y)
        return child if isinstance(child, WeekPlate) else None
