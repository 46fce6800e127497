"""How long the window's thread is held up while something goes on."""

from __future__ import annotations

import time

import numpy as np
from PyQt6.QtCore import QEventLoop, QObject, Qt, QTimer

_BEAT_MS = 2


class BlockWatch(QObject):
    """A quick timer whose beats stay out for as long as the thread does something else.

    Used with ``with``. A block is how much later a beat came than it was due; on a busy machine
    that is also how long other programs were let go first. So the thread's own work between two
    beats, in processor time, is kept beside it.
    """

    def __init__(self) -> None:
        super().__init__()
        self.blocks_ms: list[float] = []
        self.works_ms: list[float] = []
        self._last_s = self._worked_s = 0.0
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_BEAT_MS)
        self._timer.timeout.connect(self._beat)

    def __enter__(self) -> BlockWatch:
        self.leave_out()
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._beat()
        self._timer.stop()

    @property
    def longest_ms(self) -> float:
        return max(self.blocks_ms)

    @property
    def longest_work_ms(self) -> float:
        return max(self.works_ms)

    @property
    def p95_ms(self) -> float:
        return float(np.percentile(self.blocks_ms, 95))

    def leave_out(self) -> None:
        """Not count what the thread has done since the last beat: it was the test's own doing."""
        self._last_s, self._worked_s = time.perf_counter(), time.thread_time()

    def _beat(self) -> None:
        now_s, worked_s = time.perf_counter(), time.thread_time()
        self.blocks_ms.append(max(0.0, (now_s - self._last_s) * 1e3 - _BEAT_MS))
        self.works_ms.append((worked_s - self._worked_s) * 1e3)
        self._last_s, self._worked_s = now_s, worked_s


def rest(seconds: float) -> None:
    """Let the event loop run for so long, asleep in between: a loop that polls takes the lock
    that Python's threads share, and slows down what it waits for."""
    loop = QEventLoop()
    timer = QTimer()
    timer.setTimerType(Qt.TimerType.PreciseTimer)
    timer.setSingleShot(True)
    timer.timeout.connect(loop.quit)
    timer.start(round(seconds * 1000))
    loop.exec()
