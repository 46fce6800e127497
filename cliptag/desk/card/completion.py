"""The phrase book at hand: sentences offered while one types the beginnings of their words."""

from __future__ import annotations

import re
from typing import Final

from PyQt6.QtCore import QAbstractItemModel, QStringListModel, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QCompleter

from cliptag.desk import look
from cliptag.desk.card.typing_text import TypingText
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.state import DeskState
from cliptag.errors import CliptagError

_LEAST_LETTERS: Final = 2
_OFFERED: Final = 6
_ENDED: Final = re.compile(r"(?s:.*)(?:[.!?…؟।]+[\"'”’»)]*\s|[。！？]+|\n)")
"""Everything up to the end of the last whole sentence; '3.5' ends none."""


def sentence_begun(before_cursor: str) -> str:
    """What was typed of the sentence that the cursor is in."""
    ended = _ENDED.match(before_cursor)
    return before_cursor[ended.end() if ended else 0 :].lstrip()


class PhraseText(TypingText):
    """A text field with the phrase book: Tab or Enter takes the offered sentence, Esc refuses."""

    def __init__(
        self, state: DeskState, phrases: PhraseBook, *, lines: tuple[int, int] = (3, 8)
    ) -> None:
        super().__init__(lines=lines)
        self._state, self._phrases = state, phrases
        self._model = QStringListModel(self)
        self.completer = QCompleter(self._model, self)
        self.completer.setWidget(self)
        self.completer.setCompletionMode(QCompleter.CompletionMode.UnfilteredPopupCompletion)
        self.completer.setMaxVisibleItems(_OFFERED)
        self.completer.activated[str].connect(self._take)
        popup = self.completer.popup()
        assert popup is not None
        self._popup = popup
        popup.setAccessibleName("Sentences from the phrase book")
        popup.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.typed.connect(self._offer)
        look.look().changed.connect(self._restyle)
        self._restyle()

    @property
    def is_offering(self) -> bool:
        """Whether sentences are offered right now."""
        return self._popup.isVisible()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and self.is_offering and event.key() in _TAKING:
            event.ignore()  # The list takes it.
            return
        super().keyPressEvent(event)

    def focusNextPrevChild(self, is_next: bool) -> bool:  # noqa: N802 - Qt's name
        return False if self.is_offering else super().focusNextPrevChild(is_next)

    def _offer(self) -> None:
        begun = sentence_begun(self.before_cursor())
        after = self.text()[len(self.before_cursor()) :]
        is_at_end = not after or after[0] in "\n "
        found: list[str] = []
        if len(begun.strip()) >= _LEAST_LETTERS and is_at_end and not begun.endswith("  "):
            offered = self._phrases.matching(begun, _OFFERED)
            found = [phrase for phrase in offered if phrase != begun]
        self._model.setStringList(found)
        if not found:
            self._popup.hide()
            return
        where = self.cursorRect()
        where.setLeft(0)
        where.setWidth(self.width())
        where.translate(0, look.space(0.3))
        self.completer.complete(where)
        self._popup.setCurrentIndex(self._rows().index(0, 0))

    def _restyle(self) -> None:
        colours, pad = look.palette(), look.space(0.25)
        self._popup.setFont(look.font())
        self._popup.setStyleSheet(
            f"QListView {{ background: {colours.plate}; border: 1px solid {colours.edge}; "
            f"padding: {pad}px; }}"
            f"QListView::item {{ color: {colours.ink}; padding: {pad}px; "
            f"border-radius: {pad}px; }}"
            f"QListView::item:selected {{ background: {colours.chosen}; color: {colours.ink}; }}"
        )

    def _rows(self) -> QAbstractItemModel:
        rows = self.completer.completionModel()
        assert rows is not None
        return rows

    def _take(self, phrase: str) -> None:
        self.replace_before_cursor(len(sentence_begun(self.before_cursor())), phrase)
        self._popup.hide()
        try:
            self._phrases.used(phrase)
        except CliptagError as error:
            self._state.warned.emit(str(error))


_TAKING: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Escape)
