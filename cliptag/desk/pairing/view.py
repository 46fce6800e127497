"""Two reviews on the desk: both pictures, the strip under them, what is told of them beside."""

from __future__ import annotations

from pathlib import Path
from typing import Final

from PyQt6.QtCore import Qt, pyqtSignal
from PyQt6.QtGui import QHideEvent, QResizeEvent
from PyQt6.QtWidgets import QFileDialog, QGridLayout, QWidget

from cliptag.desk import look
from cliptag.desk.bar import Bar
from cliptag.desk.commands import Commands
from cliptag.desk.pairing.actions import PairActions
from cliptag.desk.pairing.arranging import Arranging
from cliptag.desk.pairing.export import PairingExporter
from cliptag.desk.pairing.going import Going
from cliptag.desk.pairing.head import PairHead
from cliptag.desk.pairing.rows import ArrangeRow, PlayRow
from cliptag.desk.pairing.said_row import SaidRow
from cliptag.desk.pairing.side_page import Leaf, SidePage
from cliptag.desk.pairing.stage import PairStage
from cliptag.desk.pairing.state import PairState
from cliptag.desk.pairing.strip import PairStrip
from cliptag.desk.preferences import PreferenceStore

_ROOMY_EM: Final = 36.0


class PairingView(QWidget):
    """Puts the parts together and does what their commands ask for."""

    review_asked = pyqtSignal(Path)
    """Go on with one of the two."""
    close_asked = pyqtSignal()

    def __init__(
        self,
        bar: Bar,
        preferences: PreferenceStore,
        desk: Commands,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName("Two reviews")
        self.state = PairState(self)
        self.exporter = PairingExporter(self.state, bar, preferences, self)
        arranging = Arranging(self.state)
        table = PairActions(self.state, arranging, Going(self.state), self).table()
        self.commands = Commands(self, table)
        self.head = PairHead(self.state, self.commands, desk)
        self.stage = PairStage(self.state)
        self.said = SaidRow(self.state)
        self.strip = PairStrip(self.state)
        self.page = SidePage(self.state, arranging, self.commands)
        self.arrange = ArrangeRow(self.state, arranging, self.commands)
        self.playing = PlayRow(self.state, self.commands)
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setSpacing(0)
        grid.addWidget(self.arrange, 0, 0)
        grid.addWidget(self.stage, 1, 0)
        for row, part in enumerate((self.said, self.playing, self.strip), 2):
            grid.addWidget(part, row, 0)
        grid.addWidget(self.page, 0, 1, 5, 1)
        grid.setRowStretch(1, 1)
        grid.setColumnStretch(0, 1)
        self._listen(bar)

    @property
    def parts(self) -> tuple[QWidget, ...]:
        """The parts that take the keyboard, in order."""
        return (self.stage, self.arrange, self.page, self.playing, self.strip)

    # -- what commands ask for ------------------------------------------------------------------

    @property
    def is_exporting(self) -> bool:
        return self.exporter.is_running

    def export(self) -> None:
        """Make the comparison in its usual folder, beside the pairing's file."""
        folder = self.exporter.usual_folder()
        if folder is not None:
            self.exporter.start(folder)

    def export_elsewhere(self) -> None:
        """Ask for a folder, and make the comparison there."""
        name = QFileDialog.getExistingDirectory(self, "Where should the comparison go?")
        if name:
            self.exporter.start(Path(name))

    def stop_export(self) -> None:
        """Stop the export."""
        self.exporter.stop()

    def open_review(self, which: int) -> None:
        """Go on with one of the two reviews; the comparison is kept in its file."""
        comparison = self.state.comparison
        if comparison is not None:
            self.review_asked.emit(comparison.sides[which].path)

    def close_pair(self) -> None:
        """Take both off the desk."""
        self.close_asked.emit()

    def turn_to(self, leaf: Leaf) -> None:
        """Open a leaf of the page at the side, and give it the keyboard."""
        self.page.show()
        self.page.turn_to(leaf)
        self.page.take_keyboard()

    def toggle_page(self) -> None:
        """Show or hide the page at the side."""
        self.page.setVisible(not self.page.isVisible())
        if not self.page.isVisible():
            self.to_stage()

    def new_note(self) -> None:
        """Write a note about the shown pair of frames."""
        self.state.playhead.pause()
        self.page.show()
        self.page.turn_to("notes")
        self.page.notes.write_new()

    def write_note(self) -> None:
        """Give the keyboard to the chosen note's words."""
        self.page.show()
        self.page.turn_to("notes")
        self.page.notes.text.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def step_back(self) -> None:
        """One thing less: the typing, the chosen note, the chosen line."""
        if self.page.isAncestorOf(self.focusWidget() or self):
            self.to_stage()
        elif self.state.chosen_note is not None:
            self.state.choose_note(None)
        else:
            self.state.choose_quantity(None)

    def to_stage(self) -> None:
        """Give the keyboard to the pictures."""
        self.stage.setFocus(Qt.FocusReason.OtherFocusReason)

    def close_threads(self) -> bool:
        """End all that runs; gives whether all is in a file."""
        self.exporter.close()
        return self.state.close()

    # -- listening ------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        self.page.fit(self.width())
        self._show_said()

    def hideEvent(self, event: QHideEvent | None) -> None:  # noqa: N802 - Qt's name
        super().hideEvent(event)
        self.state.playhead.pause()

    def _show_said(self) -> None:
        """The reviews' own words, where there are any and there is room: the pictures go first."""
        comparison = self.state.comparison
        has_words = comparison is not None and any(s.review.notes for s in comparison.sides)
        self.said.setVisible(has_words and self.height() > look.space(_ROOMY_EM))

    def _listen(self, bar: Bar) -> None:
        state = self.state
        state.said.connect(bar.say)
        state.warned.connect(bar.warn)
        state.compared.connect(self._show_said)
        for signal in (
            *(state.opened, state.compared, state.noted, state.chosen),
            self.exporter.changed,
        ):
            signal.connect(self.commands.refresh)
