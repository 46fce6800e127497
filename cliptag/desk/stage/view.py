"""The stage: the picture with its marks, which are drawn and changed on it by hand."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, QTimer, pyqtSignal
from PyQt6.QtGui import (
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QNativeGestureEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QResizeEvent,
    QWheelEvent,
)
from PyQt6.QtWidgets import QWidget

from cliptag.desk.frames import FrameFeed
from cliptag.desk.look import font, palette, space
from cliptag.desk.stage.description import describe
from cliptag.desk.stage.foot import Foot
from cliptag.desk.stage.grips import paint_aim, paint_grips
from cliptag.desk.stage.keys import StageKeys
from cliptag.desk.stage.loupe import LoupePlace, paint_loupe, paint_number, scale_in_loupe
from cliptag.desk.stage.mark_layer import MarkLayer
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.picture_layer import PictureLayer
from cliptag.desk.stage.pointer import StagePointer
from cliptag.desk.stage.viewport import STEP, Viewport
from cliptag.desk.state import DeskState
from cliptag.paint import Sizes, ensure_painter_ready, marks_box
from cliptag.review import MarkColour, MarkWeight, Point

_DESCRIBE_MS: Final = 200
_WHEEL_NOTCH: Final = 120.0
_LOUPE_HEIGHTS: Final = 9.5
_KEYBOARD_REASONS: Final = (
    Qt.FocusReason.TabFocusReason,
    Qt.FocusReason.BacktabFocusReason,
    Qt.FocusReason.ShortcutFocusReason,
)


class StageView(QWidget):
    """Shows the picture of the clip with the marks of the review, and takes the hand's work.

    Wheel or pinch zooms to the pointer; the middle button, or the left one beside all marks, pans.
    """

    view_changed = pyqtSignal()
    """The picture lies elsewhere or has another size, or the marks do: see ``chosen_box``."""

    def __init__(self, state: DeskState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        ensure_painter_ready()
        self.model = StageModel(state, self)
        self.pointer = StagePointer(self.model, self)
        self.keys = StageKeys(self.model, self.pointer, self)
        self.foot = Foot(self, self.model)
        self._state = state
        self._feed: FrameFeed | None = None
        self._viewport: Viewport | None = None
        self._picture, self._marks = PictureLayer(), MarkLayer()
        self._preview: PictureLayer | None = None
        self._loupe_place = LoupePlace()
        self._is_reached_by_keys = False
        self._describing = QTimer(self)
        self._describing.setSingleShot(True)
        self._describing.setInterval(_DESCRIBE_MS)
        self._describing.timeout.connect(self._describe)
        self.setAccessibleName("Stage")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.foot.zoom_pressed.connect(self._toggle_zoom)
        self.foot.resized.connect(self._lay_out)
        self.model.changed.connect(self._model_changed)
        state.opened.connect(self._open)
        state.playhead.moved.connect(self._ask_for_picture)
        self._open()

    # -- commands -------------------------------------------------------------------------------

    def fit(self) -> None:
        """Show the whole picture."""
        if self._viewport is not None:
            self._set_viewport(Viewport.fitted(self._viewport.picture, *self._room()))

    def actual_size(self) -> None:
        """Show a picture pixel on each of the screen's pixels."""
        if self._viewport is not None:
            self._set_viewport(self._viewport.with_zoom(self._viewport.pixel, *self._anchor()))

    def zoom_in(self) -> None:
        """Show the picture larger, round the pointer or the middle."""
        self._zoom(STEP)

    def zoom_out(self) -> None:
        """Show the picture smaller."""
        self._zoom(1.0 / STEP)

    def restyle(
        self,
        *,
        colour: MarkColour | None = None,
        weight: MarkWeight | None = None,
        label: str | None = None,
    ) -> None:
        """Give the chosen mark another colour, weight or label."""
        given = {"colour": colour, "weight": weight, "label": label}
        for name, value in given.items():
            if value is not None:
                self.model.editor.restyle(**{name: value})

    def delete_mark(self) -> None:
        """Take the chosen mark away."""
        self.model.editor.delete()

    def copy_mark_to_shown_frame(self) -> None:
        """Copy the chosen mark onto the note of the shown frame, or onto a new one there."""
        if self._state.clip is not None:
            self.model.editor.copy(self._state.playhead.index)

    def show_references(self, is_shown: bool) -> None:
        """Show the review's scale and true vertical faintly, or only with their tools."""
        self.model.show_references(is_shown)

    def preview_image(self, image: QImage | None) -> None:
        """Show a picture in place of the clip and its marks until None comes."""
        self._preview = None if image is None else self._preview or PictureLayer()
        if self._preview is not None and image is not None:
            self._preview.show(image)
        self.update()

    # -- places ---------------------------------------------------------------------------------

    @property
    def viewport(self) -> Viewport | None:
        """Where the picture lies; None when no clip is open."""
        return self._viewport

    @property
    def picture_box(self) -> QRectF:
        """Where the picture lies on the stage; empty when no clip is open."""
        view = self._viewport
        if view is None:
            return QRectF()
        return QRectF(QPointF(view.left, view.top), QPointF(*view.to_area(*view.picture)))

    def chosen_box(self) -> QRectF:
        """Where the chosen note's marks lie on the stage; empty when none of them is seen."""
        view, note = self._viewport, self._state.chosen_note
        if view is None or note is None:
            return QRectF()
        marks = [m for seen in self.model.notes() if seen.note_id == note.id for m in seen.marks]
        box = marks_box(marks, Sizes(*view.picture), plumb_deg=self.model.upright_deg)
        if box.isEmpty():
            return box
        return QRectF(
            QPointF(*view.to_area(box.left(), box.top())),
            QPointF(*view.to_area(box.right(), box.bottom())),
        )

    def pan(self, by: QPointF) -> None:
        """Shift the picture by device-independent pixels."""
        if self._viewport is not None and not self._viewport.is_whole:
            self._set_viewport(self._viewport.panned(by.x(), by.y()))

    # -- what the desk tells --------------------------------------------------------------------

    def _open(self) -> None:
        self._picture.clear()
        self._viewport = None
        self._feed = self._state.feed
        if self._feed is not None:
            self._feed.pictured.connect(self._pictured)
        clip = self._state.clip
        if clip is not None:
            picture = (clip.info.width, clip.info.height)
            self._set_viewport(Viewport.fitted(picture, *self._room()))
            self._ask_for_picture(self._state.playhead.index)
        self.foot.setVisible(clip is not None)
        self._lay_out()
        self._describing.start()

    def _ask_for_picture(self, index: int) -> None:
        if self._feed is not None:
            self._feed.exact(index)

    def _pictured(self, index: int, image: QImage, is_exact: bool) -> None:
        # What a feed that was closed meanwhile still had on its way is of another clip.
        if self.sender() is not self._feed or self._viewport is None:
            return
        self._picture.show(image)
        self.model.picture_came(index, is_exact)
        self.update()
        self.view_changed.emit()

    def _model_changed(self) -> None:
        self.update()
        self._describing.start()
        self.view_changed.emit()

    def _describe(self) -> None:
        if not self._state.playhead.is_playing:
            self.setAccessibleDescription(describe(self.model))

    # -- laying out -----------------------------------------------------------------------------

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(space(40), space(40))

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(space(14), space(12))

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        self._lay_out()

    def _lay_out(self) -> None:
        height = self.foot.height_for(self.width())
        self.foot.setGeometry(0, self.height() - height, self.width(), height)
        if self._viewport is not None:
            self._set_viewport(self._viewport.in_area(*self._room()))
        self.update()

    def _room(self) -> tuple[tuple[float, float], float]:
        """The area for the picture, and the size of one of the screen's pixels."""
        height = max(1.0, float(self.height() - self.foot.height()))
        return (max(1.0, float(self.width())), height), 1.0 / self.devicePixelRatioF()

    def _set_viewport(self, view: Viewport) -> None:
        if view != self._viewport:
            self._viewport = view
            self.foot.show_zoom(view)
            self.update()
            self.view_changed.emit()

    def _zoom(self, factor: float, at: QPointF | None = None) -> None:
        if self._viewport is not None:
            x, y = (at.x(), at.y()) if at is not None else self._anchor()
            self._set_viewport(self._viewport.zoomed(factor, x, y))
            self.pointer.show_cursor()

    def _anchor(self) -> tuple[float, float]:
        """What zooming keeps in place: what is looked at, else the pointer, else the middle."""
        assert self._viewport is not None
        place = self.keys.looks_at
        if place is not None:
            return self._viewport.to_area(place.x, place.y)
        if self.pointer.at is not None:
            return self.pointer.at.x(), self.pointer.at.y()
        width, height = self._viewport.area
        return width / 2.0, height / 2.0

    def _toggle_zoom(self) -> None:
        if self._viewport is not None and self._viewport.is_whole:
            self.actual_size()
        else:
            self.fit()

    # -- events ---------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self._is_live(event):
            self.keys.forget()
            self._loupe_place.forget()
            self.pointer.press(event)

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self._is_live(event):
            self.keys.forget()
            self.pointer.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self._is_live(event):
            self.pointer.release(event)

    def mouseDoubleClickEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self._is_live(event):
            self.pointer.drawing_hand.end()

    def leaveEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        self.pointer.leave()

    def wheelEvent(self, event: QWheelEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None or self._viewport is None or self._preview is not None:
            return
        is_touchpad = event.phase() != Qt.ScrollPhase.NoScrollPhase
        is_zoom = bool(event.modifiers() & Qt.KeyboardModifier.ControlModifier)
        if is_touchpad and not is_zoom and not event.pixelDelta().isNull():
            self.pan(QPointF(event.pixelDelta()))
        else:
            self._zoom(STEP ** (event.angleDelta().y() / _WHEEL_NOTCH), event.position())
        event.accept()

    def event(self, event: QEvent | None) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            if self.keys.wants(event):
                event.accept()
                return True
        elif (
            isinstance(event, QNativeGestureEvent)
            and event.gestureType() == Qt.NativeGestureType.ZoomNativeGesture
        ):
            self._zoom(1.0 + event.value(), event.position())
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and not self.keys.press(event):
            event.ignore()

    def focusNextPrevChild(self, is_next: bool) -> bool:  # noqa: N802 - Qt's name
        return self.keys.tab(is_next) or super().focusNextPrevChild(is_next)

    def focusInEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        self._is_reached_by_keys = event is not None and event.reason() in _KEYBOARD_REASONS
        self.update()

    def focusOutEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        self._is_reached_by_keys = False
        self.update()

    def _is_live(self, event: QMouseEvent) -> bool:
        """Whether the picture can be worked on."""
        return self._viewport is not None and self._preview is None

    # -- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        view = self._viewport
        is_open = view is not None or self._preview is not None
        painter.fillRect(self.rect(), palette().colour("well" if is_open else "ground"))
        if self._preview is not None:
            image = self._preview.image
            whole = Viewport.fitted((image.width(), image.height()), *self._room())
            self._preview.paint(painter, whole, self.devicePixelRatioF())
        elif view is not None:
            self._paint_stage(painter, view)

    def _paint_stage(self, painter: QPainter, view: Viewport) -> None:
        ratio = self.devicePixelRatioF()
        area = QRectF(0.0, 0.0, *view.area)
        place = self.keys.looks_at or self.pointer.hand.looks_at
        has_loupe = place is not None and self.model.is_exact
        notes = self.model.notes_beside_loupe() if has_loupe else self.model.notes()
        painter.setClipRect(area)
        self._picture.paint(painter, view, ratio)
        self._marks.paint(painter, notes, view, ratio, self.model.upright_deg)
        mark = self.model.chosen_mark
        if mark is not None and self.model.drawing is None:
            accent = palette().colour("accent")
            paint_grips(painter, mark, self.model.point, view, space(), accent)
        if place is not None and has_loupe:
            self._paint_loupe(painter, view, area, place)
        if self._is_reached_by_keys:
            painter.setPen(QPen(palette().colour("focus"), 2.0))
            painter.drawRect(area.adjusted(1.0, 1.0, -1.0, -1.0))

    def _paint_loupe(self, painter: QPainter, view: Viewport, area: QRectF, place: Point) -> None:
        at = QPointF(*view.to_area(place.x, place.y))
        paint_aim(painter, at, space())
        sight = self.model.sight(place)
        square = self._loupe_place.next(at.x(), at.y(), area, space(_LOUPE_HEIGHTS))
        scale = scale_in_loupe(view.zoom)
        paint_loupe(painter, self._picture.image, sight, square, scale)
        if sight.number:
            paint_number(painter, sight.number, square, at, area, font(1.0, strong=True))
