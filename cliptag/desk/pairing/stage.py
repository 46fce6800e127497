"""Both pictures together: side by side, one above the other, or one seen through the other."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QRectF, QSize, QTimer
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from cliptag.desk import look
from cliptag.desk.pairing.layers import LabelsLayer, PanelLayer, SheetView, paint_marks_on
from cliptag.desk.pairing.ringed import Ringed
from cliptag.desk.pairing.state import PairState

_DESCRIBE_MS: Final = 250


class PairStage(Ringed):
    """Shows the pair of frames that the playhead is on, with the marks of both."""

    def __init__(self, state: PairState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._panels = (PanelLayer(), PanelLayer())
        self._labels = LabelsLayer()
        self.setAccessibleName("Both pictures")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(look.space(8), look.space(8))
        self._clock = QTimer(self)
        self._clock.setSingleShot(True)
        self._clock.setInterval(_DESCRIBE_MS)
        self._clock.timeout.connect(self._describe)
        for signal in (state.compared, state.opened, state.looked):
            signal.connect(self._changed)
        state.pictured.connect(self.update)
        state.playhead.moved.connect(self._clock.start)
        look.look().changed.connect(self.update)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(40), look.space(28))

    @property
    def view(self) -> SheetView | None:
        """Where the sheet lies; None as long as there is none."""
        comparison = self._state.comparison
        if comparison is None:
            return None
        edge = look.space(0.3)
        area = QRectF(self.rect()).adjusted(edge, edge, -edge, -edge)
        return SheetView.fitted(comparison.sheet, area)

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.fillRect(self.rect(), look.palette().colour("well"))
        self._paint_pair(painter)
        self.paint_ring(painter)

    def _paint_pair(self, painter: QPainter) -> None:
        state, view = self._state, self.view
        comparison, seen, pictures = state.comparison, state.seen, state.pictures
        if view is None or comparison is None or seen is None or pictures is None:
            return
        is_over = comparison.sheet.layout == "over"
        for which, layer in enumerate(self._panels):
            info = comparison.sides[which].clip.info
            panel = comparison.sheet.panels[which]
            painter.setOpacity(state.see_through if is_over and which else 1.0)
            own = info.width, info.height
            layer.paint(painter, pictures.image(which), own, panel, view)
        painter.setOpacity(1.0)
        if state.shows_marks and pictures.is_whole:
            paint_marks_on(painter, seen.at(pictures.frames), seen, view)
        self._labels.paint(painter, comparison, view)

    # -- listening ------------------------------------------------------------------------------

    def _changed(self) -> None:
        self.update()
        self._clock.start()

    def _describe(self) -> None:
        """For whoever can't see the pictures."""
        state = self._state
        if state.comparison is None or state.axis is None or state.pictures is None:
            return
        names = [side.words for side in state.comparison.sides]
        words = state.axis.place_words(state.percent)
        self.setAccessibleDescription(f"{names[0]} and {names[1]} at {words}.")
