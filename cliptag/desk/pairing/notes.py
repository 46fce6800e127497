"""The coach's notes on both: a list, and a field in which the chosen one is written."""

from __future__ import annotations

from PyQt6.QtCore import QSignalBlocker, Qt
from PyQt6.QtGui import QFocusEvent, QTextCursor
from PyQt6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.commands import Commands
from cliptag.desk.fields import drop_down, quiet, show_in
from cliptag.desk.pairing.arranging import Arranging
from cliptag.desk.pairing.state import PairState
from cliptag.export import one_line
from cliptag.pairing import PairingNote
from cliptag.review import KIND_WORDS, REGION_WORDS

_TEXT_EM = 5.5
_NOTHING = (
    "What you write here stands in the video of both, at the place that they show, and in its "
    "captions."
)


class NoteText(QPlainTextEdit):
    """Words of a note; a spell of typing is one step."""

    def __init__(self, state: PairState) -> None:
        super().__init__()
        self._state = state
        self.setAccessibleName("Words of the note")
        self.setTabChangesFocus(True)
        self.setMinimumHeight(look.space(_TEXT_EM))
        self.setMaximumHeight(look.space(2 * _TEXT_EM))

    def focusOutEvent(self, event: QFocusEvent | None) -> None:  # noqa: N802 - Qt's name
        super().focusOutEvent(event)
        if self._state.document is not None:
            self._state.document.end_run()


class NotesPage(QWidget):
    """What the client will read and hear of both, each at its place of the common axis."""

    def __init__(self, state: PairState, arranging: Arranging, commands: Commands) -> None:
        super().__init__()
        self._state, self._arranging = state, arranging
        self.list = QListWidget()
        self.list.setAccessibleName("Notes on both")
        self.list.setWordWrap(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setFrameShape(QListWidget.Shape.NoFrame)
        self.list.currentRowChanged.connect(self._choose)
        self._empty = quiet(_NOTHING)
        self._empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._about = quiet("")
        self.text = NoteText(state)
        self.text.setPlaceholderText("What both pictures show at this place")
        self.text.textChanged.connect(self._write)
        self._kind = drop_down(list(KIND_WORDS.items()), arranging.set_kind)
        self._kind.setAccessibleName("Kind of the note")
        self._region = drop_down(list(REGION_WORDS.items()), arranging.set_region)
        self._region.setAccessibleName("Where the note looks")
        self._buttons = []
        for name in ("new_note", "note_here", "delete_note"):
            action = commands.action(name)
            button = QPushButton(_SHORT[name])
            button.setToolTip(action.toolTip())
            button.setAccessibleName(action.text())
            button.clicked.connect(action.trigger)
            action.changed.connect(lambda b=button, a=action: b.setEnabled(a.isEnabled()))
            self._buttons.append(button)
        self._lay_out()
        state.noted.connect(self._show)
        state.chosen.connect(self._show)
        state.compared.connect(self._show_place)
        state.playhead.moved.connect(self._show_place)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def write_new(self) -> None:
        """Start a note about the shown pair of frames."""
        if self._state.document is not None:
            self._state.document.end_run()
        self._state.choose_note(None)
        self.text.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _lay_out(self) -> None:
        kinds = QHBoxLayout()
        kinds.setSpacing(look.space(0.3))
        kinds.addWidget(self._kind, 1)
        kinds.addWidget(self._region, 1)
        buttons = QHBoxLayout()
        buttons.setSpacing(look.space(0.3))
        for button in self._buttons:
            buttons.addWidget(button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(look.space(0.3))
        layout.addWidget(self._empty, 1)
        layout.addWidget(self.list, 1)
        layout.addWidget(self._about)
        layout.addWidget(self.text)
        layout.addLayout(kinds)
        layout.addLayout(buttons)

    def _show(self) -> None:
        notes = self._state.document.pairing.notes if self._state.document else ()
        blocker = QSignalBlocker(self.list)
        while self.list.count() > len(notes):
            self.list.takeItem(self.list.count() - 1)
        for number, note in enumerate(notes):
            if number >= self.list.count():
                self.list.addItem(QListWidgetItem())
            item = self.list.item(number)
            assert item is not None
            item.setText(_words(note))
        chosen = self._state.chosen_note
        self.list.setCurrentRow(-1 if chosen is None else chosen)
        self.list.setVisible(bool(notes))
        self._empty.setVisible(not notes)
        blocker.unblock()
        self._show_text(None if chosen is None or chosen >= len(notes) else notes[chosen])
        self._show_place()

    def _show_text(self, note: PairingNote | None) -> None:
        words = note.text if note else ""
        # Typed words come back through the document, but for spaces at their ends.
        if self.text.toPlainText().strip() != words.strip():
            blocker = QSignalBlocker(self.text)
            self.text.setPlainText(words)
            self.text.moveCursor(QTextCursor.MoveOperation.End)
            blocker.unblock()
        for box in (self._kind, self._region):
            box.setEnabled(note is not None)
        show_in(self._kind, note.kind if note else "seen")
        show_in(self._region, note.region if note else "whole")

    def _show_place(self) -> None:
        axis, document = self._state.axis, self._state.document
        if axis is None or document is None:
            return
        chosen = self._state.chosen_note
        if chosen is None or chosen >= len(document.pairing.notes):
            self._about.setText(f"New note at {axis.place_words(self._state.percent)}")
        else:
            note = document.pairing.notes[chosen]
            self._about.setText(f"Note at {axis.place_words(note.percent)}")

    def _choose(self, place: int) -> None:
        if place >= 0:
            self._state.go_to_note(place)

    def _write(self) -> None:
        self._arranging.write(self.text.toPlainText())

    def _restyle(self) -> None:
        self.list.setStyleSheet(
            f"QListWidget {{ background: {look.palette().plate}; outline: none; }}"
            f"QListWidget::item {{ padding: {look.space(0.25)}px; color: {look.palette().ink}; }}"
            f"QListWidget::item:selected {{ background: {look.palette().chosen}; }}"
        )


_SHORT = {"new_note": "New", "note_here": "Move here", "delete_note": "Delete"}


def _words(note: PairingNote) -> str:
    return f"{note.percent:.0f} %  {KIND_WORDS[note.kind]}: {one_line(note.text)}"
