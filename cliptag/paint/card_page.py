"""The paper that the cards are printed on: its colours, its columns, and the caution's panel."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPainterPath, QPen

from cliptag.paint.shapes import paint_kind
from cliptag.paint.text import TextBlock, fit

PAPER: Final = "#F8F3EA"
FLOOR: Final = "#EFE5D3"
PANEL: Final = "#FFFDF9"
INK: Final = "#1F2C35"
QUIET_INK: Final = "#3C4852"
ACCENT: Final = "#104C48"

_SMALLEST_TEXT_PX: Final = 9
_CAUTION_UNITS: Final = 3.7
_LEAST_CAUTION_UNITS: Final = 3.3
_MAIN_COLUMN: Final = 0.59
_WIDEST_UPRIGHT: Final = 1.25
"""Wider than that, in heights, a card has room for two columns."""


@dataclass(frozen=True, slots=True)
class Page:
    """Where things stand on a card of ``width`` x ``height`` pixels.

    Upright, the caution stands at the foot; across, in a column of its own. The plumb line hangs
    at the side where reading starts, and the text stands beside it.
    """

    width: int
    height: int
    right_to_left: bool

    @property
    def unit(self) -> float:
        """A hundredth of the shorter side."""
        return min(self.width, self.height) / 100.0

    @property
    def is_upright(self) -> bool:
        return self.width <= _WIDEST_UPRIGHT * self.height

    @property
    def inside(self) -> QRectF:
        """The card without its margins."""
        x = max(7.0 * self.unit, 0.06 * self.width)
        y = max(7.0 * self.unit, 0.055 * self.height)
        return QRectF(x, y, self.width - 2.0 * x, self.height - 2.0 * y)

    @property
    def plumb_x(self) -> float:
        """Where the plumb line hangs."""
        inside, aside = self.inside, 1.4 * self.unit
        return inside.right() - aside if self.right_to_left else inside.left() + aside

    def text(self, caution: TextBlock | None) -> QRectF:
        """The room for the text beside the plumb line and clear of the caution."""
        room, beside = self.inside, 6.5 * self.unit
        if caution is not None and self.is_upright:
            room.setBottom(self.caution_panel(caution).top() - 4.0 * self.unit)
        if caution is not None and not self.is_upright:
            room.setWidth(_MAIN_COLUMN * room.width())
        if self.right_to_left:
            room.moveRight(self.inside.right())
            room.setRight(room.right() - beside)
        else:
            room.setLeft(room.left() + beside)
        return room

    def caution_block(self, words: str, most_height: float) -> TextBlock:
        """The caution laid out for its panel, at most so high; longer than that is cut short."""
        return fit(
            words,
            self.text_px(_CAUTION_UNITS),
            self.text_px(_LEAST_CAUTION_UNITS),
            self._panel_width - 11.0 * self.unit,
            most_height=most_height,
            right_to_left=self.right_to_left,
        )

    def caution_panel(self, block: TextBlock) -> QRectF:
        """The panel for a laid-out caution."""
        inside, height = self.inside, block.height + 5.0 * self.unit
        panel = QRectF(0.0, inside.bottom() - height, self._panel_width, height)
        if self.right_to_left or self.is_upright:
            panel.moveLeft(inside.left())
        else:
            panel.moveRight(inside.right())
        return panel

    def text_px(self, units: float) -> int:
        """A font size of so many units, never below what a font can be read at."""
        return max(_SMALLEST_TEXT_PX, round(units * self.unit))

    @property
    def _panel_width(self) -> float:
        inside = self.inside
        if self.is_upright:
            return inside.width()
        return (1.0 - _MAIN_COLUMN) * inside.width() - 4.0 * self.unit


def blank(page: Page) -> QImage:
    """An empty card."""
    image = QImage(QSize(page.width, page.height), QImage.Format.Format_RGB32)
    image.fill(QColor(PAPER))
    return image


def painter_on(image: QImage) -> QPainter:
    """A painter with smooth edges; end it before the image is used."""
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    return painter


def paint_ground(painter: QPainter, page: Page, plumb_bottom: float) -> None:
    """The floor, and the plumb line that hangs from the top edge down to ``plumb_bottom``."""
    floor = QPainterPath()
    radius = 1.6 * max(page.width, page.height)
    top = page.height * (0.8 if page.is_upright else 0.74)
    across = 0.3 if page.right_to_left else 0.7
    floor.addEllipse(QPointF(across * page.width, top + radius), radius, radius)
    painter.fillPath(floor, QColor(FLOOR))
    x, unit = page.plumb_x, page.unit
    painter.setPen(QPen(QColor(ACCENT), 0.35 * unit))
    painter.drawLine(QPointF(x, 0.0), QPointF(x, plumb_bottom))
    tip, shoulder = plumb_bottom + 2.8 * unit, plumb_bottom - 0.8 * unit
    bob = QPainterPath(QPointF(x, tip))
    for side in (-1.0, 1.0):
        bob.moveTo(QPointF(x, tip))
        bob.cubicTo(
            QPointF(x + side * 2.4 * unit, plumb_bottom + 0.6 * unit),
            QPointF(x + side * 1.4 * unit, shoulder),
            QPointF(x, shoulder),
        )
    painter.setPen(Qt.PenStyle.NoPen)
    painter.fillPath(bob, QColor(ACCENT))


def paint_caution(painter: QPainter, page: Page, block: TextBlock) -> None:
    """The caution on its panel."""
    panel, unit = page.caution_panel(block), page.unit
    outline = QPainterPath()
    outline.addRoundedRect(panel, 1.6 * unit, 1.6 * unit)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.fillPath(outline, QColor(PANEL))
    side = 1.15 * block.px
    line = block.height / block.line_count
    shape = QRectF(
        panel.left() + 2.6 * unit, panel.top() + 2.5 * unit + (line - side) / 2.0, side, side
    )
    x = panel.left() + 8.4 * unit
    if page.right_to_left:
        shape.moveRight(panel.right() - 2.6 * unit)
        x = panel.left() + 2.6 * unit
    paint_kind(painter, "care", shape)
    block.paint(painter, x, panel.top() + 2.5 * unit, QColor(INK))
