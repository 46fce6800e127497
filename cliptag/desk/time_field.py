"""Where the playhead is, as a time that one can also type."""

from __future__ import annotations

import re
from typing import Final

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QFocusEvent
from PyQt6.QtWidgets import QLineEdit, QWidget

from cliptag.desk import look
from cliptag.desk.state import DeskState
from cliptag.desk.strip.clock import parse_time, time_words

_FRAME: Final = re.compile(r"(?:f|frame)\s*(\d{1,9})", re.IGNORECASE | re.ASCII)


class TimeField(QLineEdit):
    """Shows the shown frame's time; a time or 'f 104' typed into it goes there on Return."""

    def __init__(self, state: DeskState, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self.setAccessibleName("Time of the shown frame")
        self.setAccessibleDescription("Type a time such as 0:03.5, or 'f 104' for a frame.")
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.setMaxLength(20)
        self.returnPressed.connect(self._go)
        state.playhead.moved.connect(self._show)
        state.opened.connect(self._show)
        look.look().changed.connect(self._fit)
        self._fit()
        self._show()

    def type_here(self) -> None:
        """Take the keyboard, with the time chosen so that typing replaces it."""
        self.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.selectAll()

    def focusOutEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusOutEvent(event)
        self._show()

    def _go(self) -> None:
        text, playhead = self.text().strip(), self._state.playhead
        frame = _FRAME.fullmatch(text)
        time_us = parse_time(text)
        if frame is not None:
            playhead.pause()
            playhead.go_to(int(frame[1]))
        elif time_us is not None:
            playhead.pause()
            playhead.go_to_time(time_us)
        else:
            self._state.say(f"'{text}' is no time: type one such as 3.5 or 0:03.5, or 'f 104'.")
            self.selectAll()
            return
        self.clearFocus()

    def _show(self) -> None:
        if not self.hasFocus():
            self.setText(time_words(self._state.playhead.time_us))
        self.setEnabled(self._state.clip is not None)

    def _fit(self) -> None:
        self.setFixedWidth(self.fontMetrics().horizontalAdvance("00:00:00.000") + look.space(0.8))
