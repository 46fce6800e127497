"""The readings of all notes, worked out a little at a time so that no key waits for them."""

from __future__ import annotations

import time
from collections.abc import Iterator
from typing import Final

from PyQt6.QtCore import QObject, QTimer, pyqtSignal

from cliptag.desk.state import DeskState
from cliptag.desk.strip.reading import Reading, need_us, readings
from cliptag.export import ExportOptions

_REST_MS: Final = 150
"""How long the review must have stayed as it is."""
_SLICE_S: Final = 0.006


class ReadingPlan(QObject):
    """What the exported video will do for each note, soon after each change of the review."""

    planned = pyqtSignal()

    def __init__(self, state: DeskState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._options = ExportOptions()
        self._todo: Iterator[None] | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._go_on)
        self.readings: dict[str, Reading] = {}
        """By note id; of the review as it was when ``planned`` was sent."""
        state.reviewed.connect(self._start_anew)
        state.opened.connect(self._start_anew)
        self._start_anew()

    def plan_for(self, options: ExportOptions) -> None:
        """Plan for this reading speed, size of captions and usual language."""
        self._options = options
        self._start_anew()

    def _start_anew(self) -> None:
        self._todo = None
        if self._state.document is None:
            self._timer.stop()
            self.readings = {}
        else:
            self._timer.start(_REST_MS)

    def _go_on(self) -> None:
        if self._todo is None:
            self._todo = self._plan()
        until_s = time.monotonic() + _SLICE_S
        for _ in self._todo:
            if time.monotonic() > until_s:
                self._timer.start(0)
                return
        self._todo = None
        self.planned.emit()

    def _plan(self) -> Iterator[None]:
        document, clip = self._state.document, self._state.clip
        if document is None or clip is None:
            return
        review = document.review
        needs_us = {}
        for note in review.notes:
            needs_us[note.id] = need_us(note, review, self._options)
            yield
        self.readings = readings(review, needs_us, clip.times_us, clip.duration_us)
