"""What the pairing's stage paints, each part kept for as long as it stays the same."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPixmap, QTransform

from cliptag.paint import ShownMark, Sizes, paint_marks
from cliptag.pairing import Panel, Sheet

_LEAST_TURN_DEG: Final = 0.03
"""A smaller turn moves no pixel of a 1920 px picture by more than half of one."""
_GROUND: Final = "#0D1216"
"""Where a picture doesn't reach, as in the video."""


@dataclass(frozen=True, slots=True)
class SheetView:
    """Where the sheet's pictures lie in an area: sheet pixels to the area's and back.

    The strip that a video leaves free for captions is left out.
    """

    scale: float
    left: float
    top: float
    width: float
    height: float

    @classmethod
    def fitted(cls, sheet: Sheet, area: QRectF) -> SheetView:
        """All of it, as large as the area allows, in its middle."""
        wide = float(sheet.width)
        tall = float(max(panel.top + panel.height for panel in sheet.panels))
        scale = max(min(area.width() / wide, area.height() / tall), 1e-3)
        left = round(area.left() + (area.width() - scale * wide) / 2)
        top = round(area.top() + (area.height() - scale * tall) / 2)
        return cls(scale, left, top, scale * wide, scale * tall)

    @property
    def corner(self) -> QPointF:
        return QPointF(self.left, self.top)

    def panel(self, panel: Panel) -> QRectF:
        """A panel's rectangle in the area."""
        s = self.scale
        return QRectF(
            self.left + s * panel.left, self.top + s * panel.top, s * panel.width, s * panel.height
        )


class PanelLayer:
    """One clip's picture in its panel: as large, turned, mirrored and shifted as it is laid."""

    def __init__(self) -> None:
        self._kept = QPixmap()
        self._key: object = None

    def paint(
        self, painter: QPainter, image: QImage, own: tuple[int, int], panel: Panel, view: SheetView
    ) -> None:
        """Paint an image of a clip whose pictures are ``own`` pixels wide and high."""
        if image.isNull():
            return
        device = painter.device()
        ratio = 1.0 if device is None else device.devicePixelRatioF()
        box = QRectF(view.panel(panel).toAlignedRect())
        key = (image.cacheKey(), panel, view, ratio)
        if key != self._key:
            self._kept, self._key = _placed(image, own, panel, view, box, ratio), key
        painter.drawPixmap(box.topLeft(), self._kept)


class MarksLayer:
    """All marks over both pictures."""

    def __init__(self) -> None:
        self._kept = QPixmap()
        self._key: object = None

    def paint(
        self,
        painter: QPainter,
        marks: tuple[ShownMark, ...],
        sizes: Sizes,
        plumb_deg: float,
        view: SheetView,
    ) -> None:
        """Paint marks as the video has them, as much smaller or larger as the sheet is shown."""
        if not marks:
            return
        device = painter.device()
        ratio = 1.0 if device is None else device.devicePixelRatioF()
        key = (marks, sizes, plumb_deg, view, ratio)
        if key != self._key:
            self._kept = clear_pixmap(QSize(round(view.width), round(view.height)), ratio)
            inner = QPainter(self._kept)
            inner.scale(view.scale, view.scale)
            paint_marks(inner, marks, sizes, plumb_deg=plumb_deg)
            inner.end()
            self._key = key
        painter.drawPixmap(view.corner, self._kept)


def clear_pixmap(size: QSize, ratio: float) -> QPixmap:
    """A pixmap to be painted on, with nothing on it."""
    made = QPixmap(max(1, round(size.width() * ratio)), max(1, round(size.height() * ratio)))
    made.setDevicePixelRatio(ratio)
    made.fill(Qt.GlobalColor.transparent)
    return made


def _placed(
    image: QImage, own: tuple[int, int], panel: Panel, view: SheetView, box: QRectF, ratio: float
) -> QPixmap:
    onto = panel.onto_sheet
    # Qt's smooth scaling takes the mean of what becomes one pixel; its turning only of four.
    size = QSize(*(max(1, round(length * onto.scale * view.scale * ratio)) for length in own))
    if image.size() != size:
        image = image.scaled(
            size, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation
        )
    made = clear_pixmap(box.size().toSize(), ratio)
    made.fill(QColor(_GROUND))
    painter = QPainter(made)
    at = view.scale * onto.shift + complex(*_xy(view.corner)) - complex(*_xy(box.topLeft()))
    turn = onto.factor / onto.scale
    side = -1.0 if onto.is_mirrored else 1.0
    is_level = abs(onto.turn_deg) < _LEAST_TURN_DEG
    if is_level:
        turn, at = 1 + 0j, complex(round(at.real * ratio), round(at.imag * ratio)) / ratio
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, not is_level)
    painter.setTransform(
        QTransform(turn.real * side, turn.imag * side, -turn.imag, turn.real, at.real, at.imag)
    )
    painter.scale(1.0 / ratio, 1.0 / ratio)
    painter.drawImage(QPointF(0.0, 0.0), image)
    painter.end()
    return made


def _xy(point: QPointF) -> tuple[float, float]:
    return point.x(), point.y()
