"""The scroll bar under the strip: which part of the clip is seen."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QSignalBlocker, Qt, pyqtSignal
from PyQt6.QtWidgets import QScrollBar, QWidget

from cliptag.desk.strip.axis import TimeAxis

# A scroll bar counts in whole numbers of 32 bits: in milliseconds they last for weeks.
_STEP_US: Final = 1000


class AxisBar(QScrollBar):
    """Shown while the strip doesn't show all of the clip."""

    scrolled = pyqtSignal(float)
    """To be shown from this time on, in microseconds."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(Qt.Orientation.Horizontal, parent)
        self.setAccessibleName("Part of the clip that the strip shows")
        self.valueChanged.connect(lambda steps: self.scrolled.emit(float(_STEP_US * steps)))

    def show_axis(self, axis: TimeAxis) -> None:
        """Show what an axis shows, without telling anyone."""
        blocker = QSignalBlocker(self)
        self.setRange(0, round((axis.duration_us - axis.length_us) / _STEP_US))
        self.setPageStep(max(1, round(axis.length_us / _STEP_US)))
        self.setSingleStep(max(1, round(axis.length_us / 20 / _STEP_US)))
        self.setValue(round(axis.start_us / _STEP_US))
        blocker.unblock()
        self.setVisible(not axis.shows_all)
