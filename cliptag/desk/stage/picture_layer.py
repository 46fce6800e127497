"""The picture on the stage, scaled once for as long as picture and zoom stay the same."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import QPointF, QRectF, QSizeF, Qt
from PyQt6.QtGui import QImage, QPainter, QPixmap, QTransform

from cliptag.desk.stage.viewport import Viewport


class PictureLayer:
    """Paints a picture into a viewport.

    Made smaller, the whole picture is kept scaled, so that panning only moves it. Made larger, the
    part that is seen is kept.
    """

    def __init__(self) -> None:
        self._image = QImage()
        self._kept = QPixmap()
        self._kept_for: object = None

    @property
    def image(self) -> QImage:
        """The picture as it came, at its own size; null when there is none."""
        return self._image

    def show(self, image: QImage) -> None:
        """Show another picture from now on; one smaller than the viewport's is enlarged to it."""
        # Qt's painters are several times quicker on 32 bits a pixel than on 24.
        self._image = image.convertToFormat(QImage.Format.Format_RGB32)
        self._kept_for = None

    def clear(self) -> None:
        """Show nothing from now on, and let go of what was kept."""
        self._image, self._kept, self._kept_for = QImage(), QPixmap(), None

    def paint(self, painter: QPainter, view: Viewport, ratio: float) -> None:
        """Paint; the painter is in the area's coordinates, on a screen of this pixel ratio."""
        if self._image.isNull():
            return
        place = QRectF(QPointF(view.left, view.top), QSizeF(*view.size))
        width, height = (max(1, round(side * ratio)) for side in view.size)
        if width <= self._image.width() and height <= self._image.height():
            self._keep((width, height), lambda: self._smaller(width, height, ratio))
            painter.drawPixmap(place.topLeft(), self._kept)
        else:
            seen = QRectF(place.intersected(QRectF(0.0, 0.0, *view.area)).toAlignedRect())
            if not seen.isEmpty():
                self._keep((view, ratio), lambda: self._part(place, seen, ratio))
                painter.drawPixmap(seen.topLeft(), self._kept)

    def _keep(self, key: object, make: Callable[[], QPixmap]) -> None:
        if key != self._kept_for:
            self._kept, self._kept_for = make(), key

    def _smaller(self, width: int, height: int, ratio: float) -> QPixmap:
        image = self._image
        if (width, height) != (image.width(), image.height()):
            image = image.scaled(
                width,
                height,
                Qt.AspectRatioMode.IgnoreAspectRatio,
                Qt.TransformationMode.SmoothTransformation,
            )
        made = QPixmap.fromImage(image)
        made.setDevicePixelRatio(ratio)
        return made

    def _part(self, place: QRectF, seen: QRectF, ratio: float) -> QPixmap:
        made = QPixmap(round(seen.width() * ratio), round(seen.height() * ratio))
        made.setDevicePixelRatio(ratio)
        made.fill(Qt.GlobalColor.transparent)
        painter = QPainter(made)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.translate(-seen.topLeft())
        # Only what is seen is handed to Qt, whose scaling overflows on very large targets.
        whole = QRectF(self._image.rect())
        onto = QTransform.fromTranslate(place.left(), place.top())
        onto.scale(place.width() / whole.width(), place.height() / whole.height())
        back, _ = onto.inverted()
        source = QRectF(back.mapRect(seen).toAlignedRect().adjusted(-1, -1, 1, 1)) & whole
        painter.drawImage(onto.mapRect(source), self._image, source)
        painter.end()
        return made
