"""What a day asks of the coach: what waits, what is late, what is ready, what has not come."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import partial
from typing import Final

from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import QBoxLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from cliptag.casebook import Missing, ReceivedClip
from cliptag.desk import look
from cliptag.desk.casebook.clip_row import ClipRow
from cliptag.desk.casebook.deeds import Deeds
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.news_view import NewsView
from cliptag.desk.casebook.pieces import Page, button, keyboard_kept, let_tab_follow, words_label
from cliptag.desk.casebook.section import Section
from cliptag.desk.casebook.telling import (
    day_words,
    missing_by_client,
    missing_words,
    weekday_words,
)

_WIDE_EM: Final = 100.0
_TWO_COLUMNS_EM: Final = 74.0


class DayPage(Page):
    """The first thing that the coach sees of the casebook."""

    def __init__(self, model: BookModel, deeds: Deeds) -> None:
        super().__init__("Today", widest=_WIDE_EM)
        self._model, self._deeds = model, deeds
        self._shown: object = None
        self._title = QLabel("Today")
        self._title.setProperty("role", "title")
        self._lead = words_label("", "lead")
        self.export = button(
            "Export all that is due", deeds.make_all_due, role="main", key="export all"
        )
        self.to_review = Section("To review", "No clip waits for your review.")
        self.to_export = Section("Done, take-home to make", "No review waits for its take-home.")
        self.to_send = Section("Ready to send", "No take-home waits to be sent.")
        self.missing = Section("Has not sent what was due", "Every client has sent what was due.")
        self.to_export.add_to_head(self.export)
        for part in (self._title, self._lead, NewsView(model, deeds)):
            self.body.addWidget(part)
        self._columns = QBoxLayout(QBoxLayout.Direction.TopToBottom)
        self.body.addLayout(self._columns)
        for parts in ((self.to_review,), (self.to_export, self.to_send, self.missing)):
            column = QVBoxLayout()
            for section in parts:
                column.addWidget(section)
            column.addStretch(1)
            self._columns.addLayout(column, 1)
        self.body.addLayout(self._foot())
        model.shown.connect(self._show)
        model.told.connect(lambda: let_tab_follow(self))
        model.working.connect(self._show_work)
        look.look().changed.connect(self._show_anew)
        self._show_work()

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        """What waits for the coach, and beside it, where there is room, all else."""
        direction = QBoxLayout.Direction
        is_wide = self.width() >= look.space(_TWO_COLUMNS_EM)
        self._columns.setDirection(direction.LeftToRight if is_wide else direction.TopToBottom)
        self._columns.setSpacing(look.space(2.0 if is_wide else 0.2))

    def _foot(self) -> QHBoxLayout:
        foot = QHBoxLayout()
        tip = "See whether every file of the casebook is there and as it was received"
        foot.addWidget(button("Check the casebook", self._model.check, role="link", tip=tip))
        foot.addStretch(1)
        return foot

    def _show_anew(self) -> None:
        self._shown = None
        self._arrange()
        self._show()

    def _show(self) -> None:
        now = self._model.now
        if now is None or now.day == self._shown:
            return
        day = self._shown = now.day
        self._title.setText(weekday_words(day.on_date))
        self._lead.setText(
            day_words(day) if now.clients else "There is no client yet: add the first one."
        )
        with keyboard_kept(self):
            for section, clips in (
                (self.to_review, day.to_review),
                (self.to_export, day.to_export),
                (self.to_send, day.to_send),
            ):
                refused = frozenset(day.without_consent)
                section.fill([partial(self._row, kept, day.on_date, refused) for kept in clips])
            self.missing.fill(
                [
                    partial(self._missing_row, name, gaps, day.on_date)
                    for name, gaps in missing_by_client(day.missing).items()
                ]
            )
        self._show_work()

    def _show_work(self) -> None:
        now = self._model.now
        self.export.setEnabled(
            self._model.making is None and now is not None and bool(now.day.to_export)
        )

    def _row(self, kept: ReceivedClip, today: dt.date, refused: frozenset[int]) -> QWidget:
        is_refused = kept.id in refused
        return ClipRow(kept, self._deeds, today, is_refused=is_refused, shows_client=True)

    def _missing_row(self, name: str, gaps: Sequence[Missing], today: dt.date) -> QWidget:
        row = QWidget()
        layout = QHBoxLayout(row)
        layout.setContentsMargins(0, look.space(0.1), 0, look.space(0.1))
        column = QVBoxLayout()
        column.setSpacing(0)
        column.addWidget(words_label(name, "strong"))
        is_late = any(gap.is_late for gap in gaps)
        words = missing_words(gaps, today)
        sign = "\u25b2 " if is_late else ""
        column.addWidget(words_label(f"{sign}{words}", "trouble" if is_late else "quiet"))
        layout.addLayout(column, 1)
        show = partial(self._deeds.show_client, name)
        says = f"Open the page of {name}"
        layout.addWidget(button("Client", show, role="link", name=says, key=f"missing {name}"))
        return row
