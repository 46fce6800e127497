"""Something about the casebook that takes long: in a thread of its own, told of, and stopped."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Any, Final, Protocol

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.errors import CliptagError


class Step(Protocol):
    """What a job tells while it works; it may be told to stop then, by JobStopped."""

    def __call__(self, done: int, total: int) -> None: ...

    @property
    def is_stopping(self) -> bool: ...


class JobStopped(BaseException):
    """The person asked the job to stop; not an Exception, so that nobody takes it for a failure."""


class BookJob(QObject):
    """Runs ``work``, which opens a casebook of its own: each is for one thread."""

    progressed = pyqtSignal(int, int)
    done = pyqtSignal(object)
    failed = pyqtSignal(str)
    stopped = pyqtSignal()
    ended = pyqtSignal()
    """After any of these three."""

    def __init__(
        self,
        words: str,
        work: Callable[[Step], Any],
        parent: QObject | None = None,
        *,
        can_stop: bool = True,
    ) -> None:
        super().__init__(parent)
        self.can_stop: Final = can_stop
        """False for what is done as a whole."""
        self.words: Final = words
        """What is being done, such as 'Adding clips'."""
        self._work = work
        self._is_stopping = threading.Event()
        self._thread = threading.Thread(target=self._run, name=f"casebook: {words}", daemon=True)

    def start(self) -> None:
        """Begin; nothing is told before."""
        self._thread.start()

    def stop(self) -> None:
        """Ask it to stop; ``stopped`` tells when it has."""
        self._is_stopping.set()

    def close(self) -> None:
        """Stop it and wait for it."""
        self.stop()
        if self._thread.ident is not None:
            self._thread.join()

    @property
    def is_stopping(self) -> bool:
        return self._is_stopping.is_set()

    def __call__(self, done: int, total: int) -> None:
        self.progressed.emit(done, total)
        if self.is_stopping:
            raise JobStopped

    def _run(self) -> None:
        try:
            answer = self._work(self)
        except JobStopped:
            self.stopped.emit()
        except CliptagError as error:
            self.failed.emit(str(error))
        except Exception:
            self.failed.emit(log_bug())
        else:
            self.done.emit(answer)
        self.ended.emit()
