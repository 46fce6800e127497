"""The voice of a note, in its card."""

from __future__ import annotations

from pathlib import Path

from PyQt6.QtCore import QTimer
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.fields import quiet
from cliptag.desk.state import DeskState
from cliptag.desk.voice.booth import Booth
from cliptag.desk.voice.input import NO_MICROPHONE, input_names
from cliptag.desk.voice.listening import Listening
from cliptag.desk.voice.meter import LevelMeter
from cliptag.desk.voice.outlines import Outline, Outlines
from cliptag.desk.voice.trim_bar import TrimBar
from cliptag.errors import CliptagError
from cliptag.review import Note, Voice, edit
from cliptag.voice import Level, take_file

_CLOCK_MS = 100


class VoiceRow(QWidget):
    """Speak, listen, trim, speak again; and read what a program made of it."""

    def __init__(self, state: DeskState, booth: Booth, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state, self._booth = state, booth
        self.listening = Listening(self)
        self._outlines = Outlines(self)
        self._outline: Outline | None = None
        self._asked: Path | None = None
        self._shown: Note | None = None
        self.setAccessibleName("Your voice")
        self.bar = TrimBar()
        self.meter = LevelMeter()
        self.words = quiet("")
        self.words.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.draft = quiet("A program wrote this caption down. Read it: it isn't sent until then.")
        self.speak = _button("Speak", "Say this note in your own voice", booth.toggle_note)
        self.listen = _button("Listen", "Hear what the client will hear", self._listen)
        self.remove = _button("Remove", "Take the voice away; its file stays", self._remove)
        self.read = _button("I have read it", "The caption is right: send it", self._have_read)
        self._clock = QTimer(self)
        self._clock.setInterval(_CLOCK_MS)
        self._clock.timeout.connect(self._show_words)
        self._lay_out()
        self.bar.trimmed.connect(self._trim)
        self.bar.settled.connect(self._settle)
        self.listening.changed.connect(self._show)
        self.listening.heard.connect(self._show_heard)
        self._outlines.made.connect(self._take_outline)
        booth.changed.connect(self._show)
        booth.heard_level.connect(self._show_level)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def show_note(self, note: Note) -> None:
        """Show a note's voice, or how to give it one."""
        if self._shown is not None and self._shown.id != note.id:
            self.listening.stop()
        self._shown = note
        self._show()

    def close_threads(self) -> None:
        """End what goes on behind it."""
        self.listening.close()
        self._outlines.close()

    # -- showing --------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        label = QLabel("Your voice")
        label.setProperty("role", "quiet")
        self._layout.addWidget(label)
        self._layout.addWidget(self.bar)
        row = QHBoxLayout()
        for part in (self.speak, self.listen, self.remove, self.meter):
            row.addWidget(part)
        row.addWidget(self.words, 1)
        self._layout.addLayout(row)
        below = QHBoxLayout()
        below.addWidget(self.draft, 1)
        below.addWidget(self.read)
        self._layout.addLayout(below)

    def _show(self) -> None:
        note, booth = self._shown, self._booth
        if note is None:
            return
        voice = note.voice
        is_recorded = booth.state == "note" and booth.note_id == note.id
        is_free = booth.state == "idle"
        can_speak = is_free and bool(input_names())
        self.bar.setVisible(voice is not None and not is_recorded)
        self.listen.setVisible(voice is not None and not is_recorded)
        self.remove.setVisible(voice is not None and not is_recorded)
        self.meter.setVisible(is_recorded)
        self.speak.setText("Stop" if is_recorded else "Speak again" if voice else "Speak")
        self.speak.setEnabled(is_recorded or can_speak)
        self.listen.setText("Stop" if self.listening.is_on else "Listen")
        for part in (self.draft, self.read):
            part.setVisible(note.is_draft)
        if is_recorded:
            self._clock.start()
        else:
            self._clock.stop()
            self.meter.clear()
        if voice is not None:
            self._show_voice(voice)
        self._show_words()

    def _show_voice(self, voice: Voice) -> None:
        take = self._take(voice)
        if take is not None and take != self._asked:
            self._asked, self._outline = take, None
            self._outlines.ask(take)
        self.bar.setEnabled(self._outline is not None and not self._outline.trouble)
        self.bar.show_trim(voice.start_us, voice.end_us)
        if not self.listening.is_on:
            self.bar.show_heard(None)

    def _show_words(self) -> None:
        self.words.setText(self._words())

    def _words(self) -> str:
        note, booth = self._shown, self._booth
        if note is None:
            return ""
        if booth.state == "note" and booth.note_id == note.id:
            if not booth.length_us:
                return "One moment\u2026"
            return f"Speak: {booth.length_us / 1e6:.1f} s, {self.meter.words}"
        if note.voice is not None:
            if self._outline is not None and self._outline.trouble:
                return self._outline.trouble
            return f"{note.voice.length_us / 1e6:.1f} s"
        return "" if input_names() else NO_MICROPHONE

    def _show_level(self, level: Level) -> None:
        self.meter.show_level(level)

    def _show_heard(self, time_us: int) -> None:
        self.bar.show_heard(time_us if self.listening.is_on else None)

    def _take_outline(self, outline: Outline) -> None:
        if outline.path == self._asked:
            self._outline = outline
            self.bar.show_take(outline.shape, outline.length_us)
            self._show()

    # -- doing ----------------------------------------------------------------------------------

    def _take(self, voice: Voice) -> Path | None:
        document = self._state.document
        return None if document is None else take_file(voice.path, document.path.parent)

    def _listen(self) -> None:
        note, outline = self._shown, self._outline
        if self.listening.is_on or note is None or note.voice is None or outline is None:
            self.listening.stop()
        elif not outline.trouble:
            voice = note.voice
            self._state.playhead.pause()
            self.listening.play(outline.path, voice.start_us, voice.end_us, outline.length_us)

    def _trim(self, start_us: int, end_us: int) -> None:
        document, note = self._state.document, self._shown
        if document is None or note is None or note.voice is None:
            return
        try:
            review = edit.with_voice_trim(document.review, note.id, start_us, end_us)
        except CliptagError as error:
            self._state.warned.emit(str(error))
            return
        document.do(review, "trim voice", run=f"trim {note.id}")

    def _settle(self) -> None:
        if self._state.document is not None:
            self._state.document.end_run()

    def _remove(self) -> None:
        document, note = self._state.document, self._shown
        if document is not None and note is not None:
            self.listening.stop()
            document.do(edit.with_voice(document.review, note.id, None), "remove voice")

    def _have_read(self) -> None:
        document, note = self._state.document, self._shown
        if document is not None and note is not None:
            document.do(edit.with_text_read(document.review, note.id), "read caption")

    def _restyle(self) -> None:
        self._layout.setSpacing(look.space(0.3))


def _button(words: str, tip: str, act: object) -> QPushButton:
    button = QPushButton(words)
    button.setToolTip(tip)
    button.setAccessibleDescription(tip)
    button.clicked.connect(act)  # type: ignore[arg-type]
    return button
