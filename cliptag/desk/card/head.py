"""The card's upper edge: which region and which kind."""

from __future__ import annotations

from PyQt6.QtGui import QShowEvent
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.card.kinds import KindChooser
from cliptag.desk.fields import drop_down, show_in
from cliptag.review import (
    BODY_REGIONS,
    KIND_WORDS,
    REGION_WORDS,
    SURROUNDING_REGIONS,
    Kind,
    Note,
    Region,
)


class CardHead(QWidget):
    """Region, kind, and the button that puts the card away."""

    def __init__(self, edits: NoteEdits, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._edits = edits
        # From the head down, as the climb is drawn.
        order: list[Region] = ["whole", *reversed(BODY_REGIONS), *SURROUNDING_REGIONS]
        words = [(region, REGION_WORDS[region]) for region in order]
        self.region = drop_down(words, self._choose_region)
        self.region.setMaxVisibleItems(len(order))
        self.region.setAccessibleName("Region")
        self.region.setToolTip("What the note speaks of")
        self.kinds = KindChooser(self._choose_kind)
        self.close_button = QToolButton()
        self.close_button.setText("×")
        self.close_button.setAccessibleName("Put the card away")
        self.close_button.setToolTip("Put the card away; the note is kept (Ctrl+Enter)")
        self._layout = QVBoxLayout(self)
        self._layout.setContentsMargins(0, 0, 0, 0)
        label = QLabel("Note on")
        label.setProperty("role", "quiet")
        label.setBuddy(self.region)
        top = QHBoxLayout()
        top.addWidget(label)
        top.addWidget(self.region)
        top.addStretch(1)
        top.addWidget(self.close_button)
        self._layout.addLayout(top)
        self._layout.addWidget(self.kinds)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def show_note(self, note: Note) -> None:
        """Show a note's region and kind."""
        show_in(self.region, note.region)
        self.kinds.show_kind(note.kind)

    def showEvent(self, event: QShowEvent | None) -> None:  # noqa: N802 - Qt's name
        super().showEvent(event)
        # The style sheet puts its own font back when a widget is first shown.
        self._restyle()

    def _choose_region(self, region: Region) -> None:
        self._edits.set(f"move note to {REGION_WORDS[region].lower()}", region=region)

    def _choose_kind(self, kind: Kind) -> None:
        self._edits.set(f"kind '{KIND_WORDS[kind]}'", kind=kind)

    def _restyle(self) -> None:
        self._layout.setSpacing(look.space(0.4))
        self.region.setFont(look.font(1.1, strong=True))
