"""The thread that has the casebook open: it answers the window's questions one after the other."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final, TypeVar

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.casebook import Casebook, Watch
from cliptag.errors import CliptagError

_T = TypeVar("_T")
_LOOK_S: Final = 1.0
"""How often it looks whether another program has changed the casebook."""


@dataclass(frozen=True, slots=True)
class _Question:
    work: Callable[[Casebook], Any]
    then: Callable[[Any], object]
    key: str


class Clerk(QObject):
    """Answers come back in the window's thread, in the order of the questions."""

    failed = pyqtSignal(str)
    """A question could not be answered; the casebook is as it was."""
    broken = pyqtSignal(str)
    """The casebook can't be opened."""
    changed = pyqtSignal()
    """Somebody changed the casebook."""
    _answered = pyqtSignal(object, object)

    def __init__(self, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._folder = folder
        self._questions: queue.SimpleQueue[_Question | None] = queue.SimpleQueue()
        self._newest: dict[str, _Question] = {}
        self._is_closing = False
        self._answered.connect(self._give)
        self._thread = threading.Thread(target=self._run, name="casebook clerk", daemon=True)
        self._thread.start()

    def ask(
        self, work: Callable[[Casebook], _T], then: Callable[[_T], object], key: str = ""
    ) -> None:
        """Have something done, and be told what came of it.

        Of questions with the same ``key`` only the newest is answered.
        """
        question = _Question(work, then, key)
        if key:
            self._newest[key] = question
        self._questions.put(question)

    def close(self) -> None:
        """Answer what was asked, close the casebook and wait for the thread."""
        self._is_closing = True
        self._questions.put(None)
        self._thread.join()

    def _give(self, question: _Question, answer: object) -> None:
        if not self._is_closing and self._newest.get(question.key, question) is question:
            question.then(answer)

    def _run(self) -> None:
        book: Casebook | None = None
        watch = Watch(self._folder)
        try:
            while True:
                try:
                    question = self._questions.get(timeout=_LOOK_S)
                except queue.Empty:
                    if watch.has_changed():
                        self.changed.emit()
                    continue
                if question is None:
                    return
                if self._newest.get(question.key, question) is not question:
                    continue
                if book is None:
                    book = self._open()
                    watch.has_changed()  # from here on
                if book is not None:
                    self._answer(book, question)
        finally:
            watch.close()
            if book is not None:
                book.close()

    def _open(self) -> Casebook | None:
        try:
            return Casebook.open(self._folder)
        except CliptagError as error:
            self.broken.emit(str(error))
        except Exception:
            self.broken.emit(log_bug())
        return None

    def _answer(self, book: Casebook, question: _Question) -> None:
        try:
            answer = question.work(book)
        except CliptagError as error:
            self.failed.emit(str(error))
        except Exception:
            self.failed.emit(log_bug())
        else:
            self._answered.emit(question, answer)
