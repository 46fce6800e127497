"""What the pairing's stage paints, each part kept for as long as it stays the same."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, cast

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPixmap, QTransform
from PyQt6.sip import voidptr

from cliptag.desk.images import as_overlay
from cliptag.paint import ShownMark, paint_marks, panel_labels
from cliptag.pairing import Comparison, Panel, SeenMarks, Sheet, labels_of

_LEAST_TURN_DEG: Final = 0.03
"""A smaller turn moves no pixel of a 1920 px picture by more than half of one."""
_SPARE_ROWS: Final = 4
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


class LabelsLayer:
    """Which picture is which, painted at the size that it is seen at, so that it is sharp."""

    def __init__(self) -> None:
        self._kept: list[tuple[QPointF, QPixmap]] = []
        self._key: object = None

    def paint(self, painter: QPainter, comparison: Comparison, view: SheetView) -> None:
        """Paint the labels of a comparison."""
        device = painter.device()
        ratio = 1.0 if device is None else device.devicePixelRatioF()
        key = (comparison, view, ratio)
        if key != self._key:
            size = round(view.width * ratio), round(view.height * ratio)
            rgba = panel_labels(size, labels_of(comparison, view.scale * ratio))
            self._kept, self._key = list(_parts(rgba, ratio)), key
        for at, picture in self._kept:
            painter.drawPixmap(view.corner + at, picture)


def paint_marks_on(
    painter: QPainter, marks: tuple[ShownMark, ...], seen: SeenMarks, view: SheetView
) -> None:
    """Paint marks as the video has them, as much smaller or larger as the sheet is shown."""
    painter.save()
    painter.translate(view.corner)
    painter.scale(view.scale, view.scale)
    paint_marks(painter, marks, seen.sizes, plumb_deg=seen.plumb_deg)
    painter.restore()


def _parts(rgba: NDArray[np.uint8], ratio: float) -> Iterator[tuple[QPointF, QPixmap]]:
    """What is painted on each half of a picture, and where: most of it is empty."""
    half = rgba.shape[1] // 2
    for left, part in ((0, rgba[:, :half]), (half, rgba[:, half:])):
        rows, columns = (np.flatnonzero(part[..., 3].any(axis=axis)) for axis in (1, 0))
        if len(rows):
            top, first = int(rows[0]), int(columns[0])
            cut = part[top : rows[-1] + 1, first : columns[-1] + 1]
            picture = QPixmap.fromImage(as_overlay(np.ascontiguousarray(cut)))
            picture.setDevicePixelRatio(ratio)
            yield QPointF(left + first, top) / ratio, picture


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
    at = view.scale * onto.shift + complex(*_xy(view.corner)) - complex(*_xy(box.topLeft()))
    turn, side = onto.factor / onto.scale, -1.0 if onto.is_mirrored else 1.0
    is_level = abs(onto.turn_deg) < _LEAST_TURN_DEG
    if is_level:
        turn, at = 1 + 0j, complex(round(at.real * ratio), round(at.imag * ratio)) / ratio
    transform = QTransform(
        turn.real * side, turn.imag * side, -turn.imag, turn.real, at.real, at.imag
    )
    transform.scale(1.0 / ratio, 1.0 / ratio)
    made = clear_pixmap(box.size().toSize(), ratio)
    made.fill(QColor(_GROUND))
    back, _ = transform.inverted()
    seen = back.mapRect(QRectF(0.0, 0.0, box.width(), box.height()))
    width, height = (length * onto.scale * view.scale * ratio for length in own)
    top, scaled = _scaled_rows(image, width, height, seen.top(), seen.bottom())
    painter = QPainter(made)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, not is_level)
    painter.setTransform(transform)
    painter.drawImage(QPointF(0.0, round(top) if is_level else top), scaled)
    painter.end()
    return made


def _scaled_rows(
    image: QImage, width: float, height: float, top: float, bottom: float
) -> tuple[float, QImage]:
    """An image made so large, but only the rows between two places of it; gives where they begin.

    Qt's smooth scaling takes the mean of what becomes one pixel; its turning only of four.
    """
    per_row = height / image.height()
    first = max(0, math.floor(top / per_row) - _SPARE_ROWS)
    stop = min(image.height(), math.ceil(bottom / per_row) + _SPARE_ROWS)
    bits = image.constBits()
    if stop <= first or bits is None:
        return 0.0, QImage()
    # No copy: these are the rows of the image itself, which is kept until they are scaled.
    step = image.bytesPerLine()
    # Qt takes a buffer of any kind, which its stubs don't tell.
    start = cast(bytes, voidptr(int(bits) + first * step))
    rows = QImage(start, image.width(), stop - first, step, image.format())
    size = QSize(max(1, round(width)), max(1, round((stop - first) * per_row)))
    if rows.size() == size:
        return first * per_row, rows.copy()
    way = Qt.TransformationMode.SmoothTransformation
    return first * per_row, rows.scaled(size, Qt.AspectRatioMode.IgnoreAspectRatio, way)


def _xy(point: QPointF) -> tuple[float, float]:
    return point.x(), point.y()
