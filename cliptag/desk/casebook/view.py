"""The casebook in the window: clients at the left, at the right the day or a client's page."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Final

from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QStackedWidget, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.casebook.client_forms import ClientForm
from cliptag.desk.casebook.client_list import ClientList, Line, lines_found, lines_of
from cliptag.desk.casebook.client_page import ClientPage
from cliptag.desk.casebook.day_page import DayPage
from cliptag.desk.casebook.deeds import Deeds
from cliptag.desk.casebook.form import FormPage
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.news_view import NewsView
from cliptag.desk.casebook.pieces import (
    Page,
    button,
    has_keyboard,
    takers_in,
    words_label,
)
from cliptag.desk.casebook.search_field import SearchField
from cliptag.desk.casebook.start_page import BrokenPage, StartPage
from cliptag.desk.casebook.telling import count_words

_LIST_EM: Final = 13.5
_LIST_PART: Final = 0.34
"""Of the view's width, at most."""


class CasebookView(QWidget):
    """Shows the model; every click goes to ``deeds`` or to the model."""

    def __init__(self, model: BookModel, deeds: Deeds, go_back: Callable[[], object]) -> None:
        """``go_back`` leads to the clip on the stage."""
        super().__init__()
        self._model = model
        self._files: tuple[Path, ...] = ()
        self._is_new = False
        self.setAccessibleName("Casebook")
        self.search = SearchField()
        self.today = button("Today", lambda: model.choose(None), role="choice", key="today")
        self.today.setCheckable(True)
        self.back = button(
            "Back to the clip", go_back, role="link", tip="Go back to the review on the stage"
        )
        self.clients = ClientList()
        self.day_page = DayPage(model, deeds)
        self.client_page = ClientPage(model, deeds)
        self._start, self._broken = StartPage(model), BrokenPage(model)
        self._new_client = FormPage()
        self._waiting = words_label("", "strong")
        self._no_hit = words_label("", "quiet")
        self._waiting.hide()
        self._no_hit.hide()
        self.pages = QStackedWidget()
        self._side = self._build_side()
        self._build()
        self._listen()

    # -- what the room asks ---------------------------------------------------------------------

    def bring(self) -> None:
        """The casebook comes into sight."""
        self._is_new = self._model.now is None
        self._show()
        self.focus_first()

    def focus_first(self) -> None:
        """Give the keyboard to what comes first on the page, news apart."""
        page = self.pages.currentWidget()
        takers = takers_in(page) if page is not None else []
        told = page.findChildren(NewsView) if page is not None else []
        asking = [t for t in takers if t.isEnabled() and not any(n.isAncestorOf(t) for n in told)]
        main = [taker for taker in asking if taker.property("role") != "link"]
        first = (main or asking or [self.search])[0]
        first.setFocus(Qt.FocusReason.OtherFocusReason)

    def start_search(self) -> None:
        """Give the keyboard to the search."""
        self.search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self.search.selectAll()

    def add_client(self) -> None:
        """Open the form of a new client."""
        query = self.search.text().strip()
        name = "" if any(line.client == query for line in self.clients.lines) else query
        form = ClientForm(self._model, name=name)
        self._new_client.open_form(form)
        form.left.connect(self._leave_new_client)
        self.pages.setCurrentWidget(self._new_client)
        form.begin()

    def step_back(self) -> bool:
        """One thing less; gives whether there was one."""
        if self._files:
            self._wait_for_client(())
        elif self.pages.currentWidget() is self._new_client:
            self._leave_new_client()
        elif self.client_page.close_form():
            pass
        elif self.search.text():
            self.search.clear()
        elif self._model.client is not None:
            self._model.choose(None)
        else:
            return False
        return True

    def take_files(self, files: Sequence[Path], place: QPoint) -> None:
        """Files were dropped at a place of this view: they are a client's clips."""
        self.clients.hold_over(None)
        if not self._model.exists:
            self._model.warned.emit("Begin a casebook first, then add a client and her clips.")
            return
        name, week = self._client_at(place)
        if name is not None:
            self._model.add_clips(name, files, week)
        else:
            self._wait_for_client(tuple(files))

    def hold_files(self, place: QPoint | None) -> None:
        """Files are held over a place of this view, or (None) not any more."""
        inside = None if place is None else self.clients.mapFrom(self, place)
        self.clients.hold_over(
            inside if inside is not None and self.clients.rect().contains(inside) else None
        )

    def _client_at(self, place: QPoint) -> tuple[str | None, int | None]:
        in_list = self.clients.mapFrom(self, place)
        if self.clients.rect().contains(in_list):
            line = self.clients.line_at(in_list)
            return (line.client, None) if line is not None else (None, None)
        if self.pages.currentWidget() is self.client_page:
            return self._model.client, self.client_page.week_at(
                self.client_page.mapFrom(self, place)
            )
        return None, None

    # -- putting together -----------------------------------------------------------------------

    def _build_side(self) -> QWidget:
        side = QWidget()
        side.setObjectName("side")
        column = QVBoxLayout(side)
        column.setContentsMargins(*(look.space(0.6) for _ in range(4)))
        column.setSpacing(look.space(0.4))
        title = QLabel("Casebook")
        title.setProperty("role", "page")
        add = button("Add a client", self.add_client, tip="Add a client")
        self.add_button = add
        for part in (self.back, title, self.search, self.today, self._waiting, self._no_hit):
            column.addWidget(part)
        column.addWidget(self.clients, 1)
        column.addWidget(add)
        return side

    def _build(self) -> None:
        for page in (
            *(self.day_page, self.client_page, self._start, self._broken, self._new_client),
        ):
            self.pages.addWidget(page)
        line = QHBoxLayout(self)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(0)
        line.addWidget(self._side)
        line.addWidget(self.pages, 1)

    def _listen(self) -> None:
        model = self._model
        model.shown.connect(self._show)
        model.searched.connect(self._fill_list)
        model.chosen.connect(self._show)
        model.broken.connect(self._show_broken)
        self.search.textChanged.connect(model.search)
        self.search.down.connect(self._to_list)
        self.search.returnPressed.connect(self._take_first)
        self.clients.wanted.connect(self._take)
        self.clients.entered_page.connect(self.focus_first)
        look.look().changed.connect(self._restyle)
        self._restyle()

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        self._fit_side()

    def _fit_side(self) -> None:
        """The page needs its room, also where the text is large."""
        self._side.setFixedWidth(min(look.space(_LIST_EM), round(_LIST_PART * self.width())))

    def _restyle(self) -> None:
        colours = look.palette()
        self._fit_side()
        self._side.setStyleSheet(
            f"#side {{ background: {colours.plate}; border-right: 1px solid {colours.hairline}; }}"
            f" QListView {{ background: {colours.plate}; }}"
        )

    # -- showing --------------------------------------------------------------------------------

    def show_way_back(self, words: str) -> None:
        """Offer the way back to the clip on the stage; no words, no way."""
        self.back.setText(words.replace("&", "&&"))
        self.back.setVisible(bool(words))

    def _show(self) -> None:
        model = self._model
        is_there = model.exists
        self._side.setVisible(is_there)
        if not is_there:
            self.pages.setCurrentWidget(self._start)
            return
        if model.now is None:
            return
        self.today.setChecked(model.client is None)
        self._fill_list()
        if self.pages.currentWidget() is self._new_client and self._new_client.is_busy:
            return
        self._show_page()
        if self._is_new:
            self._is_new = False
            self.focus_first()

    def _show_page(self) -> None:
        model = self._model
        page: Page = self.day_page if model.client is None else self.client_page
        if self.pages.currentWidget() is not page:
            had_keyboard = has_keyboard(self.pages)
            self.pages.setCurrentWidget(page)
            page.to_top()
            if had_keyboard:
                self.focus_first()

    def _show_broken(self, sentence: str) -> None:
        self._broken.say(sentence)
        self._side.hide()
        self.pages.setCurrentWidget(self._broken)
        self.focus_first()

    def _fill_list(self) -> None:
        now, found = self._model.now, self._model.found
        if now is None:
            return
        lines = lines_of(now.clients, now.day)
        if found is not None:
            lines = lines_found(found, lines)
        self.clients.fill(lines, self._model.client)
        self._no_hit.setVisible(not lines)
        self._no_hit.setText(
            f"Nothing is found of \u201c{self._model.query}\u201d."
            if self._model.query
            else "No client yet."
        )

    def _take(self, line: Line) -> None:
        if self._files:
            files = self._files
            self._wait_for_client(())
            self._model.add_clips(line.client, files)
        self._leave_new_client()
        self._model.choose(line.client)

    def _take_first(self) -> None:
        if self.clients.lines:
            self.clients.choose_first()
            self.clients.setFocus()

    def _to_list(self) -> None:
        self.clients.setFocus()
        if not self.clients.currentIndex().isValid():
            self.clients.choose_first()

    def _wait_for_client(self, files: tuple[Path, ...]) -> None:
        self._files = files
        words = f"{count_words(len(files), 'file')}: choose whose, or press Esc." if files else ""
        self._waiting.setText(words)
        self._waiting.setVisible(bool(files))
        if files:
            self.search.setFocus()

    def _leave_new_client(self) -> None:
        if self._new_client.is_busy:
            had_keyboard = has_keyboard(self._new_client)
            self._new_client.close_form()
            self._show()
            if had_keyboard:
                self.focus_first()
