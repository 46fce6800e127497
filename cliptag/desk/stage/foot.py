"""The line at the stage's foot: what to do next, and how large the picture is."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QRect, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QHBoxLayout, QToolButton, QWidget

from cliptag.desk.look import palette, space
from cliptag.desk.stage.hints import HintLabel, hints_of, keys_of
from cliptag.desk.stage.model import StageModel
from cliptag.desk.stage.viewport import Viewport


class Foot(QWidget):
    """A hint, and at the end the zoom; between them there may be room for a question."""

    zoom_pressed = pyqtSignal()

    def __init__(self, parent: QWidget, model: StageModel) -> None:
        super().__init__(parent)
        self._model = model
        self._above = 0
        self.hint = HintLabel()
        self.zoom = QToolButton()
        self.zoom.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.zoom.clicked.connect(self.zoom_pressed)
        self._row = QHBoxLayout(self)
        self._row.addWidget(self.hint, 1)
        self._row.addWidget(self.zoom, 0, Qt.AlignmentFlag.AlignVCenter)
        self._space_out()

    def show_hint(self) -> None:
        """Say what can be done now."""
        self.hint.say(*hints_of(self._model))
        self.hint.setToolTip(keys_of(self._model))

    def height_for(self, width: int) -> int:
        """How high the foot has to be at a width."""
        margins = self._row.contentsMargins()
        room = width - margins.left() - margins.right()
        room -= self.zoom.sizeHint().width() + self._row.spacing()
        height = max(self.hint.heightForWidth(room), self.zoom.sizeHint().height())
        return height + margins.top() - self._above + margins.bottom()

    def reach_up(self, above: int) -> None:
        """Leave so much room above the line."""
        self._above = above
        self._space_out()

    def free_line(self, width: int, height: int) -> QRect:
        """What hint and zoom leave free of a foot of this size."""
        margins, hint = self._row.contentsMargins(), self.hint.sizeHint().width()
        left = margins.left() + (hint + 2 * self._row.spacing() if self.hint.text() else 0)
        right = width - margins.right() - self.zoom.sizeHint().width() - self._row.spacing()
        return QRect(left, 0, max(0, right - left), height)

    def show_zoom(self, view: Viewport) -> None:
        """Show how large the picture is, beside its own size."""
        percent = 100.0 * view.zoom / view.pixel
        self.zoom.setText(f"{percent:.0f} %")
        words = "Show the picture at its own size" if view.is_whole else "Show the whole picture"
        self.zoom.setToolTip(words)
        self.zoom.setAccessibleName(f"{words}, now {percent:.0f} %")

    def changeEvent(self, event: QEvent | None) -> None:  # noqa: N802 - Qt's name
        super().changeEvent(event)
        if event is not None and event.type() == QEvent.Type.FontChange:
            self._space_out()

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.fillRect(self.rect(), palette().colour("ground"))
        painter.fillRect(0, 0, self.width(), 1, palette().colour("hairline"))

    def _space_out(self) -> None:
        self._row.setContentsMargins(space(0.6), space(0.12) + self._above, space(0.4), space(0.12))
        self._row.setSpacing(space(0.5))
        # So that the zoom doesn't move what is beside it when it has more digits.
        wide = self.zoom.fontMetrics().horizontalAdvance("2400 %") + space(0.9)
        self.zoom.setMinimumSize(QSize(wide, 0))
