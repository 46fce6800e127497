"""One take while it is recorded."""

from __future__ import annotations

import queue
import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final

from PyQt6.QtCore import QObject, QTimer, pyqtSignal

from cliptag.desk.voice.input import Samples, SoundInput
from cliptag.errors import VoiceError
from cliptag.voice import TAKE_RATE, Level, TakeWriter, finish_take, level_of

_WATCH_MS: Final = 250
_DEAF_S: Final = 3.0
"""A device that gives nothing for so long is taken for unplugged."""


class Recording(QObject):
    """Hears a microphone into a take's file; the file is written in a thread of its own.

    ``heard_level`` is sent for every piece that comes in. ``ended`` is sent once, with the finished
    take, or None if it is empty; ``failed`` says before that what went wrong on the way, and the
    sound until then is kept all the same.
    """

    heard_level = pyqtSignal(object)
    ended = pyqtSignal(object)
    failed = pyqtSignal(str)

    _finished = pyqtSignal(object, str)

    def __init__(self, source: SoundInput, path: Path, parent: QObject | None = None) -> None:
        """``path`` is that of ``new_take``. Raises VoiceError when it can't be written."""
        super().__init__(parent)
        self._source = source
        self._writer = TakeWriter(path)
        self._waiting: queue.SimpleQueue[Samples | None] = queue.SimpleQueue()
        self._began_s: float | None = None
        self._heard_s = time.monotonic()
        self._length = 0
        self._is_over = False
        self._finished.connect(self._tell)
        self._thread = threading.Thread(target=self._write, name="desk voice", daemon=True)
        self._watch = QTimer(self)
        self._watch.setInterval(_WATCH_MS)
        self._watch.timeout.connect(self._look_after)
        self._was_clipped = False

    def begin(self) -> bool:
        """Start; False when the microphone gives nothing."""
        self._thread.start()
        if not self._source.begin(self._hear):
            self.stop()
            return False
        self._watch.start()
        return True

    @property
    def path(self) -> Path:
        return self._writer.path

    @property
    def was_clipped(self) -> bool:
        """Whether the voice was too loud at any time."""
        return self._was_clipped

    @property
    def now_us(self) -> int:
        """How much of the take there is at this moment, on the take's own clock."""
        if self._began_s is None:
            return 0
        return round((time.monotonic() - self._began_s) * 1e6)

    def stop(self) -> None:
        """End it; ``ended`` tells when the file is complete."""
        if not self._is_over:
            self._watch.stop()
            self._source.end()
            self._is_over = True
            self._waiting.put(None)

    def close(self) -> None:
        """End it and wait for it."""
        self.stop()
        self._thread.join()

    def _hear(self, samples: Samples) -> None:
        if self._is_over:
            return
        now_s = time.monotonic()
        if self._began_s is None:
            self._began_s = now_s - len(samples) / TAKE_RATE
        self._heard_s = now_s
        self._waiting.put(samples)
        level: Level = level_of(samples)
        self._was_clipped = self._was_clipped or level.is_clipped
        self.heard_level.emit(level)

    def _look_after(self) -> None:
        is_deaf = time.monotonic() - self._heard_s > _DEAF_S
        if is_deaf or not self._source.is_alive():
            self.failed.emit(
                "The microphone fell silent, so the recording ended there; what it heard is kept."
            )
            self.stop()

    def _write(self) -> None:
        trouble = ""
        while (samples := self._waiting.get()) is not None:
            if not trouble:
                trouble = _said_by(partial(self._writer.write, samples))
        self._writer.close()
        made: list[Path | None] = [None]
        trouble = trouble or _said_by(lambda: made.__setitem__(0, finish_take(self._writer.path)))
        self._finished.emit(made[0], trouble)

    def _tell(self, take: Path | None, trouble: str) -> None:
        if trouble:
            self.failed.emit(trouble)
        self.ended.emit(take)


def _said_by(act: Callable[[], object]) -> str:
    """What a person must know about what was tried; empty when it went well."""
    try:
        act()
    except VoiceError as error:
        return str(error)
    return ""
