"""A person from the side who holds a load, drawn from places in metres.

x is forward, y up; the person faces right.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QPainter, QPainterPath, QPen

from cliptag.paint.card_page import ACCENT, INK, PANEL, QUIET_INK
from cliptag.paint.text import clean_line, lay_out
from cliptag.paint.typefaces import STRONG

BODY: Final = "#7C8B93"
ARM: Final = "#55656E"
LOAD: Final = "#B5540A"
"""Vermillion of the palette, darkened so that white and paper stand out from it by 4.5 to 1."""

_LOAD_SIDE_M: Final = 0.30
_ANKLE_M: Final = 0.09
_HEAD_M: Final = 0.105


@dataclass(frozen=True, slots=True)
class At:
    """A place in metres."""

    x: float
    y: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """The body above the low back as it was measured or drawn, and the length of its parts."""

    low_back: At
    neck: At
    ear: At
    shoulder: At
    upper_arm_m: float
    forearm_m: float

    @property
    def hip(self) -> At:
        """Below the low back, along the trunk."""
        dx, dy = self.low_back.x - self.neck.x, self.low_back.y - self.neck.y
        return At(self.low_back.x + 0.28 * dx, self.low_back.y + 0.28 * dy)

    @property
    def leg_m(self) -> float:
        """Thigh, and shank: about as long as the trunk is from low back to neck, each."""
        return 0.92 * math.hypot(self.neck.x - self.low_back.x, self.neck.y - self.low_back.y)


def ground(figure: Figure, loads: Iterable[At]) -> float:
    """The height of the floor: under legs that are a little bent, and not above a load's bottom."""
    standing = figure.hip.y - 1.88 * figure.leg_m - _ANKLE_M
    return min(standing, min(load.y for load in loads) - _LOAD_SIDE_M / 2)


def extent(figure: Figure, loads: Iterable[At]) -> QRectF:
    """All that is drawn, in metres with y up: left, floor, width, height."""
    loads = tuple(loads)
    floor = ground(figure, loads)
    left = min(figure.hip.x - 0.12, _ankle_x(figure) - 0.2)
    right = max(figure.ear.x + _HEAD_M, *(load.x + _LOAD_SIDE_M / 2 for load in loads)) + 0.05
    return QRectF(left, floor, right - left, _arrow_y(figure) + 0.16 - floor)


@dataclass(frozen=True, slots=True)
class View:
    """From metres to pixels."""

    px_per_m: float
    left_px: float
    bottom_px: float
    left_m: float
    right_m: float
    floor_m: float

    def at(self, place: At) -> QPointF:
        """A place on the picture."""
        return QPointF(
            self.left_px + (place.x - self.left_m) * self.px_per_m,
            self.bottom_px - (place.y - self.floor_m) * self.px_per_m,
        )

    def px(self, metres: float) -> float:
        """A length on the picture."""
        return metres * self.px_per_m


def view_of(box: QRectF, room: QRectF) -> View:
    """The largest view of ``box`` (metres, y up) that fits a room, standing on its floor."""
    scale = min(room.width() / box.width(), room.height() / box.height())
    left = room.left() + (room.width() - scale * box.width()) / 2
    return View(scale, left, room.bottom(), box.left(), box.right(), box.top())


def paint_figure(
    painter: QPainter, view: View, figure: Figure, load: At, words: str, text_px: int
) -> None:
    """The person with the load; ``words`` tell how far it is from the low back."""
    hip, floor = figure.hip, view.floor_m
    ankle = At(_ankle_x(figure), floor + _ANKLE_M)
    leg_m = max(figure.leg_m, 0.505 * math.hypot(ankle.x - hip.x, ankle.y - hip.y))
    knee = _bent(hip, ankle, leg_m, leg_m, forward=True)
    hand = At(load.x, load.y + _LOAD_SIDE_M / 2 - 0.03)
    elbow = _bent(figure.shoulder, hand, figure.upper_arm_m, figure.forearm_m, forward=False)
    painter.setPen(QPen(QColor(QUIET_INK), view.px(0.012)))
    painter.drawLine(
        view.at(At(view.left_m - 0.02, floor)), view.at(At(view.right_m + 0.02, floor))
    )
    foot = (At(ankle.x - 0.05, floor + 0.03), At(ankle.x + 0.17, floor + 0.03))
    _limb(painter, view, foot, 0.055, BODY)
    _limb(painter, view, (hip, knee, ankle), 0.11, BODY)
    _paint_load(painter, view, load)
    _limb(painter, view, (hip, figure.low_back, figure.neck), 0.165, BODY)
    _limb(painter, view, (figure.neck, figure.ear), 0.085, BODY)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(BODY))
    painter.drawEllipse(view.at(figure.ear), view.px(_HEAD_M), view.px(_HEAD_M))
    _limb(painter, view, (figure.shoulder, elbow, hand), 0.085, PANEL)
    _limb(painter, view, (figure.shoulder, elbow, hand), 0.06, ARM)
    _paint_arrow(painter, view, figure, load, words, text_px)


