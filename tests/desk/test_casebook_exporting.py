"""Take-homes from the casebook: refused without consent, all that is due at once, stopped."""

from __future__ import annotations

import multiprocessing
import threading
import time
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QToolButton
from support.casebooks import say_something
from support.desk import press
from support.desk_book import TODAY, BookDesk, book_desk, ines_and_pavel, wait_for

from cliptag.casebook import Casebook, ExportOutcome
from cliptag.desk.casebook.news_view import NewsView
from cliptag.export import ExportOptions


@pytest.fixture
def desk(qtbot, tmp_path: Path, monkeypatch):
    def fill(book: Casebook) -> None:
        ines_and_pavel(tmp_path)(book)
        for clip_id in (1, 3):
            say_something(book, clip_id)
            book.set_state(clip_id, "done")

    with book_desk(tmp_path, monkeypatch, fill) as made:
        made.show()
        yield made


def news(desk: BookDesk) -> NewsView:
    return next(part for part in desk.room.view.findChildren(NewsView) if part.isVisible())


def test_all_that_is_due_is_made_and_what_may_not_be_sent_offers_to_record_consent(
    desk: BookDesk,
):
    press(desk.window, "Ctrl+Alt+E")
    assert not desk.room.view.day_page.export.isEnabled()
    desk.wait_for_bar("1 take-home is made; 1 could not be made.")
    desk.wait_for_words("The take-home for Ines is made.", news(desk))
    desk.wait_for_words("There is no consent for private feedback of this clip", news(desk))
    assert [c.state for c in desk.look(lambda book: book.clips())] == ["exported", "done", "new"]
    desk.button("Record consent of Pavel", news(desk)).click()
    wait_for(lambda: desk.room.view.client_page.form is not None, "the form")
    form = desk.room.view.client_page.form
    form.how.setCurrentText("e-mail")
    form.do.click()
    desk.wait_for_bar("The consent of Pavel is recorded.")
    assert [one.client for one in desk.room.model.news] == ["Ines"], "the refusal is past"
    press(desk.window, "Ctrl+T")
    wait_for(lambda: desk.window.commands.action("make_all_due").isEnabled(), "the command")
    press(desk.window, "Ctrl+Alt+E")
    desk.wait_for_bar("1 take-home is made.")
    desk.wait_for_words("Ready to send (2)", desk.room.view.day_page)
    desk.button("Put down that it was sent: Pavel").click()
    desk.wait_for_bar("It is put down that Pavel was sent")
    (made,) = desk.look(lambda book: book.take_homes(3))
    assert made.sent_at is not None
    desk.wait_for_words("Ready to send (1)", desk.room.view.day_page)


def test_the_take_home_of_one_clip_is_refused_too_and_leads_to_the_form(desk: BookDesk):
    desk.button("Open the review on the stage: Pavel").click()
    wait_for(lambda: desk.window.state.document is not None, "the review")
    press(desk.window, "Ctrl+E")
    desk.wait_for_bar("There is no consent for private feedback")
    assert desk.window.bar._do.text() == "Record consent"
    desk.window.bar._do.click()
    wait_for(lambda: desk.window.is_elsewhere, "the casebook")
    wait_for(lambda: desk.room.view.client_page.form is not None, "the form")
    assert desk.room.model.client == "Pavel"


def test_a_clip_outside_the_casebook_is_refused_in_a_sentence_alone(desk: BookDesk, tmp_path: Path):
    desk.room.offer_consent("There is no consent.", tmp_path / "elsewhere.mp4")
    desk.wait_for_bar("There is no consent.")
    assert not desk.window.bar._do.isVisible()


def test_an_export_can_be_stopped_and_what_is_made_stays(desk: BookDesk, monkeypatch):
    def slow(self: Casebook, *, options: ExportOptions, heard, **_: object):
        for number in range(1000):
            heard(ExportOutcome(1, "", failure="."), number, 1000)
            time.sleep(0.02)

    monkeypatch.setattr(Casebook, "export_due", slow)
    press(desk.window, "Ctrl+Alt+E")
    wait_for(lambda: desk.room.model.making is not None, "the export")
    stop = next(
        b
        for b in desk.window.bar.findChildren(QToolButton)
        if b.accessibleName() == "Stop: take-homes"
    )
    wait_for(stop.isVisible, "the way to stop it")
    press(desk.window, "Ctrl+.")
    desk.wait_for_bar("Take-homes: stopped.")
    assert desk.room.model.making is None and not stop.isVisible()


def test_the_window_asks_before_it_breaks_off_an_export(desk: BookDesk, monkeypatch):
    goes_on = threading.Event()
    monkeypatch.setattr(Casebook, "export_due", lambda self, **_: (goes_on.wait(30), ())[1])
    press(desk.window, "Ctrl+Alt+E")
    wait_for(lambda: desk.room.is_busy, "the export")
    desk.window.close()
    assert desk.window.isVisible()
    assert desk.window.bar.sentence == "The casebook is still at work."
    goes_on.set()
    wait_for(lambda: not desk.room.is_busy, "the export's end")


def test_a_stop_ends_the_workers_at_once_and_leaves_nothing_half_made(desk: BookDesk, monkeypatch):
    """A real export of a real clip, stopped while its worker is busy."""
    desk.change(
        lambda book: book.record_consent(
            "Pavel", ["private_feedback"], given_on=TODAY, how="e-mail"
        )
    )
    press(desk.window, "Ctrl+Alt+E")
    wait_for(lambda: multiprocessing.active_children(), "a worker")
    press(desk.window, "Ctrl+.")
    wait_for(lambda: desk.room.model.making is None, "the end of it", 10.0)
    assert multiprocessing.active_children() == []
    assert not list(desk.folder.rglob("*.part"))
    made = [clip for clip in desk.look(lambda book: book.clips()) if clip.state == "exported"]
    for clip in made:
        assert desk.look(lambda book, id_=clip.id: book.take_homes(id_))
