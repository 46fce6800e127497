"""Whatever is done in whatever order, the casebook agrees with a plain model of it."""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
from pathlib import Path

import hypothesis.strategies as st
from hypothesis import HealthCheck, settings
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule
from support.casebooks import clip_file, say_something

from cliptag.casebook import Casebook, repair_casebook
from cliptag.consent import PURPOSES
from cliptag.errors import CasebookError

NAMES = ("Ada", "Bo", "Çiğdem")
FILES = ("a.mp4", "b.mp4", "c.mp4")
TODAY = dt.date.today()


class CasebookMachine(RuleBasedStateMachine):
    """The model: names, clips as {file: (owner, state)}, and the newest word of each purpose."""

    def __init__(self) -> None:
        super().__init__()
        self.top = Path(tempfile.mkdtemp())
        self.book = Casebook.make(self.top / "book")
        self.names: set[str] = set()
        self.clips: dict[str, tuple[str, str]] = {}
        self.agreed: dict[tuple[str, str], bool] = {}
        self.erased = 0

    def teardown(self) -> None:
        self.book.close()
        shutil.rmtree(self.top)

    def number_of(self, file: str) -> int:
        (clip,) = [clip for clip in self.book.clips() if clip.original_name == file]
        return clip.id

    @rule(name=st.sampled_from(NAMES))
    def add_client(self, name: str) -> None:
        if name in self.names:
            try:
                self.book.add_client(name)
            except CasebookError:
                return
            raise AssertionError("a second client of one name")
        self.book.add_client(name)
        self.names.add(name)

    @precondition(lambda self: self.names)
    @rule(data=st.data(), file=st.sampled_from(FILES))
    def add_clip(self, data: st.DataObject, file: str) -> None:
        name = data.draw(st.sampled_from(sorted(self.names)))
        (told,) = self.book.add(name, [clip_file(self.top / "phone", file, "", self.top)])
        assert told.is_new == (file not in self.clips)
        self.clips.setdefault(file, (name, "new"))

    @precondition(lambda self: self.clips)
    @rule(data=st.data(), state=st.sampled_from(["new", "in_work", "done"]))
    def say_how_far(self, data: st.DataObject, state: str) -> None:
        file = data.draw(st.sampled_from(sorted(self.clips)))
        self.book.set_state(self.number_of(file), state)
        self.clips[file] = (self.clips[file][0], state)

    @precondition(lambda self: self.clips)
    @rule(data=st.data())
    def work(self, data: st.DataObject) -> None:
        file = data.draw(st.sampled_from(sorted(self.clips)))
        say_something(self.book, self.number_of(file))
        self.book.refresh()
        self.clips[file] = (self.clips[file][0], "in_work")

    @precondition(lambda self: self.names)
    @rule(data=st.data(), purpose=st.sampled_from(PURPOSES), is_given=st.booleans())
    def say_consent(self, data: st.DataObject, purpose: str, is_given: bool) -> None:
        name = data.draw(st.sampled_from(sorted(self.names)))
        if is_given:
            self.book.record_consent(name, [purpose], given_on=TODAY, how="e-mail", message="Yes")
        else:
            self.book.withdraw_consent(name, [purpose], withdrawn_on=TODAY, how="e-mail")
        self.agreed[name, purpose] = is_given

    @precondition(lambda self: self.names)
    @rule(data=st.data())
    def erase(self, data: st.DataObject) -> None:
        name = data.draw(st.sampled_from(sorted(self.names)))
        self.book.erase(name)
        self.erased += 1
        self.names.discard(name)
        self.clips = {file: kept for file, kept in self.clips.items() if kept[0] != name}
        self.agreed = {key: said for key, said in self.agreed.items() if key[0] != name}

    @rule(is_lost=st.booleans())
    def start_again(self, is_lost: bool) -> None:
        self.book.close()
        if is_lost and self.names:
            self.book.folder.joinpath("casebook.db").unlink()
            repair_casebook(self.book.folder)
        self.book = Casebook.open(self.book.folder)

    @invariant()
    def it_agrees_with_the_model(self) -> None:
        assert {client.name for client in self.book.clients()} == self.names
        found = {clip.original_name: (clip.client, clip.state) for clip in self.book.clips()}
        assert found == self.clips
        for clip in self.book.clips():
            own = self.agreed.get((clip.client, "private_feedback"), False)
            assert (self.book.why_not_allowed(clip.id, "private_feedback") is None) == own
        assert len(self.book.tombstones()) == self.erased
        assert self.book.check() == ()


CasebookMachine.TestCase.settings = settings(
    max_examples=8,
    stateful_step_count=15,
    deadline=None,
    suppress_health_check=list(HealthCheck),
)
TestCasebookMachine = CasebookMachine.TestCase
