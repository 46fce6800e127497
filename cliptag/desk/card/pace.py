"""How the exported video treats a note: hold and slow motion."""

from __future__ import annotations

from typing import Final

from PyQt6.QtWidgets import (
    QAbstractSpinBox,
    QComboBox,
    QDoubleSpinBox,
    QGridLayout,
    QLabel,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.card.wheel import without_wheel
from cliptag.desk.fields import drop_down, show_in
from cliptag.review import Note

_SLOWEST: Final = 10
_LONGEST_HOLD_S: Final = 600.0
_FIRST_HOLD_S: Final = 2.0


class PaceRow(QWidget):
    """Stands still as long as reading needs, or for seconds; plays slower."""

    def __init__(self, edits: NoteEdits, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._edits = edits
        self.hold = drop_down(
            [(True, "as long as needed"), (False, "for at least")], self._choose_hold
        )
        self.hold.setAccessibleName("The picture stands still")
        self.hold.setToolTip("How long the video stands still on this note's first frame")
        self.seconds = without_wheel(QDoubleSpinBox())
        self.seconds.setAccessibleName("Seconds that the picture stands still")
        self.seconds.setRange(0.0, _LONGEST_HOLD_S)
        self.seconds.setDecimals(1)
        self.seconds.setSingleStep(0.5)
        self.seconds.setSuffix(" s")
        self.seconds.setButtonSymbols(QAbstractSpinBox.ButtonSymbols.NoButtons)
        self.seconds.setKeyboardTracking(False)
        self.seconds.setToolTip("Seconds; reading may need longer")
        self.seconds.valueChanged.connect(self._set_hold)
        speeds = [(times, _slow_words(times)) for times in range(1, _SLOWEST + 1)]
        self.slow = drop_down(speeds, self._set_slow)
        self.slow.setAccessibleName("The note's time plays")
        self.slow.setToolTip("How fast the video plays from this note's start to its end")
        self._slow_label = _label("Plays", self.slow)
        self._layout = QGridLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        self._layout.addWidget(_label("Picture stands still", self.hold), 0, 0, 1, 2)
        self._layout.addWidget(self._slow_label, 0, 2)
        self._layout.addWidget(self.hold, 1, 0)
        self._layout.addWidget(self.seconds, 1, 1)
        self._layout.addWidget(self.slow, 1, 2)
        self._layout.setColumnStretch(0, 3)
        self._layout.setColumnStretch(2, 2)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def show_note(self, note: Note) -> None:
        """Show how a note is treated."""
        show_in(self.hold, note.hold_us is None)
        self.seconds.setVisible(note.hold_us is not None)
        was_blocked = self.seconds.blockSignals(True)
        self.seconds.setValue((note.hold_us or 0) / 1e6)
        self.seconds.blockSignals(was_blocked)
        show_in(self.slow, note.slow_by)

    def show_speed(self, is_shown: bool) -> None:
        """A photo does not play."""
        self.slow.setVisible(is_shown)
        self._slow_label.setVisible(is_shown)

    def _choose_hold(self, is_automatic: bool) -> None:
        if is_automatic:
            self._edits.set("hold as long as needed", hold_us=None)
        else:
            self._edits.set("hold for seconds", hold_us=round(_FIRST_HOLD_S * 1e6))

    def _set_hold(self, seconds: float) -> None:
        note = self._edits.note
        if note is not None and note.hold_us is not None:
            self._edits.set("length of hold", hold_us=round(seconds * 1e6))

    def _set_slow(self, times: int) -> None:
        words = "real speed" if times == 1 else f"{times} × slower"
        self._edits.set(words, slow_by=times)

    def _restyle(self) -> None:
        self._layout.setHorizontalSpacing(look.space(0.4))
        self._layout.setVerticalSpacing(look.space(0.15))


def _slow_words(times: int) -> str:
    return "at real speed" if times == 1 else f"{times} × slower"


def _label(words: str, buddy: QComboBox) -> QLabel:
    label = QLabel(words)
    label.setProperty("role", "quiet")
    label.setBuddy(buddy)
    return label