def _paint_load(painter: QPainter, view: View, load: At) -> None:
    side = view.px(_LOAD_SIDE_M)
    middle = view.at(load)
    box = QRectF(middle.x() - side / 2, middle.y() - side / 2, side, side)
    painter.setPen(QPen(QColor(PANEL), view.px(0.014)))
    painter.setBrush(QColor(LOAD))
    painter.drawRoundedRect(box, 0.08 * side, 0.08 * side)
    painter.setPen(QPen(QColor(PANEL), view.px(0.012)))
    for part in (1 / 3, 2 / 3):
        y = box.top() + part * side
        painter.drawLine(QPointF(box.left(), y), QPointF(box.right(), y))


def _paint_arrow(
    painter: QPainter, view: View, figure: Figure, load: At, words: str, text_px: int
) -> None:
    """The level distance from the low back to the load's middle, above the person."""
    start, end = view.at(figure.low_back), view.at(load)
    y = view.at(At(0.0, _arrow_y(figure))).y()
    radius, tip = view.px(0.036), view.px(0.055)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(ACCENT), view.px(0.011), Qt.PenStyle.DashLine))
    for place in (start, end):
        painter.drawLine(QPointF(place.x(), y), place)
    painter.setPen(QPen(QColor(ACCENT), view.px(0.02)))
    painter.drawLine(QPointF(start.x() + tip, y), QPointF(end.x() - tip, y))
    for x, way in ((start.x(), 1), (end.x(), -1)):
        head = QPainterPath(QPointF(x, y))
        head.lineTo(x + way * 1.2 * tip, y - 0.6 * tip)
        head.lineTo(x + way * 1.2 * tip, y + 0.6 * tip)
        head.closeSubpath()
        painter.fillPath(head, QColor(ACCENT))
    painter.setPen(QPen(QColor(PANEL), view.px(0.014)))
    painter.setBrush(QColor(ACCENT))
    for place in (start, end):
        painter.drawEllipse(place, radius, radius)
    block = lay_out(clean_line(words), text_px, view.px(view.right_m - view.left_m), weight=STRONG)
    x = (start.x() + end.x() - block.ink_width) / 2
    block.paint(painter, x, y - block.height - view.px(0.02), QColor(INK))


def _arrow_y(figure: Figure) -> float:
    """Clear of the head and the trunk."""
    highest = max(figure.ear.y + _HEAD_M, figure.low_back.y + 0.09, figure.shoulder.y + 0.09)
    return highest + 0.07


def _ankle_x(figure: Figure) -> float:
    """Under the weight: below a place between hip and shoulder, nearer to the hip."""
    return figure.hip.x + 0.3 * (figure.shoulder.x - figure.hip.x)


def _towards(start: At, end: At, part: float) -> At:
    return At(start.x + part * (end.x - start.x), start.y + part * (end.y - start.y))


def _bent(start: At, end: At, first_m: float, second_m: float, *, forward: bool) -> At:
    """The joint between two parts that reach from start to end; straight where they are short."""
    dx, dy = end.x - start.x, end.y - start.y
    reach = max(math.hypot(dx, dy), 1e-6)
    if reach >= first_m + second_m:
        return _towards(start, end, first_m / (first_m + second_m))
    along = (first_m**2 - second_m**2 + reach**2) / (2 * reach)
    aside = math.sqrt(max(0.0, first_m**2 - along**2))
    way = 1.0 if forward == (dy < 0) else -1.0
    return At(
        start.x + (along * dx - way * aside * dy) / reach,
        start.y + (along * dy + way * aside * dx) / reach,
    )


def _limb(
    painter: QPainter, view: View, places: tuple[At, ...], width_m: float, colour: str
) -> None:
    path = QPainterPath(view.at(places[0]))
    for place in places[1:]:
        path.lineTo(view.at(place))
    pen = QPen(QColor(colour), view.px(width_m))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(path, pen)
