"""Saving without being asked: each change is in the review's file within a second."""

from __future__ import annotations

import threading
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import msgspec
import platformdirs
from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.errors import ReviewError
from cliptag.review import SUFFIX, Review, edit, path_for_review, save_review
from cliptag.voice import take_file

QUIET_S: Final = 0.3
"""After the last change."""
LONGEST_S: Final = 0.6
"""After the first change that isn't written yet; the rest of a second is for the disk."""
RETRY_S: Final = 5.0
"""How often a version that no file could take is tried again."""


@dataclass(frozen=True, slots=True)
class _Waiting:
    review: Review
    first_s: float
    last_s: float

    @property
    def due_s(self) -> float:
        return min(self.last_s + QUIET_S, self.first_s + LONGEST_S)


class Saver(QObject):
    """Writes the newest version of one review to its file, in a thread of its own.

    Nothing is written before the first change. Where the review's folder can't be written, it is
    kept in the user's own folder (see ``spare_path``) and ``trouble`` says so, once.
    """

    settled = pyqtSignal()
    """``is_saved`` or ``path`` may be another."""
    trouble = pyqtSignal(str)

    def __init__(self, path: Path, clip_path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.path = path
        """Where the newest version was written, or will be."""
        self._own_path = path
        self._clip_path = clip_path
        self._said: str | None = None
        self._wake = threading.Condition()
        self._waiting: _Waiting | None = None
        self._is_writing = False
        self._is_hurried = False
        self._is_closing = False
        self._failed: Review | None = None
        self._thread = threading.Thread(target=self._serve, name="desk saving", daemon=True)
        self._thread.start()

    @property
    def is_saved(self) -> bool:
        """Whether the newest version is in a file."""
        with self._wake:
            return self._waiting is None and not self._is_writing and self._failed is None

    def take(self, review: Review) -> None:
        """Have this version written soon; it takes the place of one that is still waiting."""
        now_s = time.monotonic()
        with self._wake:
            first_s = self._waiting.first_s if self._waiting else now_s
            self._waiting = _Waiting(review, first_s, now_s)
            self._failed = None
            self._wake.notify_all()
        self.settled.emit()

    def flush(self, timeout_s: float = 10.0) -> bool:
        """Write what waits at once and wait for it; gives whether all is in a file."""
        with self._wake:
            if self._waiting is None and self._failed is not None:
                self._waiting, self._failed = _Waiting(self._failed, 0.0, 0.0), None
            self._is_hurried = True
            self._wake.notify_all()
            self._wake.wait_for(lambda: self._waiting is None and not self._is_writing, timeout_s)
            self._is_hurried = False
        return self.is_saved

    def close(self) -> bool:
        """Write what waits and end the thread; gives whether all is in a file."""
        is_saved = self.flush()
        with self._wake:
            self._is_closing = True
            self._wake.notify_all()
        self._thread.join()
        return is_saved

    def _serve(self) -> None:
        while (review := self._next()) is not None:
            sentence = self._write(review)
            with self._wake:
                self._is_writing = False
                self._wake.notify_all()
                is_closing = self._is_closing
            if is_closing:
                return
            if sentence is not None and sentence != self._said:
                self.trouble.emit(sentence)
            self._said = sentence
            self.settled.emit()

    def _next(self) -> Review | None:
        """The version to write, when it is time for it; None when the thread is to end."""
        with self._wake:
            while True:
                waiting = self._waiting
                if waiting is None:
                    if self._is_closing:
                        return None
                    if not self._wake.wait(RETRY_S if self._failed else None) and self._failed:
                        self._waiting, self._failed = _Waiting(self._failed, 0.0, 0.0), None
                    continue
                left_s = waiting.due_s - time.monotonic()
                if left_s <= 0 or self._is_hurried or self._is_closing:
                    self._waiting, self._is_writing = None, True
                    return waiting.review
                self._wake.wait(left_s)

    def _write(self, review: Review) -> str | None:
        """Write to the review's own file, else to the spare one; gives what one must know."""
        try:
            save_review(review, self._own_path)
        except ReviewError as error:
            return self._write_spare(review, error)
        spare = spare_path(self._own_path, review.clip.digest)
        if self.path == spare != self._own_path:
            spare.unlink(missing_ok=True)
        self.path = self._own_path
        return None

    def _write_spare(self, review: Review, error: ReviewError) -> str:
        spare = spare_path(self._own_path, review.clip.digest)
        where = path_for_review(self._clip_path, spare)
        clip = msgspec.structs.replace(review.clip, path=where)
        home = self._own_path.parent
        kept = edit.with_voice_paths(review, lambda path: take_file(path, home).as_posix())
        try:
            spare.parent.mkdir(parents=True, exist_ok=True)
            save_review(msgspec.structs.replace(kept, clip=clip), spare)
        except (ReviewError, OSError):
            with self._wake:
                self._failed = review
            return str(error)
        self.path = spare
        return f"{self._own_path.parent} can't be written, so your review is kept in {spare}."


def spare_path(review_path: Path, clip_digest: str) -> Path:
    """Where the review of a clip is kept when its own folder can't be written."""
    folder = platformdirs.user_data_path("cliptag", appauthor=False) / "reviews"
    if review_path.parent == folder:
        return review_path
    stem = review_path.name.removesuffix(SUFFIX)
    return folder / f"{stem}.{clip_digest[:12]}{SUFFIX}"


def newer_spare(review_path: Path, clip_digest: str) -> Path | None:
    """The version that was kept elsewhere, if it is newer than the review's own file."""
    spare = spare_path(review_path, clip_digest)
    if spare == review_path:
        return None
    written = _written_at(spare)
    return spare if written is not None and written > (_written_at(review_path) or 0.0) else None


def _written_at(path: Path) -> float | None:
    try:
        return path.stat().st_mtime
    except OSError:
        return None
