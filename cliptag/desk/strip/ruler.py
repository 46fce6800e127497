"""The lane of times: ticks, round times, and the stretch that is played again and again."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QFont, QFontMetricsF, QPainter, QPen

from cliptag.desk.strip.scene import Lane, Scene
from cliptag.desk.strip.ticks import Tick, ticks_of

SMALL_TEXT: Final = 0.82
"""The size of times and words on the strip, of the text's."""


def small_font(scene: Scene) -> QFont:
    """The font of times and words on the strip."""
    font = QFont(scene.font)
    font.setPointSizeF(font.pointSizeF() * SMALL_TEXT)
    return font


class RulerLane(Lane):
    """Ticks at the lower edge, with the times that are round above them."""

    def height_em(self) -> float:
        return 1.7

    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        if scene.loop_us is not None:
            self._paint_loop(painter, scene, box, *scene.loop_us)
        painter.setPen(QPen(scene.colours.colour("edge"), 1.0))
        for tick in self._ticks(scene):
            x = scene.axis.x_of(tick.at_us)
            length = (0.42 if tick.words else 0.2) * scene.em
            painter.drawLine(QLineF(x, box.bottom() - length, x, box.bottom()))
        painter.setFont(small_font(scene))
        painter.setPen(scene.colours.colour("quiet_ink"))
        for words, where in self._labels(scene, box):
            painter.drawText(where, Qt.AlignmentFlag.AlignCenter, words)

    def paint_behind(self, painter: QPainter, scene: Scene, below: QRectF) -> None:
        if scene.loop_us is None:
            return
        start_x, end_x = (scene.axis.x_of(time_us) for time_us in scene.loop_us)
        wash = scene.colours.colour("accent")
        wash.setAlphaF(0.12)
        top = below.top() + self.height_em() * scene.em
        painter.fillRect(QRectF(start_x, top, end_x - start_x, below.bottom() - top), wash)

    def label_boxes(self, scene: Scene, box: QRectF) -> list[QRectF]:
        """Where times are written."""
        return [where for _, where in self._labels(scene, box)]

    def _ticks(self, scene: Scene) -> tuple[Tick, ...]:
        widest = QFontMetricsF(small_font(scene)).horizontalAdvance("00:00.000")
        return ticks_of(scene.axis, widest + 1.2 * scene.em)

    def _labels(self, scene: Scene, box: QRectF) -> Iterator[tuple[str, QRectF]]:
        metrics = QFontMetricsF(small_font(scene))
        for tick in self._ticks(scene):
            if tick.words:
                width = metrics.horizontalAdvance(tick.words) + 2.0
                left = scene.axis.x_of(tick.at_us) - width / 2
                left = min(max(left, box.left()), box.right() - width)
                yield tick.words, QRectF(left, box.top(), width, 1.2 * scene.em)

    def _paint_loop(
        self, painter: QPainter, scene: Scene, box: QRectF, start_us: int, end_us: int
    ) -> None:
        """A bracket over the stretch."""
        left, right = scene.axis.x_of(start_us), scene.axis.x_of(end_us)
        top, foot = box.bottom() - 0.5 * scene.em, box.bottom()
        pen = QPen(scene.colours.colour("accent"), max(2.0, 0.14 * scene.em))
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        painter.drawPolyline(
            QPointF(left, foot), QPointF(left, top), QPointF(right, top), QPointF(right, foot)
        )
