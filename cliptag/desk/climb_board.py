"""The ladder: rungs from the feet on the ground up to the gaze, the surroundings beneath."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QLineF, QRect, QRectF, QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PyQt6.QtWidgets import QWidget

from cliptag.desk import look
from cliptag.desk.climb_figure import figure_width, paint_figure
from cliptag.desk.climb_rung import RungButton
from cliptag.desk.climb_rungs import Rung
from cliptag.review import BODY_REGIONS, SURROUNDING_REGIONS, Facing, Region

_LEAST_STEP_EM: Final = 1.3
_MOST_STEP_EM: Final = 2.3
_RAIL_EM: Final = 0.5
_GROUND_EM: Final = 0.9
_TOP_EM: Final = 0.5
_LADDER_LEFT: Final = 0.28
"""What the figure takes of the ladder's width."""


class LadderBoard(QWidget):
    """Lays the rungs out on a ladder with a figure beside it, both standing on the ground."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.rungs: dict[Region, RungButton] = {
            "whole": RungButton("whole", self, has_step=False),
            **{region: RungButton(region, self) for region in reversed(BODY_REGIONS)},
            **{region: RungButton(region, self, has_step=False) for region in SURROUNDING_REGIONS},
        }
        self._facing: Facing | None = None
        self._done: tuple[Region, ...] = ()
        self._here: Region | None = None

    def show_rungs(self, rungs: dict[Region, Rung], here: Region, facing: Facing | None) -> None:
        """Show the state of every region."""
        for region, button in self.rungs.items():
            button.show_rung(rungs[region], is_here=region == here)
        done = tuple(region for region, rung in rungs.items() if not rung.is_open)
        if (done, here, facing) != (self._done, self._here, self._facing):
            self._done, self._here, self._facing = done, here, facing
            self.update(self._figure.toAlignedRect())

    def neighbour(self, region: Region, up: int) -> RungButton:
        """The rung above (or below) one, as they are drawn; the ladder's ends stop."""
        order = list(self.rungs)
        place = order.index(region) - up
        return self.rungs[order[min(max(place, 0), len(order) - 1)]]

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        em = look.space()
        on_ladder = max(self.rungs[region].sizeHint().width() for region in BODY_REGIONS)
        beneath = max(self.rungs[region].sizeHint().width() for region in SURROUNDING_REGIONS)
        width = max((on_ladder + 2 * _RAIL_EM * em) / (1.0 - _LADDER_LEFT), 2 * beneath)
        height = (self._line_count * _LEAST_STEP_EM + _GROUND_EM + _TOP_EM) * em
        return QSize(round(width), round(height))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return self.sizeHint()

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        step, em = self._step, look.space()
        ladder = self._ladder
        self.rungs["whole"].setGeometry(0, 0, self.width(), round(step))
        left, right = round(ladder.left() + _RAIL_EM * em), round(ladder.right() - _RAIL_EM * em)
        for place, region in enumerate(reversed(BODY_REGIONS)):
            top = ladder.top() + _TOP_EM * em + place * step
            box = QRect(left, round(top), right - left, round(top + step) - round(top))
            self.rungs[region].setGeometry(box)
        ground = ladder.bottom() + _GROUND_EM * em
        half = self.width() / 2
        for place, region in enumerate(SURROUNDING_REGIONS):
            row, column = divmod(place, 2)
            around = QRectF(column * half, ground + row * step, half - 0.2 * em, step)
            self.rungs[region].setGeometry(around.toRect())

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours, em, ladder = look.palette(), look.space(), self._ladder
        paint_figure(painter, colours, self._figure, self._facing, self._done, self._here)
        pen = QPen(colours.colour("edge"), max(2.0, 0.16 * em))
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        inset = _RAIL_EM * em
        for x in (ladder.left() + inset, ladder.right() - inset):
            painter.drawLine(QLineF(x, ladder.top() + 0.2 * em, x, ladder.bottom()))
        self._paint_ground(painter)

    @property
    def _line_count(self) -> int:
        return 1 + len(BODY_REGIONS) + (len(SURROUNDING_REGIONS) + 1) // 2

    @property
    def _step(self) -> float:
        """From one rung to the next."""
        em = look.space()
        free = self.height() - (_GROUND_EM + _TOP_EM) * em
        return min(max(free / self._line_count, _LEAST_STEP_EM * em), _MOST_STEP_EM * em)

    @property
    def _ladder(self) -> QRectF:
        """From above the highest rung down to the ground."""
        left = _LADDER_LEFT * self.width()
        height = len(BODY_REGIONS) * self._step + _TOP_EM * look.space()
        return QRectF(left, self._step, self.width() - left, height)

    @property
    def _figure(self) -> QRectF:
        ladder = self._ladder
        height = min(ladder.height(), 100.0 * ladder.left() / figure_width(100.0))
        return QRectF(0.0, ladder.bottom() - height, ladder.left(), height)

    def _paint_ground(self, painter: QPainter) -> None:
        colours, em, y = look.palette(), look.space(), self._ladder.bottom()
        painter.setPen(QPen(colours.colour("ink"), max(1.5, 0.12 * em)))
        painter.drawLine(QLineF(0.0, y, self.width(), y))
        painter.setPen(QPen(colours.colour("edge"), 1.0))
        spacing = 0.55 * em
        for number in range(int(self.width() / spacing)):
            x = (number + 1) * spacing
            painter.drawLine(QLineF(x, y + 0.08 * em, x - 0.35 * em, y + 0.42 * em))
