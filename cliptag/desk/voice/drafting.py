"""Draft captions from spoken notes, heard in the background."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.bug_log import log_bug
from cliptag.desk.document import Document
from cliptag.desk.state import DeskState
from cliptag.errors import CliptagError
from cliptag.review import Voice, edit
from cliptag.voice import Recogniser, draft_text, open_recogniser, take_file


@dataclass(frozen=True, slots=True, eq=False)
class _Wish:
    document: Document
    note_id: str
    voice: Voice
    take: Path


class Drafting(QObject):
    """Writes down what spoken notes without a text say, as drafts, one after the other.

    Without a model nothing happens. A note that got a text meanwhile keeps it.
    """

    _heard = pyqtSignal(object, str, str)

    def __init__(
        self,
        state: DeskState,
        parent: QObject | None = None,
        *,
        open_model: Callable[[Path, str | None], Recogniser] = open_recogniser,
    ) -> None:
        super().__init__(parent)
        self._state = state
        self._open_model = open_model
        self._model: Path | None = None
        self._language: str | None = None
        self._asked: set[tuple[str, Voice]] = set()
        self._waiting: queue.SimpleQueue[_Wish | None] = queue.SimpleQueue()
        self._opened: tuple[Path, Recogniser] | None = None
        self._is_closing = False
        self._thread: threading.Thread | None = None
        self._heard.connect(self._take)
        state.reviewed.connect(self._look_for_work)
        state.opened.connect(self._asked.clear)

    def use(self, model: Path | None, language: str | None = None) -> None:
        """Use the model in this folder from now on; None: the coach types."""
        if (model, language) != (self._model, self._language):
            self._model, self._language = model, language
            self._look_for_work()

    def close(self) -> None:
        """Give up what waits, and wait for the present one."""
        self._is_closing = True
        self._waiting.put(None)
        if self._thread is not None:
            self._thread.join()

    def _look_for_work(self) -> None:
        document = self._state.document
        if self._model is None or document is None:
            return
        for note in document.review.notes:
            voice = note.voice
            if voice is None or note.text.strip() or (note.id, voice) in self._asked:
                continue
            self._asked.add((note.id, voice))
            take = take_file(voice.path, document.path.parent)
            self._waiting.put(_Wish(document, note.id, voice, take))
        if self._thread is None and not self._waiting.empty():
            self._thread = threading.Thread(target=self._serve, name="desk words", daemon=True)
            self._thread.start()

    def _serve(self) -> None:
        while (wish := self._waiting.get()) is not None and not self._is_closing:
            words = trouble = ""
            try:
                voice = wish.voice
                words = draft_text(self._recogniser(), wish.take, voice.start_us, voice.end_us)
            except CliptagError as error:
                trouble = str(error)
            except Exception:
                trouble = log_bug()
            self._heard.emit(wish, words, trouble)

    def _recogniser(self) -> Recogniser:
        model, language = self._model, self._language
        if model is None:
            raise CliptagError("No speech model is chosen: type what you said.")
        if self._opened is None or self._opened[0] != model:
            self._opened = model, self._open_model(model, language)
        return self._opened[1]

    def _take(self, wish: _Wish, words: str, trouble: str) -> None:
        document = self._state.document
        if trouble:
            self._state.warned.emit(trouble)
        if document is not wish.document or not words:
            return
        note = next((n for n in document.review.notes if n.id == wish.note_id), None)
        if note is not None and note.voice == wish.voice and not note.text.strip():
            document.do(edit.with_draft_text(document.review, note.id, words), "draft caption")
