"""The heads of the clip on the desk, looked for in the background."""

from __future__ import annotations

import threading
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.clip import open_clip
from cliptag.cover import HeadSearch, find_heads
from cliptag.errors import CliptagError, CoverCancelled

_LEAST_PROGRESS = 0.01


class HeadFinding(QObject):
    """Looks through one clip by itself, in a thread of its own; what is kept comes at once."""

    found = pyqtSignal(object)
    """The ``HeadSearch``."""
    progressed = pyqtSignal(float)
    failed = pyqtSignal(str)

    def __init__(self, clip_path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._clip_path = clip_path
        self._cancel = threading.Event()
        self._thread = threading.Thread(target=self._run, name="desk heads", daemon=True)
        self._thread.start()

    def close(self) -> None:
        """Stop, and wait for the thread."""
        self._cancel.set()
        self._thread.join()

    def _run(self) -> None:
        told = 0.0

        def progress(done: float, _: float | None) -> None:
            nonlocal told
            if done - told >= _LEAST_PROGRESS:
                told = done
                self.progressed.emit(done)

        try:
            with open_clip(self._clip_path) as clip:
                search: HeadSearch = find_heads(clip, progress, self._cancel.is_set)
        except CoverCancelled:
            return
        except CliptagError as error:
            self.failed.emit(str(error))
        except Exception:
            self.failed.emit(log_bug())
        else:
            self.found.emit(search)
