"""The form in which the coach puts down what a client said about being shown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from PyQt6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from cliptag.casebook import Casebook, ClientRecord
from cliptag.consent import PURPOSES
from cliptag.desk import look
from cliptag.desk.casebook.form import Form, date_field, day_of, text_field, words_or_own
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.pieces import button, words_label
from cliptag.desk.casebook.telling import PURPOSE_TITLES, week_words
from cliptag.desk.fields import TickBox, drop_down
from cliptag.review import ConsentPurpose

_WAYS: Final = ["e-mail", "message", "signed form", "spoken, on a call"]
_HALF_YEAR: Final = dt.timedelta(days=182)


class ConsentForm(Form):
    """An agreement, or with ``is_given`` False its end."""

    def __init__(
        self,
        model: BookModel,
        record: ClientRecord,
        *,
        is_given: bool = True,
        clip_id: int | None = None,
        covers: Sequence[ConsentPurpose] = ("private_feedback",),
    ) -> None:
        name = record.client.name
        title = f"What {name} agreed to" if is_given else f"What {name} doesn't agree to any more"
        super().__init__(title, "Record consent" if is_given else "Record the withdrawal")
        self._model, self._client, self._is_given = model, name, is_given
        self._clip_id = clip_id
        self._file: Path | None = None
        self.covers = {purpose: TickBox(PURPOSE_TITLES[purpose]) for purpose in PURPOSES}
        self.how = words_or_own(_WAYS)
        self.on = date_field(dt.date.today())
        self.has_end = TickBox("Only until")
        self.until = date_field(dt.date.today() + _HALF_YEAR)
        self.message = text_field(hint="Paste what the client wrote")
        self._file_words = QLabel("")
        self._lay_out(record, covers)

    @property
    def file(self) -> Path | None:
        """The message as a file, if one was chosen."""
        return self._file

    def take_file(self, path: Path) -> None:
        """Keep a file as the message, instead of a text."""
        self._file = path
        self._file_words.setText(path.name)
        self.message.setEnabled(False)

    def submit(self) -> None:
        covers = [purpose for purpose, box in self.covers.items() if box.isChecked()]
        text = self.message.toPlainText().strip()
        client, clip_id, on = self._client, self._clip_id, day_of(self.on)
        how, message = self.how.currentText(), self._file or text or None
        until = day_of(self.until) if self._is_given and self.has_end.isChecked() else None
        is_given = self._is_given

        def work(book: Casebook) -> object:
            if is_given:
                return book.record_consent(
                    client,
                    covers,
                    given_on=on,
                    how=how,
                    until=until,
                    message=message,
                    clip_id=clip_id,
                )
            return book.withdraw_consent(
                client, covers, withdrawn_on=on, how=how, message=message, clip_id=clip_id
            )

        self._model.change(work, self._done)

    def _done(self, _: object) -> None:
        self._model.take_back_refusals(self._client)
        what = "consent" if self._is_given else "withdrawal"
        self._model.said.emit(f"The {what} of {self._client} is recorded.")
        self.finish()

    def _lay_out(self, record: ClientRecord, covers: Sequence[ConsentPurpose]) -> None:
        ticks = QWidget()
        column = QVBoxLayout(ticks)
        column.setContentsMargins(0, 0, 0, look.space(0.3))
        column.addWidget(words_label("For", "strong"))
        for purpose, box in self.covers.items():
            box.setChecked(purpose in covers)
            column.addWidget(box)
        self.fields.addWidget(ticks)
        self.add("How it was said", self.how)
        self.add("On", self.on)
        if self._is_given:
            self.fields.addWidget(self._end_row())
        if record.clips:
            self.add("Of which clips", self._which(record))
        self.add("What was written", self.message, "It is kept as a file in the client's folder.")
        self.fields.addWidget(self._file_row())

    def _end_row(self) -> QWidget:
        holder = QWidget()
        line = QHBoxLayout(holder)
        line.setContentsMargins(0, 0, 0, look.space(0.3))
        line.addWidget(self.has_end)
        line.addWidget(self.until)
        line.addStretch(1)
        self.until.setAccessibleName("The last day of the consent")
        self.until.setEnabled(False)
        self.has_end.toggled.connect(self.until.setEnabled)
        return holder

    def _which(self, record: ClientRecord) -> QWidget:
        values: list[tuple[int | None, str]] = [(None, "All clips, also those to come")]
        values += [
            (kept.id, ", ".join(filter(None, (week_words(kept.week, None), kept.original_name))))
            for kept in record.clips
        ]
        box = drop_down(values, self._choose_clip)
        place = next((n for n, (id_, _) in enumerate(values) if id_ == self._clip_id), 0)
        box.setCurrentIndex(place)
        return box

    def _choose_clip(self, clip_id: int | None) -> None:
        self._clip_id = clip_id

    def _file_row(self) -> QWidget:
        holder = QWidget()
        line = QHBoxLayout(holder)
        line.setContentsMargins(0, 0, 0, look.space(0.3))
        tip = "Keep a file instead, such as a photo of the signed form"
        line.addWidget(button("Choose a file\u2026", self._choose_file, tip=tip))
        line.addWidget(self._file_words, 1)
        return holder

    def _choose_file(self) -> None:
        name, _ = QFileDialog.getOpenFileName(self, "What the client wrote")
        if name:
            self.take_file(Path(name))
