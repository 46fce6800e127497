"""Both reviews opened and measured in the background: following points can take a while."""

from __future__ import annotations

import threading
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.desk.pairing.laid import Laid, lay
from cliptag.errors import CliptagError, TrackingCancelled
from cliptag.pairing import Pairing, compare_reviews


class Measuring(QObject):
    """Compares the reviews of a pairing as they are in their files at this moment."""

    progressed = pyqtSignal(float)
    """The part that is done, 0 to 1."""
    done = pyqtSignal()
    """``take`` gives what was laid out; its comparison is the taker's to close."""
    failed = pyqtSignal(str)
    stopped = pyqtSignal()

    def __init__(self, pairing: Pairing, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.pairing, self.path = pairing, path
        self._is_stopping = threading.Event()
        self._result: Laid | None = None
        self._thread = threading.Thread(target=self._run, name="desk measuring", daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Ask it to stop; ``stopped`` tells when it has."""
        self._is_stopping.set()

    def close(self) -> None:
        """Stop it, wait for it, and close what nobody took."""
        self.stop()
        self._thread.join()
        left = self.take()
        if left is not None:
            left.comparison.close()

    def take(self) -> Laid | None:
        """The result, None when there is none (any more)."""
        made, self._result = self._result, None
        return made

    def _run(self) -> None:
        try:
            self._result = self._measure()
        except TrackingCancelled:
            self.stopped.emit()
        except CliptagError as error:
            self.failed.emit(str(error))
        except Exception:
            self.failed.emit(log_bug())
        else:
            self.done.emit()

    def _measure(self) -> Laid:
        made = compare_reviews(
            self.pairing,
            lambda done, _left: self.progressed.emit(done),
            self._is_stopping.is_set,
        )
        try:
            return lay(made)
        except BaseException:
            made.close()
            raise
