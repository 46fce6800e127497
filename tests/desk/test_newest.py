"""The thread that fulfils only the newest wish."""

from __future__ import annotations

import threading
import time

import pytest

from cliptag.desk.newest import NewestWish


class Kitchen:
    """Fulfils wishes only when it is told to go on."""

    def __init__(self) -> None:
        self.done: list[int] = []
        self.began = threading.Semaphore(0)
        self.may_end = threading.Semaphore(0)
        self.ended = threading.Semaphore(0)
        self.worker = NewestWish[int]("kitchen", self._fulfil)

    def _fulfil(self, wish: int) -> None:
        self.began.release()
        assert self.may_end.acquire(timeout=5)
        self.done.append(wish)
        self.ended.release()


@pytest.fixture
def kitchen():
    kitchen = Kitchen()
    yield kitchen
    for _ in range(9):
        kitchen.may_end.release()
    kitchen.worker.close()


def test_of_several_waiting_wishes_only_the_newest_is_fulfilled(kitchen):
    kitchen.worker.ask(1)
    assert kitchen.began.acquire(timeout=5)
    for wish in (2, 3, 4):
        kitchen.worker.ask(wish)
    assert kitchen.worker.is_waiting
    kitchen.may_end.release()
    kitchen.may_end.release()
    assert kitchen.ended.acquire(timeout=5) and kitchen.ended.acquire(timeout=5)
    assert kitchen.done == [1, 4]


def test_closing_waits_for_the_present_wish_and_forgets_the_next(kitchen):
    kitchen.worker.ask(1)
    assert kitchen.began.acquire(timeout=5)
    kitchen.worker.ask(2)
    kitchen.may_end.release()
    kitchen.worker.close()
    assert kitchen.done in ([1], [1, 2])  # the second may have begun just before
    assert not kitchen.worker._thread.is_alive()


def test_a_bug_is_told_and_the_next_wish_fulfilled(monkeypatch):
    told: list[threading.ExceptHookArgs] = []
    monkeypatch.setattr(threading, "excepthook", told.append)
    done = threading.Event()

    def fulfil(wish: int) -> None:
        if wish == 1:
            raise ZeroDivisionError("a bug")
        done.set()

    worker = NewestWish[int]("buggy", fulfil)
    worker.ask(1)
    while worker.is_busy:
        time.sleep(0.005)
    worker.ask(2)
    assert done.wait(5)
    worker.close()
    assert [(str(bug.exc_value), bug.thread.name) for bug in told] == [("a bug", "buggy")]


def test_the_last_thing_is_done_in_the_thread():
    names = []
    worker = NewestWish[int](
        "ending", lambda wish: None, lambda: names.append(threading.current_thread().name)
    )
    worker.close()
    assert names == ["ending"]
