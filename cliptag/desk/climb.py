"""The climb: the regions as a ladder, from the ground up, and how far the coach has come."""

from __future__ import annotations

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from cliptag.desk import look
from cliptag.desk.card import ImpressionCard
from cliptag.desk.card.tips import KeyedTip
from cliptag.desk.climb_board import LadderBoard
from cliptag.desk.climb_rung import RungButton
from cliptag.desk.climb_rungs import Rung, progress_words, rungs_of
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import DeskState
from cliptag.review import Note, Region


class ClimbView(QWidget):
    """General impression on top, then the ladder, the surroundings, and the way on.

    What it does to the review it asks of ``reviewing``, like every key does.
    """

    writing = pyqtSignal()
    """A note was started or opened here: its card should take the keyboard."""

    def __init__(
        self,
        state: DeskState,
        reviewing: Reviewing,
        phrases: PhraseBook | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._state, self._reviewing = state, reviewing
        self._rungs: dict[Region, Rung] = {}
        self.setObjectName("climb")
        self.setAccessibleName("Climb")
        self.impression = ImpressionCard(state, phrases)
        self.board = LadderBoard()
        self.progress = QLabel()
        self.next_button = QPushButton("Next open rung")
        KeyedTip(self.next_button, "Up to the next region that is still open", "open_rung")
        self.next_button.clicked.connect(self.next_open)
        self._area = QScrollArea()
        self._area.setWidget(self.board)
        self._area.setWidgetResizable(True)
        self._area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self._area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self._arrange()
        for button in self.board.rungs.values():
            self._connect(button)
        state.opened.connect(self._show)
        state.reviewed.connect(self._show)
        state.chosen.connect(self._show)
        state.rung_changed.connect(self._stand)
        look.look().changed.connect(self._restyle)
        self._restyle()
        self._show()

    def start_note(self, region: Region | None = None) -> None:
        """Start a note about the shown frame on a region, else on the one that is looked at."""
        if self._state.document is None:
            return
        self._stand_on(region or self._state.rung)
        self._reviewing.new_note()
        self.writing.emit()

    def open_note(self, region: Region) -> None:
        """Open the region's note that is on at the shown frame; start one if there is none."""
        rung = self._rungs.get(region)
        note = rung.note_at(self._state.playhead.time_us) if rung is not None else None
        if note is None:
            self.start_note(region)
        else:
            self._state.choose(note.id)
            self.writing.emit()

    def step_notes(self, region: Region) -> None:
        """Go to the region's next note, round and round; start one if it has none."""
        rung, chosen = self._rungs.get(region), self._state.chosen_note
        note = rung.note_after(chosen.id if chosen else None) if rung is not None else None
        if note is None:
            self.start_note(region)
        else:
            self._go_to(note)

    def next_open(self) -> None:
        """Go up to the next region that was not looked at."""
        self._reviewing.to_open_rung()
        self.board.rungs[self._state.rung].setFocus(Qt.FocusReason.OtherFocusReason)

    def toggle_fine(self, region: Region | None = None) -> None:
        """Tell of a region that it was looked at and found fine, or take that back."""
        if region is not None:
            self._stand_on(region)
        self._reviewing.toggle_fine()

    def take_focus(self) -> None:
        """Give the keyboard to the rung that is looked at."""
        self.board.rungs[self._state.rung].setFocus(Qt.FocusReason.ShortcutFocusReason)

    def _connect(self, button: RungButton) -> None:
        region = button.region
        button.stepped.connect(lambda: self.step_notes(region))
        button.entered.connect(lambda: self.open_note(region))
        button.climbed.connect(lambda up: self._climb(region, up))
        button.reached.connect(lambda: self._stand_on(region))
        button.more.clicked.connect(lambda: self.start_note(region))
        button.tick.clicked.connect(lambda: self.toggle_fine(region))

    def _climb(self, region: Region, up: int) -> None:
        self.board.neighbour(region, up).setFocus(Qt.FocusReason.TabFocusReason)

    def _go_to(self, note: Note) -> None:
        self._state.playhead.pause()
        self._state.playhead.go_to_time(note.start_us)
        self._state.choose(note.id)

    def _stand_on(self, region: Region) -> None:
        """Look at a region; a note of another region is no longer the chosen one."""
        note = self._state.chosen_note
        if note is not None and note.region != region:
            self._state.choose(None)
        self._state.stand_on(region)

    def _stand(self) -> None:
        self._show()
        self._area.ensureWidgetVisible(self.board.rungs[self._state.rung], 0, look.space())

    def _show(self) -> None:
        document = self._state.document
        self.board.setEnabled(document is not None)
        self.next_button.setEnabled(document is not None)
        if document is None:
            self.progress.setText("")
            return
        self._rungs = rungs_of(document.review)
        self.board.show_rungs(self._rungs, self._state.rung, document.review.facing)
        self.progress.setText(progress_words(self._rungs))

    def _arrange(self) -> None:
        self._layout = QVBoxLayout(self)
        self._layout.addWidget(self.impression)
        self._layout.addWidget(self._area, 1)
        foot = QHBoxLayout()
        foot.addWidget(self.progress, 1)
        foot.addWidget(self.next_button)
        self._layout.addLayout(foot)

    def _restyle(self) -> None:
        margin = look.space(0.6)
        self._layout.setContentsMargins(margin, margin, margin, margin)
        self._layout.setSpacing(look.space(0.5))
        self.board.updateGeometry()
        self._area.setMinimumWidth(self.board.sizeHint().width() + look.space(0.6))
