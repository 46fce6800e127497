"""One clip: how far it is, whose it is, until when it is due, and what can be done with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import partial

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from cliptag.casebook import STATE_WORDS, ReceivedClip
from cliptag.desk import look
from cliptag.desk.casebook.deeds import Deeds
from cliptag.desk.casebook.pieces import button, words_label
from cliptag.desk.casebook.signs import StateSign
from cliptag.desk.casebook.telling import came_words, due_words, week_words
from cliptag.desk.stage.flow import FlowLayout

NO_CONSENT = "\u25b2 no consent to private feedback"


class ClipRow(QWidget):
    """``is_refused`` when the clip may not be sent back to the client on this day."""

    def __init__(
        self,
        kept: ReceivedClip,
        deeds: Deeds,
        today: dt.date,
        *,
        is_refused: bool,
        shows_client: bool,
    ) -> None:
        super().__init__()
        self.kept = kept
        is_late = kept.state != "sent" and kept.due_on < today
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, look.space(0.15), 0, look.space(0.15))
        layout.setSpacing(look.space(0.5))
        top = Qt.AlignmentFlag.AlignTop
        layout.addWidget(StateSign(kept.state, is_late=is_late), 0, top)
        words = self._words(today, is_late, shows_client)
        if is_refused and kept.state != "sent":
            words.addLayout(self._without_consent(deeds))
        layout.addLayout(words, 1)
        for part in self._buttons(deeds, shows_client):
            layout.addWidget(part, 0, top)
        self.setAccessibleName(f"{kept.client}, {kept.original_name}: {STATE_WORDS[kept.state]}")

    def _words(self, today: dt.date, is_late: bool, shows_client: bool) -> QVBoxLayout:
        kept = self.kept
        column = QVBoxLayout()
        column.setSpacing(0)
        where = week_words(kept.week, kept.topic) or "outside the weeks"
        title = f"{kept.client} \u2013 {where}" if shows_client else where[:1].upper() + where[1:]
        column.addWidget(words_label(title, "strong"))
        state = STATE_WORDS[kept.state]
        facts = [kept.original_name, came_words(kept, today), state]
        if kept.state != "sent" and not is_late:
            facts.append(due_words(kept, today))
        column.addWidget(words_label(" \u00b7 ".join(facts), "quiet"))
        if is_late:
            column.addWidget(words_label(f"\u25b2 {due_words(kept, today)}", "trouble"))
        return column

    def _without_consent(self, deeds: Deeds) -> FlowLayout:
        kept, line = self.kept, FlowLayout()
        line.setContentsMargins(0, 0, 0, 0)
        label = words_label(NO_CONSENT, "trouble")
        label.setWordWrap(False)
        label.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        line.addWidget(label)
        says = f"Record consent: {kept.client}, {kept.original_name}"
        run = partial(deeds.ask_consent, kept.client)
        line.addWidget(
            button("Record consent", run, role="link", name=says, key=f"consent {kept.id}")
        )
        return line

    def _buttons(self, deeds: Deeds, shows_client: bool) -> list[QWidget]:
        kept = self.kept
        made: list[QWidget] = []

        def add(
            words: str, run: Callable[[ReceivedClip], object], says: str, role: str = ""
        ) -> None:
            name = f"{says}: {kept.client}, {kept.original_name}"
            key = f"{words} {kept.id}"
            made.append(button(words, lambda: run(kept), role=role, name=name, key=key))

        if kept.state in ("new", "in_work"):
            if kept.state == "in_work":
                add("Done", deeds.finish, "All is said; make the take-home next")
            add("Review", deeds.review, "Review on the stage")
        else:
            if kept.state == "done":
                add("Not done", deeds.take_up_again, "Not done after all")
            if kept.state in ("exported", "sent"):
                add("Show", deeds.show_take_home, "Show the take-home's folder")
            if kept.state == "exported":
                add("Sent", deeds.mark_sent, "Put down that it was sent")
            add("Open", deeds.review, "Open the review on the stage")
        if shows_client:
            add("Client", lambda kept: deeds.show_client(kept.client), "Open the page of", "link")
        return made
