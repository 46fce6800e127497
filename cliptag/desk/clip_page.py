"""The page 'About this clip': for whom, what movement, when, and the client's consent."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any, Final, get_args

from PyQt6.QtCore import QSignalBlocker
from PyQt6.QtWidgets import QLineEdit, QPlainTextEdit, QWidget

from cliptag.desk.fields import Choice, TickBox, drop_down, heading, own_name, quiet, row, show_in
from cliptag.desk.intake_box import IntakeBox
from cliptag.desk.reviewing import MOVEMENT_CHOICES
from cliptag.desk.side_panel import SidePanel
from cliptag.desk.state import DeskState
from cliptag.errors import ReviewError
from cliptag.review import (
    Consent,
    ConsentPurpose,
    Review,
    edit,
)
from cliptag.words import LANGUAGES

_COVERS: Final[dict[ConsentPurpose, str]] = {
    "private_feedback": "Feedback to the client alone",
    "face_covered": "Showing others, with the face covered",
    "public": "Showing anyone",
}
assert tuple(_COVERS) == get_args(ConsentPurpose)


class ClipPage(SidePanel):
    """Every field is the document's; each change of one is a step that can be undone."""

    def __init__(self, state: DeskState, host: QWidget) -> None:
        super().__init__("About this clip", host)
        self._state = state
        self._client = self._line("client", "name the client")
        self._language = drop_down(
            [(None, "As in the preferences"), *((code, own_name(code)) for code in LANGUAGES)],
            lambda value: self._do("set the client's language", language=value),
        )
        self._coach = self._line("coach", "name the coach")
        self._movement = drop_down(tuple(MOVEMENT_CHOICES.items()), self._set_movement)
        self._facing = Choice(
            {None: "Not told", "left": "To the left", "right": "To the right"},
            lambda value: self._do("set the facing", facing=value),
        )
        self._week = self._typed(self._set_week)
        self._week.setPlaceholderText("none")
        self._day = self._typed(self._set_day)
        self._day.setPlaceholderText("2026-03-31")
        self._reference = self._typed(self._set_consent)
        self._reference.setMaxLength(200)
        self._given_on = self._typed(self._set_consent)
        self._given_on.setPlaceholderText("2026-03-31")
        self._covers = {purpose: TickBox(words) for purpose, words in _COVERS.items()}
        for box in self._covers.values():
            box.clicked.connect(self._set_consent)
        self._caution = QPlainTextEdit()
        self._caution.setTabChangesFocus(True)
        self._caution.textChanged.connect(self._set_caution)
        self._intake = IntakeBox(state)
        self._consent: Consent | None = None
        self._complaint = quiet("")
        self._complaint.setProperty("role", "trouble")
        self._lay_out()
        state.reviewed.connect(self._show)
        state.opened.connect(self._show)
        self._show()

    def bring(self) -> None:
        """Show the page, unless there is no clip that it could speak of."""
        if self._review is not None:
            super().bring()
            self._intake.check()

    @property
    def _review(self) -> Review | None:
        return self._state.document.review if self._state.document else None

    def _lay_out(self) -> None:
        add = self.body.addWidget
        add(self._complaint)
        add(row("Client", self._client, "The name that the client chose to be called by."))
        add(row("Client's language", self._language, "Of all words but your own."))
        add(row("Coach", self._coach))
        add(row("Movement", self._movement, "It decides which moments can be set."))
        add(row("The client faces", self._facing, "Tilts and leans count forward that way."))
        add(row("Week of the programme", self._week))
        add(row("Filmed on", self._day, "Year-month-day."))
        add(heading("To measure from"))
        add(self._intake)
        add(heading("Written consent"))
        add(row("Where it is kept", self._reference, "Such as a number in your own files."))
        add(row("Given on", self._given_on, "Year-month-day."))
        for box in self._covers.values():
            add(box)
        add(heading("Caution"))
        add(row("What every video says", self._caution))
        self.body.addStretch(1)

    def _line(self, field: str, words: str) -> QLineEdit:
        line = QLineEdit()
        line.setMaxLength(200)
        line.textEdited.connect(lambda text: self._do(words, run=f"type {field}", **{field: text}))
        line.editingFinished.connect(self._end_run)
        return line

    def _typed(self, then: Callable[[], None]) -> QLineEdit:
        """A line whose text only counts when it is complete."""
        line = QLineEdit()
        line.editingFinished.connect(then)
        return line

    def _set_movement(self, movement: Any) -> None:
        document = self._state.document
        if document is not None:
            document.do(edit.with_movement(document.review, movement), "set the movement")

    def _set_week(self) -> None:
        words = self._week.text().strip()
        if words and not (words.isascii() and words.isdigit()):
            self._complain("The week is a number, such as 1 or 10.")
        else:
            self._do("set the week", week=int(words) if words else None)

    def _set_day(self) -> None:
        words = self._day.text().strip()
        day = _day(words)
        if words and day is None:
            self._complain("A day is written like 2026-03-31.")
        else:
            self._do("set the day of filming", recorded_on=day)

    def _set_consent(self) -> None:
        review = self._review
        if review is None:
            return
        words = self._given_on.text().strip()
        reference = self._reference.text().strip()
        covers = tuple(purpose for purpose, box in self._covers.items() if box.isChecked())
        if not (words or reference or covers):
            self._do("take the consent away", consent=None)
            return
        given_on = _day(words)
        if given_on is None:
            self._complain(
                "Write the day on which consent was given, like 2026-03-31; then it is kept."
            )
            return
        until = review.consent.until if review.consent else None
        consent = Consent(given_on=given_on, covers=covers, reference=reference, until=until)
        self._do("set the consent", consent=consent)

    def _set_caution(self) -> None:
        self._do("write the caution", run="type caution", caution=self._caution.toPlainText())

    def _do(self, words: str, *, run: str | None = None, **fields: Any) -> None:
        document = self._state.document
        if document is None:
            return
        try:
            document.do(edit.with_fields(document.review, **fields), words, run=run)
        except ReviewError as error:
            self._complain(str(error))
        else:
            self._complain("")

    def _end_run(self) -> None:
        if self._state.document is not None:
            self._state.document.end_run()

    def _complain(self, sentence: str) -> None:
        self._complaint.setText(sentence)
        self._complaint.setVisible(bool(sentence))

    def _show(self) -> None:
        review = self._review
        if review is None:
            self.put_away()
            return
        self._complain("")
        _fill(self._client, review.client)
        show_in(self._language, review.language)
        _fill(self._coach, review.coach)
        show_in(self._movement, review.movement)
        self._facing.show_value(review.facing)
        _fill(self._week, "" if review.week is None else str(review.week))
        _fill(self._day, str(review.recorded_on or ""))
        consent = review.consent
        if consent != self._consent:  # else what stands there may be half typed
            self._consent = consent
            _fill(self._reference, consent.reference if consent else "")
            _fill(self._given_on, str(consent.given_on) if consent else "")
            for purpose, box in self._covers.items():
                box.setChecked(consent is not None and purpose in consent.covers)
        if self._caution.toPlainText() != review.caution:
            blocker = QSignalBlocker(self._caution)
            self._caution.setPlainText(review.caution)
            blocker.unblock()


def _fill(line: QLineEdit, text: str) -> None:
    # While a person types, the text and its cursor are theirs.
    if line.text() != text:
        line.setText(text)


def _day(words: str) -> dt.date | None:
    try:
        return dt.date.fromisoformat(words)
    except ValueError:
        return None
