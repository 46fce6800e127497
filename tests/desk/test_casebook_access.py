"""The casebook for those who don't see or point: names, order of Tab, the keyboard's place."""

from __future__ import annotations

import sys
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from support.accessible import CONTROLS, told_of
from support.desk import press
from support.desk_book import BookDesk, book_desk, ines_and_pavel, wait_for

from cliptag.desk.casebook.news import News
from cliptag.desk.casebook.pieces import has_keyboard


@pytest.fixture
def desk(qtbot, tmp_path: Path, monkeypatch):
    with book_desk(tmp_path, monkeypatch, ines_and_pavel(tmp_path)) as made:
        made.show()
        QTest.qWait(50)
        yield made


PAGES: dict[str, Callable[[BookDesk], object]] = {
    "day": lambda desk: desk.room.show_day(),
    "client": lambda desk: desk.show_client("Ines"),
    "add": lambda desk: desk.room.add_client(),
    "consent": lambda desk: (desk.show_client("Ines"), desk.room.view.client_page.ask_consent()),
    "plan": lambda desk: (desk.show_client("Ines"), desk.room.view.client_page.plan()),
    "erase": lambda desk: (desk.show_client("Ines"), desk.room.view.client_page.erase()),
    "news": lambda desk: desk.room.model._tell(
        (News("No.", is_trouble=True, client="Pavel", wants_consent=True),), can_mend=True
    ),
}


@pytest.mark.skipif(sys.platform != "linux", reason="asks Qt's library by its ELF name")
@pytest.mark.parametrize("page", PAGES)
def test_every_control_has_a_name(desk: BookDesk, page: str):
    PAGES[page](desk)
    QTest.qWait(100)
    told = [t for t in told_of(desk.window) if t.is_seen]
    assert [t for t in told if t.role in CONTROLS and not t.name.strip()] == []


@pytest.mark.skipif(sys.platform != "linux", reason="asks Qt's library by its ELF name")
def test_buttons_of_different_clips_can_be_told_apart(desk: BookDesk):
    names = [t.name for t in told_of(desk.room.view) if t.is_seen and t.role == "button"]
    assert len(set(names)) == len(names)


@pytest.mark.skipif(sys.platform != "linux", reason="asks Qt's library by its ELF name")
def test_the_list_tells_what_waits_of_each_client(desk: BookDesk):
    names = [t.name for t in told_of(desk.room.view.clients) if t.role == "list item"]
    assert names == ["Ines: 2 clips wait, owes 2 weeks, late", "Pavel: 1 clip waits"]


@pytest.mark.parametrize("page", ["day", "client", "consent", "plan", "erase"])
def test_tab_leads_through_a_page_from_top_to_bottom(desk: BookDesk, page: str):
    PAGES[page](desk)
    QTest.qWait(100)
    shown = desk.room.view.pages.currentWidget()
    form = desk.room.view.client_page.form
    if form is None:
        desk.room.view.focus_first()
    places = []
    for _ in range(60):
        focus = desk.window.focusWidget()
        if not (focus is not None and shown.isAncestorOf(focus)):
            break
        places.append(focus.mapTo(shown.widget(), focus.rect().center()).y())
        QTest.keyClick(focus, Qt.Key.Key_Tab)
    else:
        pytest.fail("Tab never leaves the page")
    assert len(set(places)) > 1
    # Where two things stand side by side their middles may differ by some pixels, and the weeks
    # of a plan stand in two columns.
    allowed_px = 400 if page == "plan" else 40
    assert all(b > a - allowed_px for a, b in pairwise(places)), places


def test_the_keyboard_stays_where_it_was_when_the_page_changes_under_it(desk: BookDesk):
    button = desk.button("Review on the stage: Pavel")
    button.setFocus()
    desk.change(lambda book: book.set_state(1, "in_work"))
    desk.wait_for_words("in work", desk.room.view.day_page)
    focus = desk.window.focusWidget()
    assert focus.accessibleName().startswith("Review on the stage: Pavel")
    assert focus is not button or button.isVisible()


def test_the_parts_are_reached_one_after_the_other(desk: BookDesk):
    view = desk.room.view
    seen = []
    for _ in range(4):
        press(desk.window, "F6")
        seen.append(
            next(
                (part.accessibleName() for part in (view.search, view.clients) if part.hasFocus()),
                "page" if has_keyboard(view.pages) else "bar",
            )
        )
    assert {"Find a client or clip", "Clients", "page"} <= set(seen)


def test_escape_takes_back_one_thing_after_the_other(desk: BookDesk):
    desk.show_client("Ines")
    desk.room.view.client_page.ask_consent()
    view = desk.room.view
    press(desk.window, "Escape")
    assert view.client_page.form is None
    view.search.setText("pavel")
    press(desk.window, "Escape")
    assert view.search.text() == ""
    press(desk.window, "Escape")
    wait_for(lambda: desk.room.model.client is None, "the day")
    press(desk.window, "Escape")
    assert desk.window.is_elsewhere, "nothing is on the desk that it could go back to"
