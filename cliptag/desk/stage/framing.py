"""Which part of the picture is in view, and what wheel, fingers and commands do about it."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QObject, QPointF, QRectF, Qt, pyqtSignal
from PyQt6.QtGui import QNativeGestureEvent, QWheelEvent

from cliptag.desk.stage.viewport import STEP, Viewport

_WHEEL_NOTCH: Final = 120.0


class Framing(QObject):
    """Holds the viewport; None while no clip is open.

    Places are in device-independent pixels of the stage. Where ``at`` is None, the middle counts.
    """

    changed = pyqtSignal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._viewport: Viewport | None = None

    @property
    def viewport(self) -> Viewport | None:
        return self._viewport

    @property
    def picture_box(self) -> QRectF:
        """Where the picture lies on the stage; empty while no clip is open."""
        view = self._viewport
        if view is None:
            return QRectF()
        return QRectF(QPointF(view.left, view.top), QPointF(*view.to_area(*view.picture)))

    def whole_box(self, width: float, height: float) -> QRectF:
        """Where the whole picture would lie in an area; empty while no clip is open."""
        if self._viewport is None:
            return QRectF()
        whole = Viewport.fitted(self._viewport.picture, (max(1.0, width), max(1.0, height)))
        return QRectF(whole.left, whole.top, *whole.size)

    def open(
        self, picture: tuple[int, int] | None, area: tuple[float, float], pixel: float
    ) -> None:
        """Show the whole of another picture; None: there is none."""
        self._set(None if picture is None else Viewport.fitted(picture, area, pixel))

    def room_changed(self, area: tuple[float, float], pixel: float) -> None:
        """The area, or the screen's pixel, has another size."""
        if self._viewport is not None:
            self._set(self._viewport.in_area(area, pixel))

    def fit(self) -> None:
        """Show the whole picture."""
        if (view := self._viewport) is not None:
            self._set(Viewport.fitted(view.picture, view.area, view.pixel))

    def actual_size(self, at: QPointF | None = None) -> None:
        """Show a picture pixel on each of the screen's pixels; what is under ``at`` stays there."""
        if (view := self._viewport) is not None:
            self._set(view.with_zoom(view.pixel, *_place(view, at)))

    def zoom(self, factor: float, at: QPointF | None = None) -> None:
        """Show the picture larger or smaller; what is under ``at`` stays there."""
        if (view := self._viewport) is not None:
            self._set(view.zoomed(factor, *_place(view, at)))

    def toggle(self, at: QPointF | None = None) -> None:
        """Show the whole picture, or, where it is whole, its own size."""
        if self._viewport is not None and self._viewport.is_whole:
            self.actual_size(at)
        else:
            self.fit()

    def pan(self, by: QPointF) -> None:
        """Shift a picture that is not whole."""
        if (view := self._viewport) is not None and not view.is_whole:
            self._set(view.panned(by.x(), by.y()))

    def wheel(self, event: QWheelEvent) -> None:
        """A wheel zooms to the pointer; two fingers on a touchpad pan, and zoom with Ctrl."""
        is_touchpad = event.phase() != Qt.ScrollPhase.NoScrollPhase
        is_zoom = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if is_touchpad and not is_zoom and not event.pixelDelta().isNull():
            self.pan(QPointF(event.pixelDelta()))
        else:
            self.zoom(STEP ** (event.angleDelta().y() / _WHEEL_NOTCH), event.position())
        event.accept()

    def pinch(self, event: QNativeGestureEvent) -> bool:
        """Pinching zooms to the pointer; tells whether it was a pinch."""
        is_pinch = event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture
        if is_pinch:
            self.zoom(1.0 + event.value(), event.position())
        return is_pinch

    def _set(self, view: Viewport | None) -> None:
        if view != self._viewport:
            self._viewport = view
            self.changed.emit()


def _place(view: Viewport, at: QPointF | None) -> tuple[float, float]:
    return (view.area[0] / 2.0, view.area[1] / 2.0) if at is None else (at.x(), at.y())
