"""When a note starts and ends: typed to the millisecond, or taken from the playhead."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QKeyEvent
from PyQt6.QtWidgets import QGridLayout, QLabel, QLineEdit, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.state import DeskState
from cliptag.desk.strip.clock import parse_time, time_words
from cliptag.desk.strip.frame_times import FrameTimes
from cliptag.review import Note

_NO_TIME: Final = "Type a time such as 0:03.467."
_BACKWARDS: Final = "A note can't end before it starts."


class TimeEdit(QLineEdit):
    """A time; Esc brings the one back that holds."""

    timed = pyqtSignal(str)
    """Another text was typed and is to be taken."""

    def __init__(self, name: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown = ""
        self.setAccessibleName(name)
        self.setToolTip(f"{name}: minutes, seconds and thousandths, such as 0:03.467")
        self.editingFinished.connect(self._take)

    def show_time(self, time_us: int) -> None:
        """Show a time that holds, unless another one is just being typed."""
        words = time_words(time_us)
        is_new, self._shown = words != self._shown, words
        if is_new or not self.isModified():
            self.setText(words)

    def take_back(self) -> None:
        """Show the time that holds, in place of what was typed."""
        self.setText(self._shown)
        self.timed.emit(self._shown)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is not None and event.key() == Qt.Key.Key_Escape and self.isModified():
            self.take_back()
            event.accept()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusInEvent(event)
        if event is not None and event.reason() != Qt.FocusReason.MouseFocusReason:
            self.selectAll()

    def _take(self) -> None:
        if self.isModified() and self.text() != self._shown:
            self.timed.emit(self.text())


class IntervalRow(QWidget):
    """Start and end, each with a button that takes the shown frame; a sentence if one can't be."""

    def __init__(self, state: DeskState, edits: NoteEdits, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state, self._edits = state, edits
        self.start, self.end = TimeEdit("Starts at"), TimeEdit("Ends at")
        self.start_here = _here_button("Start it at the shown frame")
        self.end_here = _here_button("End it after the shown frame")
        self.trouble = QLabel()
        self.trouble.setProperty("role", "trouble")
        self.trouble.setWordWrap(True)
        self.trouble.hide()
        self.start.timed.connect(lambda text: self._typed(text, is_start=True))
        self.end.timed.connect(lambda text: self._typed(text, is_start=False))
        self.start_here.clicked.connect(self._start_here)
        self.end_here.clicked.connect(self._end_here)
        self._layout = QGridLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        for column, (words, field, here) in enumerate(
            (("Starts", self.start, self.start_here), ("Ends", self.end, self.end_here))
        ):
            label = QLabel(words)
            label.setProperty("role", "quiet")
            label.setBuddy(field)
            self._layout.addWidget(label, 0, 2 * column)
            self._layout.addWidget(field, 1, 2 * column)
            self._layout.addWidget(here, 1, 2 * column + 1)
            self._layout.setColumnStretch(2 * column, 1)
        self._layout.addWidget(self.trouble, 2, 0, 1, 4)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def show_note(self, note: Note) -> None:
        """Show a note's times."""
        self.start.show_time(note.start_us)
        self.end.show_time(note.end_us)

    def forget(self) -> None:
        """Another note is shown: what was typed for the last one no longer counts."""
        self.start.setModified(False)
        self.end.setModified(False)
        self.trouble.hide()

    def _typed(self, text: str, *, is_start: bool) -> None:
        note, frames = self._edits.note, self._frames
        time_us = parse_time(text)
        if note is None or frames is None:
            return
        sentence = ""
        if time_us is None:
            sentence = _NO_TIME
        elif time_us > frames.duration_us:
            sentence = f"The clip ends at {time_words(frames.duration_us)}."
        elif is_start:
            sentence = self._set(frames.start_near(time_us), note.end_us, "start")
        else:
            sentence = self._set(note.start_us, frames.end_near(time_us), "end")
        self._show_trouble(sentence)
        if not sentence:
            (self.start if is_start else self.end).setModified(False)
            self._show_again()

    def _set(self, start_us: int, end_us: int, what: str) -> str:
        if end_us < start_us:
            return _BACKWARDS
        self._edits.set(f"{what} of note", start_us=start_us, end_us=end_us)
        return ""

    def _start_here(self) -> None:
        """A note that would end before keeps its length instead."""
        note, frames = self._edits.note, self._frames
        if note is None or frames is None:
            return
        start_us = self._state.playhead.time_us
        length_us = note.end_us - note.start_us
        end_us = note.end_us if note.end_us > start_us else start_us + length_us
        self._show_trouble(self._set(start_us, min(end_us, frames.duration_us), "start"))

    def _end_here(self) -> None:
        note, frames = self._edits.note, self._frames
        if note is None or frames is None:
            return
        index = self._state.playhead.index
        is_last = index + 1 >= len(frames.times_us)
        end_us = frames.duration_us if is_last else int(frames.times_us[index + 1])
        self._show_trouble(self._set(note.start_us, end_us, "end"))

    @property
    def _frames(self) -> FrameTimes | None:
        clip = self._state.clip
        return None if clip is None else FrameTimes(clip.times_us, clip.duration_us)

    def _show_again(self) -> None:
        note = self._edits.note
        if note is not None:
            self.show_note(note)

    def _show_trouble(self, sentence: str) -> None:
        self.trouble.setText(sentence)
        self.trouble.setVisible(bool(sentence))
        for field in (self.start, self.end):
            field.setAccessibleDescription(sentence)

    def _restyle(self) -> None:
        self._layout.setHorizontalSpacing(look.space(0.3))
        self._layout.setVerticalSpacing(look.space(0.15))
        width = self.start.fontMetrics().horizontalAdvance("00:00:00.000") + look.space(1.0)
        for field in (self.start, self.end):
            field.setMinimumWidth(min(width, look.space(7)))


def _here_button(words: str) -> QToolButton:
    button = QToolButton()
    button.setText("Here")
    button.setToolTip(words)
    button.setAccessibleName(words)
    return button
