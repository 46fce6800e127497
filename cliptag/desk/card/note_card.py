"""The card in which a note is written; it opens beside the place that the note speaks of."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import QEvent, QRect, QRectF, QSize, Qt, QTimer, pyqtSignal
from PyQt6.QtGui import QColor, QKeyEvent, QKeySequence, QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import QApplication, QFrame, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.card.edits import NoteEdits
from cliptag.desk.card.foot import CardFoot
from cliptag.desk.card.head import CardHead
from cliptag.desk.card.interval import TimeEdit
from cliptag.desk.card.page import CardPage
from cliptag.desk.card.placing import place_beside
from cliptag.desk.phrases import PhraseBook
from cliptag.desk.state import DeskState
from cliptag.desk.strip.reading_plan import ReadingPlan
from cliptag.desk.voice import Booth
from cliptag.export import ExportOptions
from cliptag.review import Note

_WIDTH_EM: Final = 24.0
_SHADOW_EM: Final = 0.5


class NoteCard(QFrame):
    """Shows the chosen note and changes it; hidden while none is chosen.

    A note that is quite empty is new: the card takes the keyboard for it.
    """

    finished = pyqtSignal()
    """The coach is done with the note: the keyboard belongs to the stage again."""

    def __init__(
        self,
        state: DeskState,
        phrases: PhraseBook,
        parent: QWidget | None = None,
        *,
        booth: Booth | None = None,
    ) -> None:
        """Without ``booth`` notes can't be spoken."""
        super().__init__(parent)
        self._state = state
        self._booth = booth
        self._edits = NoteEdits(state)
        self._plan = ReadingPlan(state, self)
        self._shown: str | None = None
        self._room, self._avoid = QRect(), QRect()
        self.setObjectName("note_card")
        self.setAccessibleName("Note")
        self.head = CardHead(self._edits)
        self.page = CardPage(state, self._edits, phrases, booth)
        self.foot = CardFoot(self._edits)
        self._layout = QVBoxLayout(self)
        for part, stretch in ((self.head, 0), (self.page, 1), (self.foot, 0)):
            self._layout.addWidget(part, stretch)
        self.head.close_button.clicked.connect(self.done)
        self.foot.done_button.clicked.connect(self.done)
        self._settling = QTimer(self)
        self._settling.setSingleShot(True)
        self._settling.timeout.connect(self._settle)
        self.page.resized.connect(lambda: self._settling.start(0))
        state.reviewed.connect(self._show)
        state.chosen.connect(self._show)
        state.opened.connect(self._show)
        self._plan.planned.connect(self._show_reading)
        look.look().changed.connect(self._restyle)
        self.hide()
        self._restyle()

    def place_in(self, rect: QRect, avoid: QRect) -> None:
        """Open within ``rect``, off ``avoid`` (where the note's marks are; may be empty).

        Both in the coordinates of the card's parent. The card keeps to it as it grows.
        """
        self._room, self._avoid = QRect(rect), QRect(avoid)
        self._settle()

    def write(self) -> None:
        """Give the keyboard to the text of the chosen note."""
        if self._state.chosen_note is not None:
            self.raise_()
            self.page.text.setFocus(Qt.FocusReason.OtherFocusReason)

    def step_back(self) -> bool:
        """What Esc does in the card; tells whether there was anything to do.

        A time that is just being typed is dropped; else the keyboard leaves the card, and the note
        stays chosen.
        """
        field = QApplication.focusWidget()
        if field is None or not self.isAncestorOf(field):
            return False
        if isinstance(field, TimeEdit) and field.isModified():
            field.take_back()
        else:
            field.clearFocus()
            self.finished.emit()
        return True

    def done(self) -> None:
        """Put the card away; a note in which nothing was written or drawn goes with it."""
        note = self._state.chosen_note
        self._edits.end_run()
        if note is not None and _is_empty(note) and not self._is_spoken(note):
            self._edits.delete("drop empty note")
        self._state.choose(None)
        self.finished.emit()

    def close_threads(self) -> None:
        """End what goes on behind the card."""
        if self.page.voice is not None:
            self.page.voice.close_threads()

    def plan_for(self, options: ExportOptions) -> None:
        """Tell reading times and holds of a video that is made with these options."""
        self._plan.plan_for(options)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        margins = self._layout.contentsMargins()
        height = (
            self.head.sizeHint().height()
            + self.page.height_of_all()
            + self.foot.sizeHint().height()
            + 2 * self._layout.spacing()
            + margins.top()
            + margins.bottom()
        )
        return QSize(look.space(_WIDTH_EM), height)

    def paintEvent(self, event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        colours, em = look.palette(), look.space()
        depth = round(_SHADOW_EM * em)
        body = QRectF(self.rect()).adjusted(depth, depth, -depth, -depth)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(QColor(0, 0, 0, 10))
        for grown in range(depth, 0, -2):
            shadow = body.adjusted(-grown, -grown + 2, grown, grown)
            painter.drawRoundedRect(shadow, 0.5 * em + grown, 0.5 * em + grown)
        painter.setPen(QPen(colours.colour("edge"), 1.0))
        painter.setBrush(colours.colour("plate"))
        painter.drawRoundedRect(body.adjusted(0.5, 0.5, -0.5, -0.5), 0.5 * em, 0.5 * em)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:  # noqa: N802 - Qt's name
        if event is None:
            return
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        document = self._state.document
        if event.key() == Qt.Key.Key_Escape:
            if not self.step_back():
                self.done()
        elif is_enter and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.done()
        elif document is not None and event.matches(QKeySequence.StandardKey.Undo):
            document.undo()
        elif document is not None and event.matches(QKeySequence.StandardKey.Redo):
            document.redo()
        else:
            super().keyPressEvent(event)

    def event(self, event: QEvent | None) -> bool:
        # Esc and Ctrl+Enter are the card's while it has the keyboard.
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
            and event.modifiers() & Qt.KeyboardModifier.ControlModifier
        ):
            event.accept()
            return True
        return super().event(event)

    def _show(self) -> None:
        note = self._state.chosen_note
        if note is None:
            if self._shown is not None:
                self._shown = None
                self._edits.end_run()
                self.hide()
            return
        is_other = note.id != self._shown
        self._shown = note.id
        if is_other:
            self.page.forget()
        self.head.show_note(note)
        self.page.show_note(note)
        if is_other:
            self._show_reading()
            self.show()
            self.raise_()
            self._settle()
            if _is_empty(note) and not self._is_spoken(note):
                self.write()

    def _is_spoken(self, note: Note) -> bool:
        return self._booth is not None and self._booth.note_id == note.id

    def _show_reading(self) -> None:
        note = self._state.chosen_note
        if note is not None:
            self.page.show_reading(self._plan.readings.get(note.id))

    def _settle(self) -> None:
        if self._room.isValid():
            margin = look.space(0.3)
            self.setGeometry(place_beside(self._room, self._avoid, self.sizeHint(), margin))
        else:
            self.resize(self.sizeHint())

    def _restyle(self) -> None:
        margin = look.space(_SHADOW_EM + 0.8)
        self._layout.setContentsMargins(margin, margin, margin, margin)
        self._layout.setSpacing(look.space(0.5))
        self._show()
        self._settle()
        self.update()


def _is_empty(note: Note) -> bool:
    words = note.text.strip() or note.repetitions.strip()
    return not (words or note.marks or note.numbers or note.voice)
