"""Forms about a client: who it is, the weeks of a programme, and forgetting one for good."""

from __future__ import annotations

import datetime as dt
from typing import Final

from PyQt6.QtWidgets import QComboBox, QGridLayout, QLabel, QWidget

from cliptag.casebook import TOPICS, Casebook, Client, ClientRecord, Programme
from cliptag.desk import look
from cliptag.desk.casebook.form import (
    Form,
    count_field,
    date_field,
    day_of,
    line_field,
    text_field,
    words_or_own,
)
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.pieces import empty_out, let_tab_follow, words_label
from cliptag.desk.casebook.telling import count_words

_USUAL_WEEKS: Final = 10
_MOST_WEEKS: Final = 104


class ClientForm(Form):
    """A new client, or other facts of a known one."""

    def __init__(self, model: BookModel, person: Client | None = None, name: str = "") -> None:
        title = "Add a client" if person is None else f"Change what is known of {person.name}"
        super().__init__(title, "Add the client" if person is None else "Keep it")
        self._model, self._person = model, person
        self.name = line_field(person.name if person else name, "As you call her or him")
        self.contact = line_field(person.contact if person else "", "Mail address or number")
        self.language = line_field(person.language if person else "en")
        self.language.setMaximumWidth(look.space(6))
        self.notes = text_field(person.notes if person else "", "What you should bear in mind")
        self.add("Name", self.name)
        self.add("Contact", self.contact)
        help_words = "Of what the client gets; a code such as en, de or pt."
        self.add("Language", self.language, help_words)
        self.add("Notes", self.notes)

    def submit(self) -> None:
        name, contact = self.name.text().strip(), self.contact.text().strip()
        language, notes = self.language.text(), self.notes.toPlainText()
        person = self._person

        def work(book: Casebook) -> Client:
            if person is None:
                return book.add_client(name, language=language, contact=contact, notes=notes)
            return book.change_client(
                person.name, new_name=name, language=language, contact=contact, notes=notes
            )

        self._model.change(work, self._done)

    def _done(self, person: Client) -> None:
        self.finish()
        self._model.choose(person.name)


class PlanForm(Form):
    """The weeks of a programme, each with what it is about."""

    def __init__(self, model: BookModel, client: str, programme: Programme | None = None) -> None:
        title = f"Plan a programme for {client}" if programme is None else "Change the plan"
        super().__init__(title, "Begin the programme" if programme is None else "Keep the plan")
        self._model, self._client, self._programme = model, client, programme
        self.title = line_field(hint="such as Workbench and lifting")
        self.starts_on = date_field(_next_monday(dt.date.today()))
        if programme is None:
            self.add("What it is called", self.title)
            self.add("First day", self.starts_on)
        topics = [week.topic for week in programme.weeks] if programme else _usual_topics()
        self.count = count_field(len(topics), 1, _MOST_WEEKS)
        self.add("How many weeks", self.count, "Type it, or press the up and down keys.")
        self._grid_holder = QWidget()
        self._grid = QGridLayout(self._grid_holder)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self.fields.addWidget(self._grid_holder)
        self.topics: list[QComboBox] = []
        self._show(topics)
        self.count.valueChanged.connect(self._have)

    def submit(self) -> None:
        topics = [box.currentText() for box in self.topics]
        client, programme = self._client, self._programme
        title, starts_on = self.title.text(), day_of(self.starts_on)
        if programme is None:
            self._model.change(
                lambda book: book.plan(client, starts_on=starts_on, topics=topics, title=title),
                self.finish,
            )
        else:
            self._model.change(lambda book: book.change_plan(programme, topics), self.finish)

    def _have(self, count: int) -> None:
        topics = [box.currentText() for box in self.topics][:count]
        self._show(topics + [topics[-1]] * (count - len(topics)))

    def _show(self, topics: list[str]) -> None:
        empty_out(self._grid)
        self.topics = []
        rows = (len(topics) + 1) // 2
        for number, topic in enumerate(topics):
            box = words_or_own(list(TOPICS), topic)
            box.setAccessibleName(f"Week {number + 1}: what it is about")
            label = QLabel(f"Week {number + 1}")
            column = 2 * (number // rows)
            self._grid.addWidget(label, number % rows, column)
            self._grid.addWidget(box, number % rows, column + 1)
            self.topics.append(box)
        for column in (1, 3):
            self._grid.setColumnStretch(column, 1)
        let_tab_follow(self)


class EraseForm(Form):
    """Forgetting a client: the name has to be typed, so that it isn't done by a slip."""

    def __init__(self, model: BookModel, record: ClientRecord) -> None:
        name = record.client.name
        super().__init__(f"Erase {name} for good", "Erase for good", is_danger=True)
        self._model, self._name = model, name
        self.fields.addWidget(
            words_label(
                f"{count_words(len(record.clips), 'clip')}, their reviews and take-homes, what "
                f"{name} wrote about being shown, and every mention of {name} in backups, caches "
                "and lists on this computer are overwritten and removed. This can't be undone. "
                "To keep a copy for the client, export the data first.",
            )
        )
        self.typed = line_field()
        self.typed.textChanged.connect(self._look)
        self.add(f"Type the name, {name}, to go on", self.typed)
        self.do.setEnabled(False)

    def submit(self) -> None:
        if self.typed.text().strip() == self._name:
            self.finish()
            self._model.erase(self._name)

    def _look(self, text: str) -> None:
        self.do.setEnabled(text.strip() == self._name)


def _usual_topics() -> list[str]:
    """Ten weeks over the topics that are offered, in their order."""
    count = len(TOPICS)
    return [TOPICS[week * count // _USUAL_WEEKS] for week in range(_USUAL_WEEKS)]


def _next_monday(day: dt.date) -> dt.date:
    return day + dt.timedelta(days=-day.weekday() % 7)
