"""Undo goes all the way back and redo all the way forth."""

from __future__ import annotations

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule
from support import reviews as made

from cliptag.review import History, Review, edit

START = Review(clip=made.clip_ref())


class HistoryMachine(RuleBasedStateMachine):
    """The history against the plainest model: a list and a place in it."""

    def __init__(self) -> None:
        super().__init__()
        self.history = History(START)
        self.model = [START.client]
        self.place = 0

    @rule(client=st.text("abc", min_size=1, max_size=3))
    def push(self, client: str) -> None:
        if client == self.model[self.place]:
            return
        self.history.push(edit.with_fields(self.history.review, client=client), f"name {client}")
        self.model[self.place + 1 :] = [client]
        self.place += 1

    @rule()
    def undo(self) -> None:
        self.history.undo()
        self.place = max(0, self.place - 1)

    @rule()
    def redo(self) -> None:
        self.history.redo()
        self.place = min(len(self.model) - 1, self.place + 1)

    @invariant()
    def agrees(self) -> None:
        assert self.history.review.client == self.model[self.place]
        assert (self.history.undo_words is None) == (self.place == 0)
        assert (self.history.redo_words is None) == (self.place == len(self.model) - 1)


TestHistory = HistoryMachine.TestCase
TestHistory.settings = settings(max_examples=60, stateful_step_count=30, deadline=None)


def test_one_drag_is_one_step():
    history = History(START)
    history.push(edit.with_fields(START, client="before"), "write the name")
    for client in ("d", "dr", "dra", "drag"):
        history.push(edit.with_fields(history.review, client=client), "type", run="typing")
    assert history.undo_words == "type"
    assert history.undo().client == "before"
    assert history.redo().client == "drag"


def test_a_run_ends_when_it_is_told_to():
    history = History(START)
    history.push(edit.with_fields(START, client="a"), "drag", run="drag")
    history.end_run()
    history.push(edit.with_fields(START, client="b"), "drag", run="drag")
    assert history.undo().client == "a"
    assert history.undo().client == ""


def test_a_change_that_changes_nothing_is_no_step():
    history = History(START)
    history.push(edit.with_fields(START, client=""), "nothing")
    assert history.undo_words is None
