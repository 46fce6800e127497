"""Which frame of the clip is shown, and how it moves on while the clip plays."""

from __future__ import annotations

import math
import time
from typing import Final

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QObject, Qt, QTimer, pyqtSignal

from cliptag.times import frame_at

SLOWEST: Final = 0.1
FASTEST: Final = 2.0


class Playhead(QObject):
    """A place in the clip, always one whole frame.

    While it plays, the clip's time goes by a steady clock and the frame follows it through the
    frame times: a picture that comes too late is left out, time never is. In between it sleeps
    until the next frame is due; while it stands still, it costs nothing.
    """

    moved = pyqtSignal(int)
    """The frame to show is another one."""
    playing_changed = pyqtSignal(bool)
    speed_changed = pyqtSignal(float)
    loop_changed = pyqtSignal()
    jumped = pyqtSignal()
    """The time went on in a way that playing does not explain: sound has to start anew."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._times_us: NDArray[np.int64] = np.zeros(1, np.int64)
        self._duration_us = 0
        self._index = 0
        self._speed = 1.0
        self._loop: tuple[int, int] | None = None
        self._is_playing = False
        self._from_us = 0
        self._since_s = 0.0
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._tick)

    def set_clip(self, times_us: NDArray[np.int64], duration_us: int) -> None:
        """Start at the first frame of a clip with these frame times."""
        self.pause()
        self._times_us, self._duration_us = times_us, duration_us
        self._loop = None
        self._index = 0
        self.loop_changed.emit()
        self.moved.emit(0)
        self.jumped.emit()

    @property
    def index(self) -> int:
        """The shown frame, from 0."""
        return self._index

    @property
    def time_us(self) -> int:
        """When the shown frame begins, on the clip's own clock."""
        return int(self._times_us[self._index])

    @property
    def clock_us(self) -> int:
        """The clip's time right now; inside the shown frame while playing."""
        if not self.is_playing:
            return self.time_us
        elapsed_us = (time.monotonic() - self._since_s) * 1e6
        return self._from_us + round(elapsed_us * self._speed)

    @property
    def duration_us(self) -> int:
        return self._duration_us

    @property
    def last_index(self) -> int:
        return len(self._times_us) - 1

    @property
    def is_playing(self) -> bool:
        return self._is_playing

    @property
    def speed(self) -> float:
        return self._speed

    @property
    def loop(self) -> tuple[int, int] | None:
        """Start and end of the stretch that is played again and again, in µs; None if none is."""
        return self._loop

    def index_at(self, time_us: int) -> int:
        """The frame shown at a time of the clip."""
        return frame_at(self._times_us, time_us)

    def go_to(self, index: int) -> None:
        """Show a frame; beyond the ends, the first or the last."""
        self._move(min(max(index, 0), self.last_index))
        self._restart_clock(self.time_us)
        self.jumped.emit()

    def go_to_time(self, time_us: int) -> None:
        """Show the frame that is on at a time."""
        self.go_to(self.index_at(time_us))

    def step(self, frames: int) -> None:
        """Pause, and show the frame so many further on (or back, if negative)."""
        self.pause()
        self.go_to(self._index + frames)

    def jump_us(self, by_us: int) -> None:
        """Show the frame this much later (or earlier)."""
        self.go_to_time(min(max(self.clock_us + by_us, 0), self._duration_us))

    def play(self) -> None:
        """Play on from the shown frame; from the start, or the loop's start, when at the end."""
        if self.is_playing or self.last_index == 0:
            return
        if self._loop is not None and not self._loop[0] <= self.time_us < self._loop[1]:
            self.go_to_time(self._loop[0])
        elif self._index == self.last_index:
            self.go_to(0)
        self._is_playing = True
        self._restart_clock(self.time_us)
        self.playing_changed.emit(True)

    def pause(self) -> None:
        """Stand still on the shown frame."""
        if self.is_playing:
            self._is_playing = False
            self._timer.stop()
            self.playing_changed.emit(False)

    def toggle(self) -> None:
        """Play, or stand still."""
        if self.is_playing:
            self.pause()
        else:
            self.play()

    def set_speed(self, speed: float) -> None:
        """Play so many times as fast as the clip; kept between a tenth and double."""
        here_us = self.clock_us
        self._speed = min(max(speed, SLOWEST), FASTEST)
        self._restart_clock(here_us)
        self.speed_changed.emit(self._speed)

    def set_loop(self, start_us: int, end_us: int) -> None:
        """Play the stretch from one time to another again and again."""
        if end_us > start_us:
            self._loop = (start_us, end_us)
            self._wait_for_next()
            self.loop_changed.emit()

    def clear_loop(self) -> None:
        """Play on behind the loop's end again."""
        self._loop = None
        self.loop_changed.emit()

    def shift_clock(self, by_us: int) -> None:
        """Move the running clock a little, so that the pictures keep to the sound that is heard."""
        if self.is_playing:
            self._restart_clock(self.clock_us + by_us)

    def _tick(self) -> None:
        now_us = self.clock_us
        if self._loop is not None and now_us >= self._loop[1]:
            self.go_to_time(self._loop[0])
        elif now_us >= self._duration_us:
            self._move(self.last_index)
            self.pause()
        else:
            # A clock that was moved back a little doesn't show a frame again.
            self._move(max(self.index_at(now_us), self._index))
            self._wait_for_next()

    def _wait_for_next(self) -> None:
        """Sleep until the next frame is due, or the end of the loop or the clip."""
        if not self.is_playing:
            return
        is_last = self._index == self.last_index
        due_us = self._duration_us if is_last else int(self._times_us[self._index + 1])
        if self._loop is not None:
            due_us = min(due_us, self._loop[1])
        left_us = (due_us - self.clock_us) / self._speed
        self._timer.start(max(0, math.ceil(left_us / 1000)))

    def _move(self, index: int) -> None:
        if index != self._index:
            self._index = index
            self.moved.emit(index)

    def _restart_clock(self, from_us: int) -> None:
        self._from_us, self._since_s = from_us, time.monotonic()
        self._wait_for_next()
