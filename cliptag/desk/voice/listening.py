"""Listening to a stretch of a take."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final

import numpy as np
from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.playhead import Playhead
from cliptag.desk.sound import SoundPlayer
from cliptag.desk.sound_output import SoundOutput, open_output
from cliptag.voice import TakeReader

_STEP_US: Final = 30_000


class Listening(QObject):
    """Plays a take from one time to another; nothing is heard where there is no loudspeaker."""

    changed = pyqtSignal()
    """``is_on`` is another."""
    heard = pyqtSignal(int)
    """The time of the take that is heard just now, in µs."""

    def __init__(
        self,
        parent: QObject | None = None,
        *,
        open_output: Callable[[], SoundOutput | None] = open_output,
    ) -> None:
        super().__init__(parent)
        self._playhead = Playhead(self)
        self._player = SoundPlayer(self._playhead, self, open_output=open_output)
        self._end_us = 0
        self._playhead.moved.connect(self._moved)
        self._playhead.playing_changed.connect(self.changed)

    @property
    def is_on(self) -> bool:
        return self._playhead.is_playing

    def play(self, take: Path, start_us: int, end_us: int, length_us: int) -> None:
        """Play a stretch of a take of this length."""
        self.stop()
        times = np.arange(0, max(length_us, 2 * _STEP_US), _STEP_US).astype(np.int64)
        self._playhead.set_clip(times, length_us)
        self._player.set_source(partial(TakeReader, take))
        self._end_us = end_us
        self._playhead.go_to_time(start_us)
        self._playhead.play()

    def stop(self) -> None:
        """Fall silent."""
        self._playhead.pause()

    def close(self) -> None:
        """End its thread."""
        self.stop()
        self._player.close()

    def _moved(self, index: int) -> None:
        self.heard.emit(self._playhead.time_us)
        if self._playhead.is_playing and self._playhead.time_us >= self._end_us:
            self._playhead.pause()
