"""Keeps what is on the desk: saves each change, and records what is open."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.bar import Bar
from cliptag.desk.open_records import OpenRecord, forget_left_open, left_open
from cliptag.desk.remembered import Remembered
from cliptag.desk.saving import Saver, newer_spare
from cliptag.desk.state import DeskState
from cliptag.opening import review_path_of


class Keeper(QObject):
    """One saver and one record for the document on the desk."""

    settled = pyqtSignal()
    """``words`` may be others."""

    def __init__(
        self, state: DeskState, bar: Bar, remembered: Remembered, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._state = state
        self._bar = bar
        self._remembered = remembered
        self._saver: Saver | None = None
        self._record: OpenRecord | None = None
        state.opened.connect(self._opened)

    @property
    def words(self) -> str:
        """Whether the work is in a file, as a word for the window's title; empty for no work."""
        document = self._state.document
        if document is None or self._saver is None:
            return ""
        if not self._saver.is_saved:
            return "saving"
        return "saved" if self._saver.path.exists() else "unchanged"

    def flush(self) -> bool:
        """Write what waits at once; gives whether all is in a file."""
        return self._saver is None or self._saver.flush()

    def end(self) -> None:
        """Write what waits and let go of the document."""
        if self._saver is not None:
            is_saved = self._saver.close()
            self._saver.deleteLater()
            if self._record is not None and is_saved:
                self._record.end()
        self._saver = self._record = None

    def offer_what_was_left(self) -> None:
        """After a crash, offer each review that was open then."""
        for record in reversed(left_open()):
            path = Path(record.review)
            name = Path(record.clip).name or path.name
            self._bar.offer(
                f"Your review of {name} was kept when cliptag ended without warning.",
                "Go on",
                partial(self._state.open, path),
            )

    def forget_what_was_left(self) -> None:
        """The person works on: what was left by a crash was offered."""
        forget_left_open()

    def _opened(self) -> None:
        self.end()
        document, clip = self._state.document, self._state.clip
        if document is not None and clip is not None:
            self._saver = Saver(document.path, clip.path, self)
            self._saver.settled.connect(self._settled)
            self._saver.trouble.connect(self._bar.warn)
            self._record = OpenRecord(document.path, clip.path)
            document.changed.connect(self._changed)
            is_beside = document.path == review_path_of(clip.path)
            self._remembered.add_recent((clip.path if is_beside else document.path).absolute())
            self._tell(document.path, document.review.clip.digest)
        self.settled.emit()

    def _tell(self, path: Path, digest: str) -> None:
        assert self._record is not None
        if not self._record.is_held:
            self._bar.warn(
                "This review is open in another window too: close one of them, since each would "
                "write over the other's changes."
            )
        spare = newer_spare(path, digest)
        if spare is not None:
            self._bar.offer(
                f"A later version of this review was kept in {spare.parent}.",
                "Go on with that one",
                partial(self._state.open, spare),
            )

    def _changed(self) -> None:
        if self._saver is not None and self._state.document is not None:
            self._saver.take(self._state.document.review)

    def _settled(self) -> None:
        if self._record is not None and self._saver is not None:
            self._record.write(self._saver.path)
        self.settled.emit()
