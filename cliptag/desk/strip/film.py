"""The lane of small pictures, so that a place in the clip is found by eye."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from PyQt6.QtCore import QRectF
from PyQt6.QtGui import QPainter, QPen

from cliptag.desk.strip.scene import Lane, Scene

_LEAST_ASPECT: Final = 0.5
_MOST_ASPECT: Final = 2.0


class FilmLane(Lane):
    """One picture beside the other, each of a frame in the middle of the time that it covers."""

    def height_em(self) -> float:
        return 2.5

    def paint(self, painter: QPainter, scene: Scene, box: QRectF) -> None:
        first = scene.preview_near(0)
        if first is None or first.isNull():
            return
        box = box.adjusted(0.0, 0.12 * scene.em, 0.0, -0.12 * scene.em)
        aspect = min(max(first.width() / first.height(), _LEAST_ASPECT), _MOST_ASPECT)
        painter.save()
        painter.setClipRect(box)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        for cell, time_us in _cells(scene, box, aspect * box.height()):
            image = scene.preview_near(scene.frames.index_at(time_us))
            if image is not None:
                painter.drawImage(cell, image, _middle_of(image.width(), image.height(), cell))
        painter.setPen(QPen(scene.colours.colour("well"), 1.0))
        for cell, _ in _cells(scene, box, aspect * box.height()):
            painter.drawLine(cell.topLeft(), cell.bottomLeft())
        painter.restore()


def _cells(scene: Scene, box: QRectF, width: float) -> Iterator[tuple[QRectF, float]]:
    """Cells that keep their place in the clip when it is scrolled, with their middle times."""
    each_us = width * scene.axis.us_per_px
    first, last = (
        math.floor(time_us / each_us) for time_us in (scene.axis.start_us, scene.axis.end_us)
    )
    end_x = scene.axis.x_of(scene.axis.duration_us)
    for number in range(first, last + 1):
        left = scene.axis.x_of(number * each_us)
        right = min(left + width, end_x)
        if right - left >= 1.0:
            middle_us = (number + 0.5) * each_us
            cell = QRectF(left, box.top(), right - left, box.height())
            yield cell, min(middle_us, scene.axis.duration_us)


def _middle_of(width: int, height: int, cell: QRectF) -> QRectF:
    """The part of a picture that fills a cell without being stretched."""
    scale = max(cell.width() / width, cell.height() / height)
    seen_width, seen_height = cell.width() / scale, cell.height() / scale
    return QRectF((width - seen_width) / 2, (height - seen_height) / 2, seen_width, seen_height)
