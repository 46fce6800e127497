"""The strip's picture without the playhead, painted once and kept until it changes."""

from __future__ import annotations

from PyQt6.QtCore import QRectF, QSizeF
from PyQt6.QtGui import QPainter, QPixmap

from cliptag.desk.strip.bands import Bands
from cliptag.desk.strip.scene import Scene


class KeptPicture:
    """So that a playhead that moves costs one line, however many notes there are."""

    def __init__(self) -> None:
        self._pixmap: QPixmap | None = None

    def drop(self) -> None:
        """What it shows has changed."""
        self._pixmap = None

    def paint(
        self, painter: QPainter, scene: Scene, bands: Bands, strip: QRectF, size: QSizeF
    ) -> None:
        """Paint the lanes at (0, 0) of a strip widget of ``size``."""
        if self._pixmap is None:
            device = painter.device()
            ratio = 1.0 if device is None else device.devicePixelRatioF()
            self._pixmap = _painted(scene, bands, strip, size, ratio)
        painter.drawPixmap(0, 0, self._pixmap)


def _painted(scene: Scene, bands: Bands, strip: QRectF, size: QSizeF, ratio: float) -> QPixmap:
    pixmap = QPixmap((size * ratio).toSize())
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(scene.colours.colour("ground"))
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    bands.paint(painter, scene, strip)
    if not bands.is_photo:
        _dim_what_is_not_sent(painter, scene, strip)
    painter.end()
    return pixmap


def _dim_what_is_not_sent(painter: QPainter, scene: Scene, strip: QRectF) -> None:
    part = scene.review.part
    if part is None:
        return
    veil = scene.colours.colour("ground")
    veil.setAlphaF(0.62)
    start_x = min(max(scene.axis.x_of(part.start_us), strip.left()), strip.right())
    end_x = min(max(scene.axis.x_of(part.end_us), strip.left()), strip.right())
    for left, right in ((strip.left(), start_x), (end_x, strip.right())):
        painter.fillRect(QRectF(left, strip.top(), right - left, strip.height()), veil)
