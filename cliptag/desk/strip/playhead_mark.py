"""The playhead on the strip: a line through all lanes, with its time and frame number."""

from __future__ import annotations

from collections.abc import Sequence
from functools import reduce

from PyQt6.QtCore import QLineF, QPointF, QRectF, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPen

from cliptag.desk.strip.clock import time_words
from cliptag.desk.strip.ruler import small_font
from cliptag.desk.strip.scene import Scene


class PlayheadMark:
    """Where the shown frame lies, and what it takes to paint that."""

    def __init__(
        self, scene: Scene, strip: QRectF, index: int, labels: Sequence[QRectF] = ()
    ) -> None:
        """``labels`` are the boxes of the axis' times; those under the tag are covered whole."""
        self._scene, self._strip = scene, strip
        time_us = int(scene.frames.times_us[index])
        self.words = f"{time_words(time_us)} · frame {index}"
        self._x = scene.axis.x_of(time_us)
        self._frame_px = self._frame_width(index, time_us)
        around = self.tag.adjusted(-0.5 * scene.em, 0.0, 0.5 * scene.em, 0.0)
        self._covered = [box for box in labels if box.intersects(around)]

    @property
    def tag(self) -> QRectF:
        """The box of the time, over the ruler, kept inside the strip."""
        em = self._scene.em
        metrics = QFontMetricsF(small_font(self._scene))
        # Digits differ in width in some fonts: the tag must not tremble while the clip plays.
        width = metrics.horizontalAdvance("0" * len(self.words)) + 0.9 * em
        left = min(max(self._x - width / 2, self._strip.left()), self._strip.right() - width)
        return QRectF(left, self._strip.top(), width, 1.25 * em)

    @property
    def box(self) -> QRectF:
        """All that it covers."""
        line = QRectF(self._x, self._strip.top(), max(self._frame_px, 1.0), self._strip.height())
        covered = reduce(QRectF.united, self._covered, self.tag)
        return line.united(covered).adjusted(-3.0, -3.0, 3.0, 3.0)

    def paint(self, painter: QPainter) -> None:
        scene, em = self._scene, self._scene.em
        accent = scene.colours.colour("accent")
        for box in self._covered:
            painter.fillRect(box, scene.colours.colour("ground"))
        right = scene.axis.left + scene.axis.width
        if scene.axis.left - 1.0 <= self._x <= right + 1.0:
            if self._frame_px > 3.0:
                wash = scene.colours.colour("accent")
                wash.setAlphaF(0.22)
                frame = QRectF(
                    QPointF(self._x, self.tag.bottom()),
                    QPointF(min(self._x + self._frame_px, right), self._strip.bottom()),
                )
                painter.fillRect(frame, wash)
            painter.setPen(QPen(scene.colours.colour("plate"), 4.0))
            line = QLineF(self._x, self.tag.bottom(), self._x, self._strip.bottom())
            painter.drawLine(line)
            painter.setPen(QPen(accent, 2.0))
            painter.drawLine(line)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(accent)
        painter.drawRoundedRect(self.tag, 0.3 * em, 0.3 * em)
        painter.setFont(small_font(scene))
        painter.setPen(scene.colours.colour("on_accent"))
        painter.drawText(self.tag, Qt.AlignmentFlag.AlignCenter, self.words)

    def _frame_width(self, index: int, time_us: int) -> float:
        times_us = self._scene.frames.times_us
        until_us = (
            int(times_us[index + 1])
            if index + 1 < len(times_us)
            else self._scene.frames.duration_us
        )
        return self._scene.axis.x_of(until_us) - self._scene.axis.x_of(time_us)
