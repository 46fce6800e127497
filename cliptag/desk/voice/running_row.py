"""What the bar shows while the coach speaks over the whole clip."""

from __future__ import annotations

from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.voice.booth import Booth
from cliptag.desk.voice.meter import LevelMeter
from cliptag.voice import Level

_CLOCK_MS = 200


class RunningRow(QWidget):
    """The level, how long it is, and a way to stop."""

    def __init__(self, booth: Booth) -> None:
        super().__init__()
        self._booth = booth
        self._words = QLabel()
        self._meter = LevelMeter()
        self._meter.setFixedWidth(look.space(6))
        self._stop = QToolButton()
        self._stop.setText("Stop")
        self._stop.setToolTip("Stop speaking over the clip (Shift+Y)")
        self._stop.setAccessibleName("Stop speaking over the clip")
        self._stop.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._stop.clicked.connect(booth.stop)
        self._clock = QTimer(self)
        self._clock.setInterval(_CLOCK_MS)
        self._clock.timeout.connect(self._tell)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        for part in (self._words, self._meter, self._stop):
            layout.addWidget(part)
        booth.changed.connect(self._show)
        booth.heard_level.connect(self._show_level)
        self.hide()

    def _show(self) -> None:
        state = self._booth.state
        self.setVisible(state in ("running", "cutting"))
        self._meter.setVisible(state == "running")
        self._stop.setVisible(state == "running")
        if state == "running":
            self._clock.start()
        else:
            self._clock.stop()
            self._meter.clear()
        self._tell()

    def _show_level(self, level: Level) -> None:
        if self._booth.state == "running":
            self._meter.show_level(level)

    def _tell(self) -> None:
        if self._booth.state == "cutting":
            self._words.setText("Looking for pauses\u2026")
            return
        seconds = self._booth.length_us // 1_000_000
        moment = f"Speak: {seconds // 60}:{seconds % 60:02}" if self._booth.length_us else "\u2026"
        self._words.setText(moment)
