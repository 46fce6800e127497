"""How long the window's thread is held up while something goes on."""

from __future__ import annotations

import time

import numpy as np
from PyQt6.QtCore import QEventLoop, QObject, Qt, QTimer

_BEAT_MS = 2


class BlockWatch(QObject):
    """A quick timer whose beats stay out for as long as the thread does something else.

    Used with ``with``. A block is how much later a beat came than it was due.
    """

    def __init__(self) -> None:
        super().__init__()
        self.blocks_ms: list[float] = []
        self._last_s = 0.0
        self._timer = QTimer(self)
        self._timer.setTimerType(Qt.TimerType.PreciseTimer)
        self._timer.setInterval(_BEAT_MS)
        self._timer.timeout.connect(self._beat)

    def __enter__(self) -> BlockWatch:
        self._last_s = time.perf_counter()
        self._timer.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._beat()
        self._timer.stop()

    @property
    def longest_ms(self) -> float:
        return max(self.blocks_ms)

    @property
    def p95_ms(self) -> float:
        return float(np.percentile(self.blocks_ms, 95))

    def _beat(self) -> None:
        now_s = time.perf_counter()
        self.blocks_ms.append(max(0.0, (now_s - self._last_s) * 1e3 - _BEAT_MS))
        self._last_s = now_s


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
