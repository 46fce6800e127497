"""The measured numbers of the note, as chips under its text."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QFrame, QGridLayout, QToolButton, QWidget

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.stage.flow import FlowLayout
from cliptag.desk.state import DeskState
from cliptag.desk.strip import time_words
from cliptag.measure import newer_numbers, shown
from cliptag.review import Note, Number

_LONGEST_EM: Final = 19.0
_REMOVING: Final = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)


class NumberChips(QWidget):
    """A chip for each number; hidden while the note has none."""

    def __init__(self, state: DeskState, edits: NoteEdits, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._state, self._edits = state, edits
        self._shown: tuple[object, ...] | None = None
        self.chips: list[NumberChip] = []
        self._flow = FlowLayout(self)
        self._flow.setSpacing(look.space(0.3))
        self._flow.setContentsMargins(0, 0, 0, 0)
        self._flow.row_gap = look.space(0.25)
        self.setAccessibleName("Numbers of the note")
        state.followed.connect(self._show_again)

    def show_note(self, note: Note) -> None:
        """Show a note's numbers, and which of them are known otherwise by now."""
        following = self._state.following
        report = following.report if following else None
        newer = newer_numbers(note, report) if report is not None else {}
        shown_now = (note.numbers, newer, look.palette(), look.space())
        if shown_now == self._shown:
            return
        self._shown = shown_now
        place = next((n for n, chip in enumerate(self.chips) if chip.has_keyboard), None)
        for chip in self.chips:
            self._flow.removeWidget(chip)
            chip.hide()
            chip.deleteLater()
        self.chips = [
            NumberChip(number, newer.get(number_place))
            for number_place, number in enumerate(note.numbers)
        ]
        for number_place, chip in enumerate(self.chips):
            self._listen(chip, number_place)
            self._flow.addWidget(chip)
            chip.show()
        self.setVisible(bool(self.chips))
        self.updateGeometry()
        if place is not None and self.chips:
            self.chips[min(place, len(self.chips) - 1)].name.setFocus()

    def _listen(self, chip: NumberChip, place: int) -> None:
        chip.name.clicked.connect(lambda: self._go(chip.number))
        chip.removed.clicked.connect(lambda: self._remove(place))
        chip.renewed.clicked.connect(lambda: self._renew(place, chip.newer))

    def _show_again(self) -> None:
        note = self._edits.note
        if note is not None:
            self.show_note(note)

    def _go(self, number: Number) -> None:
        if number.at_us is not None:
            self._state.playhead.pause()
            self._state.playhead.go_to_time(number.at_us)

    def _remove(self, place: int) -> None:
        note = self._edits.note
        if note is not None:
            kept = note.numbers[:place] + note.numbers[place + 1 :]
            self._edits.set("take number away", numbers=kept)

    def _renew(self, place: int, newer: Number | None) -> None:
        note = self._edits.note
        if note is not None and newer is not None:
            numbers = (*note.numbers[:place], newer, *note.numbers[place + 1 :])
            self._edits.set("renew number", numbers=numbers)


class NumberChip(QFrame):
    """A number: press it to see its frame, × (or Delete) to take it out of the note."""

    def __init__(self, number: Number, newer: Number | None) -> None:
        super().__init__()
        self.number, self.newer = number, newer
        self.setObjectName("chip")
        words = f"{number.words} {shown(number)}"
        self.name = _Name(self, words)
        self.name.setAccessibleName(words if newer is None else f"{words}, out of date")
        self.removed = QToolButton()
        self.removed.setText("×")
        self.removed.setAccessibleName(f"Take {words} out of the note")
        self.removed.setToolTip("Take this number out of the note (Delete)")
        self.renewed = QToolButton()
        self.renewed.setVisible(newer is not None)
        layout = QGridLayout(self)
        layout.setContentsMargins(look.space(0.1), 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(self.name, 0, 0, Qt.AlignmentFlag.AlignLeft)
        layout.addWidget(self.removed, 0, 1)
        layout.addWidget(self.renewed, 1, 0, 1, 2, Qt.AlignmentFlag.AlignLeft)
        for widget in (self.name, self.renewed, self.removed):
            widget.setFont(look.font(0.92))
        if newer is not None:
            self.renewed.setText(f"Renew: now {shown(newer)}")
            self.renewed.setAccessibleName(f"Renew {number.words}: it is now {shown(newer)}")
            self.renewed.setToolTip("It has been measured anew since; put that into the note")
            self.renewed.setProperty("role", "renew")
        edge = "danger" if newer is not None else "edge"
        colours = look.palette()
        self.setStyleSheet(
            f"#chip {{ border: 1px solid {getattr(colours, edge)};"
            f" border-radius: {look.space(0.5)}px; background: {colours.ground}; }}"
            f" QToolButton[role='renew'] {{ color: {colours.danger}; }}"
        )

    @property
    def has_keyboard(self) -> bool:
        return any(part.hasFocus() for part in (self.name, self.removed, self.renewed))

    def origin(self) -> str:
        """Where the number is from, and what change of it could be told."""
        # Loaded when it is asked for: the published methods take a moment to load.
        from cliptag.measure import smallest_detectable_change

        number, lines = self.number, [f"{self.number.words}: {shown(self.number)}"]
        if number.at_us is not None:
            lines.append(f"Read at {time_words(number.at_us)}")
        if number.repetition is not None:
            lines.append(f"Of repetition {number.repetition}")
        elif number.at_us is None:
            lines.append("Of the whole clip")
        least = smallest_detectable_change(number.sd)
        places = 1 if least < 10 else 0
        unit = number.unit if number.unit.startswith("°") else f" {number.unit}"
        lines.append(
            f"Another clip has to differ by more than {least:.{places}f}{unit} before the placing "
            "of points alone can't explain it (smallest detectable change)"
        )
        if self.newer is not None:
            lines.append(f"Measured now: {shown(self.newer)}")
        return "\n".join(lines)


class _Name(QToolButton):
    """The chip's words."""

    def __init__(self, chip: NumberChip, words: str) -> None:
        super().__init__()
        self._chip = chip
        metrics = self.fontMetrics()
        most = look.space(_LONGEST_EM)
        self.setText(metrics.elidedText(words, Qt.TextElideMode.ElideMiddle, most))

    def event(self, event: QEvent | None) -> bool:
        kind = event.type() if event is not None else None
        if kind in (QEvent.Type.ToolTip, QEvent.Type.FocusIn):
            origin = self._chip.origin()
            self.setToolTip(origin)
            self.setAccessibleDescription(origin)
        if isinstance(event, QKeyEvent) and event.key() in _REMOVING:
            event.accept()  # else Delete takes the whole note away
            if kind == QEvent.Type.KeyPress:
                self._chip.removed.click()
            return True
        return super().event(event)
