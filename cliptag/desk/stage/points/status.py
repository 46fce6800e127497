"""How far following the points has come, with a way to stop it and to go on."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QObject, QTimer, pyqtSignal
from PyQt6.QtWidgets import QLabel, QPushButton, QWidget

from cliptag.desk.state import DeskState

_PATIENCE_MS: Final = 500
"""What is done sooner isn't worth telling."""


class FollowingStatus(QObject):
    """Such as 'Following 40 %' and 'Stop': two widgets to lay out."""

    appeared = pyqtSignal()
    """It is to be shown, or hidden: see ``is_telling``."""

    def __init__(self, state: DeskState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._percent = 0
        self._is_telling = False
        self._has_led_on = False
        self.words, self.button = QLabel(), QPushButton()
        self.words.setProperty("role", "quiet")
        self._waiting = QTimer(self)
        self._waiting.setSingleShot(True)
        self._waiting.setInterval(_PATIENCE_MS)
        self._waiting.timeout.connect(self._tell)
        self.button.clicked.connect(self._press)
        state.opened.connect(self._open)
        self._open()

    @property
    def widgets(self) -> tuple[QWidget, ...]:
        """What is shown, in order."""
        return self.words, self.button

    @property
    def is_telling(self) -> bool:
        """Whether there is something to tell."""
        return self._is_telling

    def _open(self) -> None:
        following = self._state.following
        self._has_led_on = False
        if following is not None:
            following.changed.connect(self._changed)
            following.progressed.connect(self._progressed)
        self._changed()

    def _changed(self) -> None:
        following = self._state.following
        is_running = following is not None and following.is_running
        if following is not None and following.is_stopped:
            self._tell()
        elif not is_running:
            self._waiting.stop()
            self._tell()
        elif not self._is_telling and not self._waiting.isActive():
            self._percent = 0
            self._waiting.start()
        elif self._is_telling:
            self._tell()

    def _progressed(self, part: float) -> None:
        self._percent = round(100 * part)
        if self._is_telling:
            self._write()

    def _tell(self) -> None:
        following = self._state.following
        was = self._is_telling
        is_done = was and following is not None and following.followed is not None
        self._is_telling = following is not None and (following.is_running or following.is_stopped)
        self._write()
        if was != self._is_telling:
            self.appeared.emit()
        if is_done and not self._is_telling and not self._has_led_on:
            self._has_led_on = True
            self._state.say("The points are followed: Ctrl+Shift+M tells of the movement.")

    def _write(self) -> None:
        following = self._state.following
        if following is None:
            return
        if following.is_stopped:
            self.words.setText("Following stopped")
            words, tip = "Go on", "Go on following the points"
        else:
            self.words.setText(f"Following {self._percent} %")
            words, tip = "Stop", "Stop following the points; what is known so far stays"
        # So that a digit more doesn't move what stands beside it.
        wide = self.words.fontMetrics().horizontalAdvance("Following 100 %")
        self.words.setMinimumWidth(wide + 2)
        self.button.setText(words)
        self.button.setToolTip(tip)
        self.button.setAccessibleName(tip)

    def _press(self) -> None:
        following = self._state.following
        if following is not None:
            if following.is_stopped:
                following.resume()
            else:
                following.stop()
