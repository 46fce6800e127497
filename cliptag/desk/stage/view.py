"""The stage: the picture with its marks, which are drawn and changed on it by hand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from PyQt6.QtCore import QEvent, QPointF, QRect, QRectF, QSize, Qt, QTimer, pyqtSignal
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

from cliptag.desk.look import palette, space
from cliptag.desk.stage.asking import Asking
from cliptag.desk.stage.description import describe
from cliptag.desk.stage.foot import Foot
from cliptag.desk.stage.framing import Framing
from cliptag.desk.stage.keys import StageKeys
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.painting import StagePainter
from cliptag.desk.stage.picture_layer import PictureLayer
from cliptag.desk.stage.pictures import Pictures
from cliptag.desk.stage.pointer import StagePointer
from cliptag.desk.stage.viewport import STEP, Viewport
from cliptag.desk.state import DeskState
from cliptag.export import ExportOptions
from cliptag.paint import Sizes, ensure_painter_ready, marks_box
from cliptag.review import MarkColour, MarkWeight

_DESCRIBE_MS: Final = 200
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

    pictured = pyqtSignal(QImage)
    """Another picture of the clip is shown."""

    def __init__(
        self,
        state: DeskState,
        parent: QWidget | None = None,
        *,
        new_hold_us: Callable[[], int | None] = lambda: None,
        export_options: Callable[[], ExportOptions] = ExportOptions,
    ) -> None:
        """``new_hold_us`` tells the hold of a note that is started by drawing a mark.

        ``export_options`` tell how large captions will be: labels of marks stay off them.
        """
        super().__init__(parent)
        ensure_painter_ready()
        self.model = StageModel(state, new_hold_us, export_options, self)
        self.framing = Framing(self)
        self.pointer = StagePointer(self.model, self.framing, self.setCursor)
        self.keys = StageKeys(self.model, self.pointer, self.framing)
        self.foot = Foot(self, self.model)
        self.asking = Asking(self, self.model)
        self._state = state
        self._pictures = Pictures(state, self)
        self._painter = StagePainter(self.model)
        self._preview: PictureLayer | None = None
        self._is_reached_by_keys = False
        self._describing = QTimer(self)
        self._describing.setSingleShot(True)
        self._describing.setInterval(_DESCRIBE_MS)
        self._describing.timeout.connect(self._describe)
        self.setAccessibleName("Stage")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)
        self.foot.zoom_pressed.connect(self.framing.toggle)
        self.asking.answered.connect(self.setFocus)
        self.framing.changed.connect(self._framed)
        self.model.changed.connect(self._model_changed)
        self.model.asked.connect(self._asked_anew)
        state.opened.connect(self._open)
        self._pictures.came.connect(self._show_picture)
        self._open()
        self._pictures.ask()

    # -- commands -------------------------------------------------------------------------------

    def fit(self) -> None:
        """Show the whole picture."""
        self.framing.fit()

    def actual_size(self) -> None:
        """Show a picture pixel on each of the screen's pixels."""
        self.framing.actual_size(self._anchor())

    def zoom_in(self) -> None:
        """Show the picture larger, round the pointer or the middle."""
        self.framing.zoom(STEP, self._anchor())

    def zoom_out(self) -> None:
        """Show the picture smaller."""
        self.framing.zoom(1.0 / STEP, self._anchor())

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

    def show_points(self, is_shown: bool) -> None:
        """Show the followed points on every frame, or only with their tool."""
        self.model.points.show(is_shown)

    def preview_image(self, image: QImage | None) -> None:
        """Show a picture in place of the clip and its marks until None comes."""
        self._preview = None if image is None else self._preview or PictureLayer()
        if self._preview is not None and image is not None:
            self._preview.show(image)
        self.update()

    # -- places ---------------------------------------------------------------------------------

    @property
    def viewport(self) -> Viewport | None:
        """Where the picture lies on the stage; None when no clip is open."""
        return self.framing.viewport

    @property
    def is_live(self) -> bool:
        """Whether the clip's picture is shown, and can be worked on."""
        return self.framing.viewport is not None and self._preview is None

    def chosen_box(self) -> QRectF:
        """Where the chosen note's marks lie on the stage; empty when none of them is seen."""
        view, note = self.framing.viewport, self._state.chosen_note
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

    # -- what the desk tells --------------------------------------------------------------------

    def _open(self) -> None:
        self._painter.clear()
        clip = self._state.clip
        self.foot.setVisible(clip is not None)
        self.foot.show_hint()
        self.asking.show_question()
        self.framing.open((clip.info.width, clip.info.height) if clip else None, *self._room())
        self._pictures.open()
        self._lay_out()
        self._describing.start()

    def _show_picture(self, index: int, image: QImage, is_exact: bool) -> None:
        self._painter.show_picture(image)
        self.pictured.emit(image)
        self.model.surety.show(image, is_exact)
        self.model.picture_came(index, is_exact)
        self.update()
        self._describing.start()
        if not self._state.playhead.is_playing:
            self.view_changed.emit()

    def _model_changed(self) -> None:
        self.update()
        self._describing.start()
        if self.model.drawing is None:
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
        width, height = self.width(), self.foot.height_for(self.width())
        area = QRect(0, 0, width, self.height() - height)
        line = self.foot.free_line(width, height).translated(0, area.height())
        whole = self.framing.whole_box(area.width(), area.height()).toAlignedRect()
        above = self.asking.take_seat(line, area, whole)
        if not self.pointer.is_down:  # the picture must not move under the hand
            self.foot.reach_up(above)
            self.foot.setGeometry(0, area.height() - above, width, height + above)
            self.framing.room_changed(*self._room())
        self.update()

    def _asked_anew(self) -> None:
        self.foot.show_hint()
        self.asking.show_question()
        self._lay_out()

    def _room(self) -> tuple[tuple[float, float], float]:
        """The area for the picture, and the size of one of the screen's pixels."""
        height = max(1.0, float(self.height() - self.foot.height()))
        return (max(1.0, float(self.width())), height), 1.0 / self.devicePixelRatioF()

    def _framed(self) -> None:
        view = self.framing.viewport
        if view is not None:
            self.foot.show_zoom(view)
            self.model.surety.look(view.zoom)
        self.pointer.show_cursor()
        self.update()
        self.view_changed.emit()

    def _anchor(self) -> QPointF | None:
        """What zooming keeps in place: what the keys move, else the pointer."""
        place, view = self.keys.looks_at, self.framing.viewport
        if place is not None and view is not None:
            return QPointF(*view.to_area(place.x, place.y))
        return self.pointer.at

    # -- events ---------------------------------------------------------------------------------

    def mousePressEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self.is_live:
            self.keys.forget()
            self._painter.loupe_place.forget()
            self.pointer.press(event)

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self.is_live:
            self.keys.forget()
            self.pointer.move(event)

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self.is_live:
            self.pointer.release(event)
            self._lay_out()

    def mouseDoubleClickEvent(self, event: QMouseEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self.is_live:
            self.pointer.drawing_hand.end()

    def leaveEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        self.pointer.leave()

    def wheelEvent(self, event: QWheelEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self.is_live:
            self.framing.wheel(event)

    def event(self, event: QEvent | None) -> bool:
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            if self.keys.wants(event):
                event.accept()
                return True
        elif isinstance(event, QNativeGestureEvent) and self.framing.pinch(event):
            return True
        if event is not None and event.type() == QEvent.Type.DevicePixelRatioChange:
            self._lay_out()
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

    # -- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        view = self.framing.viewport
        is_open = view is not None or self._preview is not None
        painter.fillRect(self.rect(), palette().colour("well" if is_open else "ground"))
        if self._preview is not None:
            image = self._preview.image
            whole = Viewport.fitted((image.width(), image.height()), *self._room())
            self._preview.paint(painter, whole, self.devicePixelRatioF())
        elif view is not None:
            looks_at = self.keys.looks_at or self.pointer.hand.looks_at
            self._painter.paint(painter, view, self.devicePixelRatioF(), looks_at)
            if self._is_reached_by_keys:
                painter.setPen(QPen(palette().colour("focus"), 2.0))
                painter.drawRect(QRectF(1.0, 1.0, view.area[0] - 2.0, view.area[1] - 2.0))
