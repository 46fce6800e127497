"""The paper that both cards are printed on: colours, margins, and the caution at its foot."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPainterPath, QPen

from cliptag.paint.shapes import paint_kind
from cliptag.paint.sizes import Sizes
from cliptag.paint.text import TextBlock

PAPER: Final = "#F8F3EA"
FLOOR: Final = "#EFE6D7"
PANEL: Final = "#FFFDF9"
INK: Final = "#1F2C35"
QUIET_INK: Final = "#43505A"
ACCENT: Final = "#12544F"

CAUTION_UNITS: Final = 3.4
LEAST_CAUTION_UNITS: Final = 3.0


@dataclass(frozen=True, slots=True)
class Page:
    """Margins of a card; ``text`` is the room for text, in pixels of the card."""

    sizes: Sizes
    right_to_left: bool

    @property
    def unit(self) -> float:
        return self.sizes.unit

    @property
    def margin_x(self) -> float:
        return max(7.0 * self.unit, 0.07 * self.sizes.picture_width)

    @property
    def margin_y(self) -> float:
        return max(6.0 * self.unit, 0.07 * self.sizes.picture_height)

    @property
    def text(self) -> QRectF:
        """Beside the plumb line, which hangs at the side where reading starts."""
        box = self.sizes.picture.adjusted(
            self.margin_x, self.margin_y, -self.margin_x, -self.margin_y
        )
        beside = 6.0 * self.unit
        return (
            box.adjusted(0.0, 0.0, -beside, 0.0)
            if self.right_to_left
            else box.adjusted(beside, 0.0, 0.0, 0.0)
        )

    @property
    def caution_width(self) -> float:
        """The room for the caution's text, beside its shape on its panel."""
        return self.sizes.picture_width - 2.0 * self.margin_x - 11.0 * self.unit

    def caution_panel(self, block: TextBlock) -> QRectF:
        """The panel at the foot of the page for a laid-out caution."""
        height = block.height + 5.0 * self.unit
        bottom = self.sizes.picture_height - self.margin_y
        return QRectF(
            self.margin_x,
            bottom - height,
            self.sizes.picture_width - 2.0 * self.margin_x,
            height,
        )

    def blank(self) -> QImage:
        """An empty page."""
        image = QImage(
            QSize(self.sizes.picture_width, self.sizes.picture_height), QImage.Format.Format_RGB32
        )
        image.fill(QColor(PAPER))
        return image

    def paint_ground(self, painter: QPainter, plumb_bottom: float) -> None:
        """The floor, and the plumb line that hangs from the top down to ``plumb_bottom``."""
        width, height = self.sizes.picture_width, self.sizes.picture_height
        floor = QPainterPath()
        floor.addEllipse(QPointF(0.62 * width, height + 1.05 * width), 1.35 * width, 1.35 * width)
        painter.fillPath(floor, QColor(FLOOR))
        x = self.margin_x + 1.2 * self.unit
        if self.right_to_left:
            x = width - x
        painter.setPen(QPen(QColor(ACCENT), 0.35 * self.unit))
        painter.drawLine(QPointF(x, 0.0), QPointF(x, plumb_bottom))
        bob = QPainterPath(QPointF(x, plumb_bottom + 2.6 * self.unit))
        bob.cubicTo(
            QPointF(x - 2.2 * self.unit, plumb_bottom + 0.6 * self.unit),
            QPointF(x - 1.3 * self.unit, plumb_bottom - 0.8 * self.unit),
            QPointF(x, plumb_bottom - 0.8 * self.unit),
        )
        bob.cubicTo(
            QPointF(x + 1.3 * self.unit, plumb_bottom - 0.8 * self.unit),
            QPointF(x + 2.2 * self.unit, plumb_bottom + 0.6 * self.unit),
            QPointF(x, plumb_bottom + 2.6 * self.unit),
        )
        painter.fillPath(bob, QColor(ACCENT))

    def paint_caution(self, painter: QPainter, block: TextBlock) -> None:
        """The caution on its panel at the foot of the page."""
        panel = self.caution_panel(block)
        outline = QPainterPath()
        outline.addRoundedRect(panel, 1.6 * self.unit, 1.6 * self.unit)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.fillPath(outline, QColor(PANEL))
        side = 4.2 * self.unit
        shape = QRectF(panel.left() + 2.6 * self.unit, panel.top() + 2.5 * self.unit, side, side)
        x = panel.left() + 8.6 * self.unit
        if self.right_to_left:
            shape.moveRight(panel.right() - 2.6 * self.unit)
            x = panel.left() + 2.4 * self.unit
        paint_kind(painter, "care", shape)
        block.paint(painter, x, panel.top() + 2.5 * self.unit, QColor(INK))


def painter_on(image: QImage) -> QPainter:
    """A painter with smooth edges; end it before the image is used."""
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
    return painter
