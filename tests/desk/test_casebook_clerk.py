"""The thread that has the casebook open, and jobs: never in the window's way, always ended."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest
from PyQt6.QtTest import QTest
from support.desk_book import wait_for

from cliptag.casebook import Casebook
from cliptag.desk.casebook.clerk import Clerk
from cliptag.desk.casebook.job import BookJob
from cliptag.desk.casebook.model import BookModel
from cliptag.errors import CasebookError


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with Casebook.make(tmp_path / "book") as book:
        book.add_client("Ines")
    return tmp_path / "book"


@pytest.fixture
def clerk(qtbot, folder: Path):
    made = Clerk(folder)
    yield made
    made.close()


def test_answers_come_in_the_windows_thread_and_in_order(clerk: Clerk):
    heard: list[tuple[int, threading.Thread]] = []
    for number in range(5):
        clerk.ask(
            lambda _, number=number: number,
            lambda answer: heard.append((answer, threading.current_thread())),
        )
    wait_for(lambda: len(heard) == 5, "the answers")
    assert heard == [(number, threading.main_thread()) for number in range(5)]


def test_the_window_goes_on_while_the_casebook_takes_its_time(clerk: Clerk):
    goes_on, heard = threading.Event(), []
    clerk.ask(lambda _: goes_on.wait(20), heard.append)
    started = time.perf_counter()
    QTest.qWait(50)
    assert not heard and time.perf_counter() - started < 10, "the window waited"
    goes_on.set()
    wait_for(lambda: heard, "the answer")


def test_of_questions_of_one_kind_only_the_newest_is_answered(clerk: Clerk):
    goes_on, asked, heard = threading.Event(), [], []
    clerk.ask(lambda _: goes_on.wait(20), lambda _: None)

    def look(number: int):
        return lambda _: (asked.append(number), number)[1]

    for number in range(20):
        clerk.ask(look(number), heard.append, key="search")
    goes_on.set()
    wait_for(lambda: heard, "the answer")
    QTest.qWait(50)
    assert heard == [19] == asked, "what nobody waits for any more is not even asked"


def test_a_failure_is_a_sentence_and_the_next_question_is_answered(clerk: Clerk):
    sentences, heard = [], []
    clerk.failed.connect(sentences.append)
    clerk.ask(lambda book: book.client("Nobody"), heard.append)
    clerk.ask(lambda book: book.client("Ines").name, heard.append)
    wait_for(lambda: heard, "the answer")
    assert heard == ["Ines"]
    assert len(sentences) == 1 and sentences[0].startswith("There is no client called Nobody")


def test_a_casebook_that_is_not_there_says_so(qtbot, tmp_path: Path):
    clerk, sentences = Clerk(tmp_path / "nowhere"), []
    clerk.broken.connect(sentences.append)
    clerk.ask(lambda book: book.clients(), lambda _: pytest.fail("answered"))
    wait_for(lambda: sentences, "the sentence")
    assert "There is no casebook" in sentences[0]
    clerk.close()


def test_nothing_is_answered_after_the_end(qtbot, folder: Path):
    clerk, heard = Clerk(folder), []
    clerk.ask(lambda book: book.add_client("Pavel"), heard.append)
    clerk.close()
    QTest.qWait(20)
    assert heard == []
    with Casebook.open(folder) as book:
        assert [one.name for one in book.clients()] == ["Ines", "Pavel"], "what was asked is done"


def test_jobs_wait_for_each_other_and_each_is_told(qtbot, folder: Path):
    model, goes_on, done = BookModel(folder), threading.Event(), []
    model._start(BookJob("One", lambda _: goes_on.wait(20), model), lambda _: done.append(1))
    model._start(BookJob("Two", lambda _: 2, model), done.append)
    QTest.qWait(30)
    assert done == [] and model.job is not None and model.job.words == "One"
    goes_on.set()
    wait_for(lambda: done == [1, 2] and model.job is None, "both")
    model.close()


def test_a_job_that_fails_or_is_stopped_says_so_and_the_next_goes_on(qtbot, folder: Path):
    model, warned, said, done = BookModel(folder), [], [], []
    model.warned.connect(warned.append)
    model.said.connect(said.append)

    def fail(_: object) -> None:
        raise CasebookError("The disk is full.")

    def work(step) -> None:
        while True:
            step(0, 2)
            time.sleep(0.01)

    model._start(BookJob("One", fail, model), done.append)
    model._start(BookJob("Two", work, model), done.append)
    model._start(BookJob("Three", lambda _: 3, model), done.append)
    wait_for(lambda: model.job is not None and model.job.words == "Two", "the second job")
    model.job.stop()
    wait_for(lambda: done, "the third")
    assert (warned, said, done) == (["The disk is full."], ["Two: stopped."], [3])
    model.close()


def test_closing_ends_what_runs(qtbot, folder: Path):
    model = BookModel(folder)
    began = threading.Event()

    def work(step) -> None:
        began.set()
        while True:
            step(0, 1)
            time.sleep(0.01)

    model._start(BookJob("One", work, model), lambda _: None)
    assert began.wait(20)
    model.close()
    names = [thread.name for thread in threading.enumerate()]
    assert not [name for name in names if name.startswith("casebook")]
