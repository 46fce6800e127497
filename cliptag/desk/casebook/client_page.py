"""A client's page: weeks, consent, clips, and what is done about the client."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial
from pathlib import Path

from PyQt6.QtCore import QPoint, QTimer
from PyQt6.QtWidgets import QFileDialog, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from cliptag.casebook import Client, ConsentStanding, ReceivedClip, WeekStanding, to_compare
from cliptag.desk import look
from cliptag.desk.casebook.client_forms import ClientForm, EraseForm, PlanForm
from cliptag.desk.casebook.clip_row import ClipRow
from cliptag.desk.casebook.consent_form import ConsentForm
from cliptag.desk.casebook.deeds import Deeds
from cliptag.desk.casebook.form import Form
from cliptag.desk.casebook.looking import ClientFile
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.news_view import NewsView
from cliptag.desk.casebook.pieces import (
    Page,
    button,
    empty_out,
    has_keyboard,
    keyboard_kept,
    let_tab_follow,
    words_label,
)
from cliptag.desk.casebook.section import Section
from cliptag.desk.casebook.telling import (
    PURPOSE_TITLES,
    date_words,
    standing_words,
    week_words,
)
from cliptag.desk.casebook.week_plates import WeekPlate, WeekPlates
from cliptag.desk.fields import own_name
from cliptag.desk.stage.flow import FlowLayout


class ClientPage(Page):
    """Shows the client whom the model has chosen; one form at a time opens in it."""

    def __init__(self, model: BookModel, deeds: Deeds) -> None:
        super().__init__("Client")
        self._model, self._deeds = model, deeds
        self._shown: ClientFile | None = None
        self.form: Form | None = None
        self._wanted: Callable[[], None] | None = None
        self._pair: tuple[ReceivedClip, ReceivedClip] | None = None
        self._title = QLabel()
        self._title.setProperty("role", "title")
        self._title.setWordWrap(True)
        self._facts = words_label("", "quiet")
        self._notes = words_label("")
        self._form_place = QVBoxLayout()
        self.weeks = Section("Weeks", "No programme is planned.")
        self.plates = WeekPlates(self._choose_week)
        self.consent = Section("Consent", "", is_counted=False)
        self.clips = Section("Clips", "No clip came yet: drop them anywhere on this page.")
        self._lay_out()
        model.shown.connect(self._show)
        model.told.connect(lambda: let_tab_follow(self))
        model.chosen.connect(self._changed_client)
        look.look().changed.connect(self._show_anew)

    # -- forms ----------------------------------------------------------------------------------

    def open_form(self, form: Form) -> None:
        """Open a form in place of any other."""
        self.close_form()
        self.form = form
        self._form_place.addWidget(form)
        form.left.connect(self.close_form)
        form.show()
        form.begin()
        QTimer.singleShot(0, partial(self._bring_in_sight, form))

    def close_form(self) -> bool:
        """Leave the open form; gives whether there was one."""
        if self.form is None:
            return False
        had_keyboard = has_keyboard(self.form)
        self.form = None
        empty_out(self._form_place)
        if had_keyboard:
            self._add.setFocus()
        return True

    def ask_consent(self, clip_id: int | None = None) -> None:
        """Open the form of a consent as soon as the client is shown."""
        self._when_shown(lambda file: ConsentForm(self._model, file.record, clip_id=clip_id))

    def change_client(self) -> None:
        """Open the form of the client's facts."""
        self._when_shown(lambda file: ClientForm(self._model, file.record.client))

    def plan(self) -> None:
        """Open the form of a new programme."""
        self._when_shown(lambda file: PlanForm(self._model, file.record.client.name))

    def erase(self) -> None:
        """Open the form in which a client is erased."""
        self._when_shown(lambda file: EraseForm(self._model, file.record))

    def _when_shown(self, make: Callable[[ClientFile], Form]) -> None:
        file = self._shown
        if file is not None and file.record.client.name == self._model.client:
            self.open_form(make(file))
        else:
            self._wanted = lambda: self._when_shown(make)

    # -- showing --------------------------------------------------------------------------------

    def week_at(self, place: QPoint) -> int | None:
        """The week whose plate is at a place of this page."""
        found = self.plates.mapFrom(self, place)
        plate = self.plates.plate_at(found.x(), found.y())
        return plate.week.week if isinstance(plate, WeekPlate) else None

    def _lay_out(self) -> None:
        add = self.body.addWidget
        add(self._title)
        add(self._facts)
        add(self._notes)
        add(self._deeds_row())
        add(NewsView(self._model, self._deeds))
        self.body.addLayout(self._form_place)
        add(self.weeks)
        add(self.plates)
        add(self.consent)
        add(self.clips)
        self._change_plan = button(
            "Change the plan", self._open_plan, role="link", key="change plan"
        )
        self.weeks.add_to_head(self._change_plan)
        self._compare = button("", self._compare_now, role="link", key="compare")
        self.clips.add_to_head(self._compare)

    def _deeds_row(self) -> QWidget:
        row = QWidget()
        flow = FlowLayout(row)
        flow.setContentsMargins(0, 0, 0, 0)
        flow.row_gap = look.space(0.25)
        self._add = button(
            "Add clips\u2026",
            lambda: self._deeds.choose_clips(self._name),
            role="main",
            tip="Choose clips or photos; or drop them anywhere on this page",
        )
        for made in (
            self._add,
            button("Record consent", self.ask_consent),
            button("Plan a programme", self.plan),
            button("Change details", self.change_client),
            button("Export the data\u2026", self._hand_over, tip="Write all that is kept of her"),
            button("Erase\u2026", self.erase, tip="Forget this client for good"),
        ):
            flow.addWidget(made)
        return row

    @property
    def _name(self) -> str:
        return self._model.client or ""

    def _changed_client(self) -> None:
        self.close_form()
        self._wanted = None
        self.to_top()

    def _show_anew(self) -> None:
        self._shown = None
        self._show()

    def _show(self) -> None:
        now = self._model.now
        file = now.file if now is not None else None
        if now is None or file is None:
            return
        if file != self._shown:
            self._shown = file
            with keyboard_kept(self):
                self._fill(file, now.day.on_date)
        if self._wanted is not None:
            wanted, self._wanted = self._wanted, None
            wanted()

    def _fill(self, file: ClientFile, today: dt.date) -> None:
        person = file.record.client
        self._title.setText(person.name)
        self.setAccessibleName(f"Client {person.name}")
        self._facts.setText(_facts(person, today))
        self._notes.setText(person.notes)
        self._notes.setVisible(bool(person.notes))
        programme = file.programme
        self._change_plan.setVisible(programme is not None)
        self.weeks.fill(())
        self.weeks.say(
            f"{programme.name}, from {date_words(programme.starts_on, today)}"
            if programme
            else "No programme is planned."
        )
        self.plates.setVisible(programme is not None)
        self.plates.fill(file.weeks, programme.week_on(today) if programme else None)
        self.consent.fill([partial(self._standing, one, file, today) for one in file.consent])
        self._offer_comparison(file)
        newest_first = sorted(file.record.clips, key=lambda kept: kept.received_at, reverse=True)
        self.clips.fill([partial(self._row, kept, file, today) for kept in newest_first])

    def _row(self, kept: ReceivedClip, file: ClientFile, today: dt.date) -> QWidget:
        is_refused = kept.id in file.refused
        return ClipRow(kept, self._deeds, today, is_refused=is_refused, shows_client=False)

    def _offer_comparison(self, file: ClientFile) -> None:
        self._pair = to_compare(file.record.clips)
        self._compare.setVisible(self._pair is not None)
        if self._pair is not None:
            first, newest = (
                week_words(kept.week, None) or kept.original_name for kept in self._pair
            )
            words = f"Compare {first} with {newest} ({self._pair[0].topic})"
            self._compare.setText(words.replace("&", "&&"))
            self._compare.setAccessibleName(words)

    def _compare_now(self) -> None:
        if self._pair is not None:
            self._deeds.compare(*self._pair)

    def _standing(self, one: ConsentStanding, file: ClientFile, today: dt.date) -> QWidget:
        row = QWidget()
        row.setMinimumHeight(look.space(1.6))
        layout = QHBoxLayout(row)
        layout.setContentsMargins(0, 0, 0, 0)
        is_agreed = one.state == "agreed"
        sign = (
            "\u2713" if is_agreed else "\u25b2" if one.state in ("withdrawn", "ended") else "\u2013"
        )
        title = PURPOSE_TITLES[one.purpose]
        of = next((kept for kept in file.record.clips if kept.id == one.clip_id), None)
        if of is not None:
            where = week_words(of.week, None)
            title += f", only of {of.original_name}{f' ({where})' if where else ''}"
        is_trouble = one.state in ("withdrawn", "ended")
        words = f"{sign} {title}: {standing_words(one, today)}."
        layout.addWidget(words_label(words, "trouble" if is_trouble else ""), 1)
        message = one.word.message if one.word else None
        if message is not None:
            path = file.home / message
            says = f"Show what was written about {title.lower()}"
            show = partial(self._deeds.show_file, path)
            layout.addWidget(button("Show", show, role="link", name=says, key=f"word {message}"))
        if is_agreed and one.word is not None:
            says = f"Withdraw the consent for {title.lower()}"
            run = partial(self._withdraw, one)
            key = f"withdraw {one.purpose} {one.clip_id}"
            layout.addWidget(button("Withdraw\u2026", run, role="link", name=says, key=key))
        return row

    def _withdraw(self, one: ConsentStanding) -> None:
        self._when_shown(
            lambda file: ConsentForm(
                self._model,
                file.record,
                is_given=False,
                clip_id=one.clip_id,
                covers=(one.purpose,),
            )
        )

    def _open_plan(self) -> None:
        self._when_shown(
            lambda file: PlanForm(self._model, file.record.client.name, file.programme)
        )

    def _choose_week(self, week: WeekStanding) -> None:
        if not week.clips:
            self._deeds.choose_clips(self._name, week.week)
            return
        for row in self.findChildren(ClipRow):
            if row.kept.id == week.clips[-1]:
                self.ensureWidgetVisible(row)
                first = row.findChildren(QWidget)
                takers = [part for part in first if part.focusPolicy().value]
                if takers:
                    takers[-1].setFocus()

    def _hand_over(self) -> None:
        usual = str(Path.home() / f"{self._name}.zip")
        name, _ = QFileDialog.getSaveFileName(
            self, "Where should the client's data go?", usual, "Zip file (*.zip)"
        )
        if name:
            self._model.hand_over(self._name, Path(name))

    def _bring_in_sight(self, form: Form) -> None:
        if self.form is form:
            self.ensureWidgetVisible(form.do)
            self.ensureWidgetVisible(form)


def _facts(person: Client, today: dt.date) -> str:
    language = own_name(person.language)
    since = f"client since {date_words(person.created_on, today)}"
    return " \u00b7 ".join(part for part in (person.contact, language, since) if part)
