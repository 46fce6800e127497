"""The covered areas over the stage's picture, which the hand places, moves and sizes there."""

from __future__ import annotations

from typing import Final, Literal

import numpy as np
from PyQt6.QtCore import QEvent, QObject, QPointF, QRectF, Qt
from PyQt6.QtGui import (
    QColor,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QWheelEvent,
)
from PyQt6.QtWidgets import QApplication, QWidget

from cliptag.cover import Ellipse, cover_pixels
from cliptag.desk.cover.model import CoverModel
from cliptag.desk.images import as_image
from cliptag.desk.look import palette, space
from cliptag.desk.stage import StageView

_NUDGE_PX: Final = 4.0
_KEYS: Final = {
    Qt.Key.Key_Left: (-1.0, 0.0),
    Qt.Key.Key_Right: (1.0, 0.0),
    Qt.Key.Key_Up: (0.0, -1.0),
    Qt.Key.Key_Down: (0.0, 1.0),
}
Grip = Literal["middle", "edge"]


class CoverBoard(QWidget):
    """Lies over the stage's picture for as long as the page is open.

    Drag an area to move it on this frame, drag its edge to size it; with the keyboard here the
    arrows move the chosen one, with Shift they size it. The wheel goes on to the stage.
    """

    def __init__(self, model: CoverModel, stage: StageView) -> None:
        super().__init__(stage)
        self._model = model
        self._stage = stage
        self._picture: QImage | None = None
        self._drag: tuple[str, Grip, QPointF, Ellipse] | None = None
        self.setAccessibleName("Covered areas")
        self.setAccessibleDescription(
            "The arrow keys move the chosen area on this frame, with Shift they size it."
        )
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        stage.view_changed.connect(self._place)
        stage.pictured.connect(self._show_picture)
        stage.installEventFilter(self)
        model.changed.connect(self.update)
        self.hide()

    def let_through(self, is_let: bool) -> None:
        """Leave the hand to the stage, or take it."""
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents, is_let)

    def show_over(self, is_shown: bool) -> None:
        """Lie over the picture, or don't."""
        self.setVisible(is_shown)
        self._place()
        if is_shown:
            self.raise_()

    # -- places ---------------------------------------------------------------------------------

    def _place(self) -> None:
        view = self._stage.viewport
        if view is not None and self.isVisible():
            self.setGeometry(0, 0, round(view.area[0]), round(view.area[1]))
            self.update()

    def _shown(self, area: Ellipse) -> QRectF:
        view = self._stage.viewport
        assert view is not None
        left, top = view.to_area(area.x - area.radius_x, area.y - area.radius_y)
        return QRectF(left, top, 2 * area.radius_x * view.zoom, 2 * area.radius_y * view.zoom)

    def _under(self, at: QPointF) -> tuple[str, Grip, Ellipse] | None:
        """The area under the pointer, the chosen one first."""
        chosen = self._model.chosen
        placed = self._model.placed()
        placed.sort(key=lambda one: chosen is None or one[0].id != chosen.id)
        for area, ellipse in placed:
            box = self._shown(ellipse)
            reach = max(box.width(), box.height(), 1.0)
            across = (at.x() - box.center().x()) / (box.width() / 2)
            along = (at.y() - box.center().y()) / (box.height() / 2)
            out = (across**2 + along**2) ** 0.5
            if abs(out - 1.0) < 2 * space(0.45) / reach:
                return area.id, "edge", ellipse
            if out < 1.0:
                return area.id, "middle", ellipse
        return None

    # -- the hand -------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None:
            return
        found = self._under(event.position()) if self._stage.is_live else None
        self._model.choose(found[0] if found else None)
        if found is None:
            QApplication.sendEvent(self._stage, event)
        else:
            self.setFocus(Qt.FocusReason.MouseFocusReason)
            self._drag = found[0], found[1], event.position(), found[2]

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        view = self._stage.viewport
        if event is None or view is None:
            return
        if self._drag is None:
            self._show_cursor(event.position())
            QApplication.sendEvent(self._stage, event)
            return
        area_id, grip, start, was = self._drag
        by = (event.position() - start) / view.zoom
        if grip == "middle":
            self._model.put(area_id, _moved(was, by))
        else:
            self._model.put(
                area_id, _sized(was, QPointF(*view.to_picture(start.x(), start.y())), by)
            )

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if self._drag is not None:
            self._drag = None
            self._model.end_drag()
        elif event is not None:
            QApplication.sendEvent(self._stage, event)

    def wheelEvent(self, event: QWheelEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None:
            QApplication.sendEvent(self._stage, event)

    def _show_cursor(self, at: QPointF) -> None:
        found = self._under(at) if self._stage.is_live else None
        if found is None:
            self.setCursor(self._stage.cursor())
        else:
            is_edge = found[1] == "edge"
            self.setCursor(Qt.CursorShape.CrossCursor if is_edge else Qt.CursorShape.SizeAllCursor)

    def event(self, event: QEvent | None) -> bool:
        wants = isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride
        if wants and self._nudge_of(event) is not None:  # type: ignore[arg-type]
            event.accept()  # type: ignore[union-attr]
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        nudge = self._nudge_of(event) if event is not None else None
        chosen = self._model.chosen
        if nudge is None or chosen is None or event is None:
            super().keyPressEvent(event)
            return
        at = next(ellipse for area, ellipse in self._model.placed() if area.id == chosen.id)
        x, y = nudge
        if event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            at = Ellipse(at.x, at.y, max(4.0, at.radius_x + x), max(4.0, at.radius_y - y))
        else:
            at = Ellipse(at.x + x, at.y + y, at.radius_x, at.radius_y)
        self._model.put(chosen.id, at)

    def _nudge_of(self, event: QKeyEvent) -> tuple[float, float] | None:
        """By how many of the picture's pixels a key moves the chosen area."""
        plain = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier)
        modifiers = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        if self._model.chosen is None or modifiers not in plain:
            return None
        way = _KEYS.get(Qt.Key(event.key()))
        return None if way is None else (way[0] * _NUDGE_PX, way[1] * _NUDGE_PX)

    # -- painting -------------------------------------------------------------------------------

    def _show_picture(self, image: QImage) -> None:
        self._picture = image
        self.update()

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        if event is not None and event.type() == QEvent.Type.Resize:
            self._place()
        return super().eventFilter(watched, event)

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        if not self._stage.is_live:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        areas = self._model.areas()
        if self._model.is_previewed:
            self._paint_covered(painter, areas)
        else:
            self._paint_found(painter, areas)
        self._paint_placed(painter)
        if self.hasFocus():
            painter.setPen(QPen(palette().colour("focus"), 2.0))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(1, 1, -1, -1))

    def _paint_found(self, painter: QPainter, areas: tuple[Ellipse, ...]) -> None:
        """One veil over all of them, so that they read as one area."""
        veil = QPainterPath()
        for area in areas:
            one = QPainterPath()
            one.addEllipse(self._shown(area))
            veil = veil.united(one)
        painter.fillPath(veil, QColor(20, 28, 32, 120))
        painter.strokePath(veil, QPen(QColor(13, 18, 22), 3.0))
        painter.strokePath(veil, QPen(QColor("white"), 1.6, Qt.PenStyle.DashLine))

    def _paint_placed(self, painter: QPainter) -> None:
        chosen = self._model.chosen
        for area, ellipse in self._model.placed():
            box = self._shown(ellipse)
            is_chosen = chosen is not None and area.id == chosen.id
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(13, 18, 22), 4.6 if is_chosen else 3.4))
            painter.drawEllipse(box)
            painter.setPen(QPen(QColor("#86D3C8"), 2.6 if is_chosen else 1.6))
            painter.drawEllipse(box)
            if is_chosen or self._model.is_key_here(area):
                painter.setPen(QPen(QColor(13, 18, 22), 1.4))
                painter.setBrush(QColor("#86D3C8"))
                grips = [box.center()] if self._model.is_key_here(area) else []
                if is_chosen:
                    middle = box.center()
                    grips += [
                        *(QPointF(box.left(), middle.y()), QPointF(box.right(), middle.y())),
                        *(QPointF(middle.x(), box.top()), QPointF(middle.x(), box.bottom())),
                    ]
                for grip in grips:
                    painter.drawEllipse(grip, space(0.28), space(0.28))

    def _paint_covered(self, painter: QPainter, areas: tuple[Ellipse, ...]) -> None:
        view, image = self._stage.viewport, self._picture
        if view is None or image is None or not areas:
            return
        rgb = _array_of(image)
        scale = image.width() / view.picture[0], image.height() / view.picture[1]
        cover_pixels(rgb, areas, *scale, "blur")
        clip = QPainterPath()
        for area in areas:
            clip.addEllipse(self._shown(area))
        clip.setFillRule(Qt.FillRule.WindingFill)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setClipPath(clip)
        painter.drawImage(QRectF(view.left, view.top, *view.size), as_image(rgb))
        painter.restore()


def _moved(was: Ellipse, by: QPointF) -> Ellipse:
    return Ellipse(was.x + by.x(), was.y + by.y(), was.radius_x, was.radius_y)


def _sized(was: Ellipse, start: QPointF, by: QPointF) -> Ellipse:
    """Larger or smaller along the side at which the edge was taken hold of."""
    across, along = (start.x() - was.x) / was.radius_x, (start.y() - was.y) / was.radius_y
    length = (across**2 + along**2) ** 0.5
    return Ellipse(
        was.x,
        was.y,
        max(4.0, was.radius_x + by.x() * across / length),
        max(4.0, was.radius_y + by.y() * along / length),
    )


def _array_of(image: QImage) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    """(H, W, 3) of a picture, as a copy."""
    packed = image.convertToFormat(QImage.Format.Format_RGB888)
    bits = packed.constBits()
    assert bits is not None
    bits.setsize(packed.sizeInBytes())
    rows = np.frombuffer(bits, np.uint8).reshape(packed.height(), packed.bytesPerLine())  # type: ignore[call-overload]
    width = packed.width()
    return np.array(rows[:, : 3 * width].reshape(packed.height(), width, 3))
