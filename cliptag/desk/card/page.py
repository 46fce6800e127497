"""The card's middle: text, reading time, marks, interval and pace; it scrolls if it must."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.card.completion import PhraseText
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.card.interval import IntervalRow
from cliptag.desk.card.mark_list import MarkList
from cliptag.desk.card.numbers import NumberChips
from cliptag.desk.card.pace import PaceRow
from cliptag.desk.card.repetitions import RepetitionsRow
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.state import DeskState
from cliptag.desk.strip.reading import Reading
from cliptag.desk.voice import Booth, VoiceRow
from cliptag.errors import CliptagError
from cliptag.review import Note


class CardPage(QScrollArea):
    """All fields of a note below its region and kind."""

    resized = pyqtSignal()
    """It wants to be of another height."""

    def __init__(
        self, state: DeskState, edits: NoteEdits, phrases: PhraseBook, booth: Booth | None = None
    ) -> None:
        super().__init__()
        self._state, self._edits, self._phrases = state, edits, phrases
        self.text = PhraseText(state, phrases)
        self.text.setAccessibleName("Text of the note")
        self.text.setPlaceholderText("Write to the client, as you would say it")
        self.text.setToolTip("The note; your own sentences are offered as you type")
        self.text.typed.connect(self._typed)
        self.text.rested.connect(edits.end_run)
        self.text.selectionChanged.connect(self._show_remember)
        self.reading = QLabel()
        self.reading.setProperty("role", "quiet")
        self.reading.setWordWrap(True)
        self.remember = QPushButton()
        self.remember.setProperty("role", "link")
        self.remember.clicked.connect(self._remember_or_forget)
        self.interval = IntervalRow(state, edits)
        self.pace = PaceRow(edits)
        self.marks = MarkList(state, edits)
        self.repetitions = RepetitionsRow(edits)
        self.voice = None if booth is None else VoiceRow(state, booth)
        self.numbers = NumberChips(state, edits)
        self._inside = QWidget()
        self._layout = QVBoxLayout(self._inside)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.addWidget(self.text)
        below = QHBoxLayout()
        below.addWidget(self.reading, 1)
        below.addWidget(self.remember, 0, Qt.AlignmentFlag.AlignTop)
        self._layout.addLayout(below)
        if self.voice is not None:
            self._layout.addWidget(self.voice)
        for part in (self.numbers, self.repetitions, self.marks, self.interval, self.pace):
            self._layout.addWidget(part)
        self._layout.addStretch(1)
        self.setWidget(self._inside)
        self.setWidgetResizable(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._inside.installEventFilter(self)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def show_note(self, note: Note) -> None:
        """Show a note."""
        self.text.show_text(note.text)
        clip = self._state.clip
        is_photo = clip is not None and clip.info.is_photo
        self.interval.setVisible(not is_photo)
        self.interval.show_note(note)
        self.pace.show_speed(not is_photo)
        self.pace.show_note(note)
        self.repetitions.show_note(note)
        if self.voice is not None:
            self.voice.show_note(note)
        self.numbers.show_note(note)
        self.marks.show_note(note)
        self._show_remember()

    def show_reading(self, reading: Reading | None) -> None:
        """Show what reading needs; None while it is not known yet."""
        self.reading.setText("" if reading is None else reading.words)

    def forget(self) -> None:
        """Another note is shown."""
        self.interval.forget()

    def height_of_all(self) -> int:
        """The height at which nothing scrolls, at the width that it has."""
        height = self._layout.heightForWidth(max(1, self._inside.width()))
        return max(height, self._layout.minimumSize().height())

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:  # noqa: N802
        if event is not None and event.type() == QEvent.Type.LayoutRequest:
            self.resized.emit()
        return super().eventFilter(watched, event)

    def _typed(self, text: str) -> None:
        note = self._edits.note
        if note is not None and not self._edits.write(text):
            self.text.show_text(note.text)

    def _sentence(self) -> str:
        """What would be remembered: the chosen part of the text, else all of it."""
        chosen = self.text.textCursor().selectedText().replace("\u2029", "\n")
        return (chosen or self.text.text()).strip()

    def _show_remember(self) -> None:
        sentence = self._sentence()
        is_known = self._phrases.knows(sentence)
        self.remember.setText("Forget" if is_known else "Remember")
        words = (
            "Take this sentence out of the phrase book"
            if is_known
            else "Keep this sentence, or the chosen part of it, in the phrase book"
        )
        self.remember.setAccessibleName(words)
        self.remember.setToolTip(words)
        self.remember.setVisible(bool(sentence))

    def _remember_or_forget(self) -> None:
        sentence = self._sentence()
        try:
            if self._phrases.knows(sentence):
                self._phrases.forget(sentence)
            else:
                self._phrases.remember(sentence)
                self._state.say("Remembered: type the first letters of its words to have it back.")
        except CliptagError as error:
            self._state.warned.emit(str(error))
        self._show_remember()

    def _restyle(self) -> None:
        self._layout.setSpacing(look.space(0.5))
