"""The general impression: the first thing that the coach writes and the client reads."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QPalette
from PyQt6.QtWidgets import QFrame, QLabel, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.card.completion import PhraseText
from cliptag.desk.card.tips import KeyedTip
from cliptag.desk.card.typing_text import TypingText
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.state import DeskState
from cliptag.errors import ReviewError
from cliptag.review import edit

_WORDS: Final = "write the general impression"


class ImpressionCard(QFrame):
    """A small card with the review's impression."""

    def __init__(
        self, state: DeskState, phrases: PhraseBook | None = None, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._state = state
        self.setObjectName("impression")
        self.text = (
            TypingText(lines=(2, 4))
            if phrases is None
            else PhraseText(state, phrases, lines=(2, 4))
        )
        self.text.setAccessibleName("General impression")
        self.text.setPlaceholderText("What strikes you first, before any detail?")
        KeyedTip(self.text, "The client reads this first", "impression")
        self._label = QLabel("General impression")
        self._label.setProperty("role", "strong")
        self._label.setBuddy(self.text)
        self._layout = QVBoxLayout(self)
        self._layout.addWidget(self._label)
        self._layout.addWidget(self.text)
        self.text.typed.connect(self._typed)
        self.text.rested.connect(self._rested)
        state.opened.connect(self._show)
        state.reviewed.connect(self._show)
        look.look().changed.connect(self._restyle)
        self._restyle()
        self._show()

    def write(self) -> None:
        """Take the keyboard."""
        self.text.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _typed(self, text: str) -> None:
        document = self._state.document
        if document is None:
            return
        try:
            review = edit.with_fields(document.review, impression=text)
        except ReviewError as error:
            self._state.warned.emit(str(error))
            self._show()
        else:
            document.do(review, _WORDS, run="impression")

    def _rested(self) -> None:
        if self._state.document is not None:
            self._state.document.end_run()

    def _show(self) -> None:
        document = self._state.document
        self.setEnabled(document is not None)
        self.text.show_text("" if document is None else document.review.impression)

    def _restyle(self) -> None:
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.setSpacing(look.space(0.25))
        palette = self.text.palette()
        palette.setColor(QPalette.ColorRole.PlaceholderText, look.palette().colour("quiet_ink"))
        self.text.setPalette(palette)
