"""What the pointer does over the strip: it takes hold, drags, points, zooms and scrolls."""

from __future__ import annotations

from typing import Final, Protocol

from PyQt6.QtCore import QEvent, QObject, QPointF, Qt
from PyQt6.QtGui import QHelpEvent, QKeyEvent, QMouseEvent, QWheelEvent
from PyQt6.QtWidgets import QToolTip, QWidget

from cliptag.desk import look
from cliptag.desk.strip.axis import TimeAxis
from cliptag.desk.strip.bands import Bands
from cliptag.desk.strip.hand import Hand
from cliptag.desk.strip.scene import Grip, MomentGrip, NoteGrip, Scene
from cliptag.desk.strip.words import grip_words

ZOOM_STEP: Final = 1.5
_SCROLL_EM: Final = 4.0
_NOTCH: Final = 120.0
"""Qt's angle for one notch of a wheel, in eighths of a degree."""


class Surface(Protocol):
    """What the pointer moves over."""

    bands: Bands

    @property
    def axis(self) -> TimeAxis: ...
    @property
    def shown_us(self) -> int: ...
    def scene(self) -> Scene | None: ...
    def set_axis(self, axis: TimeAxis) -> None: ...
    def zoom(self, factor: float, about_x: float) -> None: ...
    def renew(self) -> None: ...


class StripPointer(QObject):
    """Turns a widget's mouse events into what the hand does, and shows what is under them."""

    def __init__(self, view: Surface, hand: Hand) -> None:
        assert isinstance(view, QWidget)
        super().__init__(view)
        self._view: Surface = view
        self._widget: QWidget = view
        self._hand = hand
        self.hovered: Grip | None = None
        """What the pointer rests on."""
        self._widget.installEventFilter(self)

    def forget(self) -> None:
        """What was under the pointer may be somewhere else now."""
        self.hovered = None

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        if isinstance(event, QMouseEvent):
            self._follow(event)
        elif isinstance(event, QWheelEvent):
            return self._turn(event)
        elif isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            return self._tell(event)
        elif isinstance(event, QKeyEvent) and event.type() != QEvent.Type.KeyRelease:
            return self._escape(event) or self._confirm(event)
        elif event is not None and event.type() == QEvent.Type.Leave:
            self._hover(None)
        return False

    def _follow(self, event: QMouseEvent) -> None:
        scene, at = self._view.scene(), event.position()
        if scene is None:
            return
        if event.type() == QEvent.Type.MouseMove:
            if event.buttons() & Qt.MouseButton.LeftButton:
                self._hand.move(at, scene, self._view.bands)
            else:
                self._hover(self._view.bands.hit(scene, at))
        elif event.button() != Qt.MouseButton.LeftButton:
            return
        elif event.type() == QEvent.Type.MouseButtonRelease:
            self._hand.release()
            self._view.renew()
        else:
            grip = self._view.bands.hit(scene, at)
            # A photo has no time that could be gone through.
            if grip is not None or not self._view.bands.is_photo:
                self._hand.press(grip, at, scene)

    def _turn(self, event: QWheelEvent) -> bool:
        if self._view.bands.is_photo:
            return False
        turn = event.angleDelta()
        notches = (turn.x() if abs(turn.x()) > abs(turn.y()) else turn.y()) / _NOTCH
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self._view.zoom(ZOOM_STEP**notches, event.position().x())
        else:
            by_px = -notches * _SCROLL_EM * look.space()
            self._view.set_axis(self._view.axis.scrolled_px(by_px))
        event.accept()
        return True

    def _tell(self, event: QHelpEvent) -> bool:
        scene = self._view.scene()
        grip = None if scene is None else self._view.bands.hit(scene, QPointF(event.pos()))
        words = ""
        if scene is not None and not self._hand.is_dragging:
            at = QPointF(event.pos())
            words = grip_words(grip, scene) if grip else self._view.bands.words_at(scene, at)
        # An empty text hides what is shown.
        QToolTip.showText(event.globalPos(), words, self._widget)
        return True

    def _escape(self, event: QKeyEvent) -> bool:
        if event.key() != Qt.Key.Key_Escape or not self._hand.is_dragging:
            return False
        event.accept()
        if event.type() == QEvent.Type.ShortcutOverride:
            # While something is dragged, Esc is not the desk's.
            return True
        self._hand.cancel()
        self._view.renew()
        return True

    def _confirm(self, event: QKeyEvent) -> bool:
        """Enter sets the moment that is proposed on the shown frame, if there is one."""
        scene = self._view.scene()
        if scene is None or event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            return False
        here = next(
            (p for p in scene.proposals if scene.frames.start_near(p.at_us) == self._view.shown_us),
            None,
        )
        if here is None:
            return False
        event.accept()
        if event.type() == QEvent.Type.KeyPress:
            self._hand.confirm(MomentGrip(here.name, here.repetition, True), here.at_us)
        return True

    def _hover(self, grip: Grip | None) -> None:
        if grip == self.hovered:
            return
        self.hovered = grip
        if grip is None:
            self._widget.unsetCursor()
        else:
            is_middle = isinstance(grip, NoteGrip) and grip.part == "middle"
            shape = Qt.CursorShape
            self._widget.setCursor(shape.PointingHandCursor if is_middle else shape.SizeHorCursor)
        self._view.renew()
