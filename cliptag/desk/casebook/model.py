"""The casebook as the window sees it: what it shows, and what it asks to be done."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Final

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.casebook import (
    Casebook,
    Found,
    Problem,
    State,
    repair_casebook,
)
from cliptag.consent import CASEBOOK_FILE
from cliptag.desk.casebook import news
from cliptag.desk.casebook.clerk import Clerk
from cliptag.desk.casebook.importing import Brought, bring
from cliptag.desk.casebook.job import BookJob, Step
from cliptag.desk.casebook.looking import Standing, look
from cliptag.desk.casebook.making import make_all_due
from cliptag.errors import CasebookError
from cliptag.export import ExportOptions

CLIENTS: Final = "clients"


class BookModel(QObject):
    """Holds no rule of its own: everything is asked of the casebook, in other threads."""

    shown = pyqtSignal()
    """``now`` is another."""
    searched = pyqtSignal()
    """``found`` is another."""
    chosen = pyqtSignal()
    """Another client's page is asked for, or the day's."""
    told = pyqtSignal()
    """``news`` are others."""
    working = pyqtSignal()
    """Another job runs, or none."""
    said = pyqtSignal(str)
    warned = pyqtSignal(str)
    broken = pyqtSignal(str)
    """The casebook can't be opened; the sentence says why."""
    erasing = pyqtSignal(object)
    """The folder of a client who is to be erased at once: let go of what lies in it."""
    erased = pyqtSignal()

    def __init__(self, folder: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.folder = folder
        self.now: Standing | None = None
        self.found: Found | None = None
        self.query = ""
        self.news: tuple[news.News, ...] = ()
        self.can_mend = False
        """Whether repair can put some of the news right."""
        self.client: str | None = None
        """Whose page is open; None for the day."""
        self.making: BookJob | None = None
        """The export of all that is due."""
        self.job: BookJob | None = None
        """Any other job; those that are asked for meanwhile wait for its end."""
        self._is_erasing = False
        self._waiting: deque[tuple[BookJob, Callable[[Any], object]]] = deque()
        self._clerk: Clerk | None = None

    # -- open and closed ------------------------------------------------------------------------

    @property
    def exists(self) -> bool:
        """Whether there is a casebook, whole or damaged."""
        return (self.folder / CASEBOOK_FILE).is_file() or (self.folder / CLIENTS).is_dir()

    def begin(self) -> bool:
        """Begin a casebook in its folder; gives whether there is one now."""
        try:
            Casebook.make(self.folder).close()
        except CasebookError as error:
            self.warned.emit(str(error))
            return False
        self.open()
        return True

    def open(self) -> None:
        """Open the casebook, and look how everything stands."""
        self.look_again()

    def close(self) -> None:
        """Stop every job and let go of the casebook."""
        self._waiting.clear()
        for job in (self.making, self.job):
            if job is not None:
                job.close()
        self.making = self.job = None
        self._let_go()

    def _let_go(self) -> None:
        if self._clerk is not None:
            self._clerk.close()
            self._clerk.deleteLater()
        self._clerk = None

    def ask(
        self, work: Callable[[Casebook], Any], then: Callable[[Any], object], key: str = ""
    ) -> None:
        """Ask the casebook something, and be told; of one ``key`` only the newest."""
        self._clerk_at_work().ask(work, then, key)

    def _clerk_at_work(self) -> Clerk:
        if self._clerk is None:
            self._clerk = Clerk(self.folder, self)
            self._clerk.failed.connect(self.warned)
            self._clerk.broken.connect(self.broken)
            self._clerk.changed.connect(self.look_again)
        return self._clerk

    # -- looking --------------------------------------------------------------------------------

    def look_again(self) -> None:
        """See how everything stands now."""
        self.ask(partial(look, name=self.client), self._show, key="look")
        if self.query:
            self.search(self.query)

    def search(self, text: str) -> None:
        """Look for clients and clips; an empty text ends the search."""
        self.query = text.strip()
        if not self.query:
            self.found = None
            self.ask(lambda _: None, lambda _: None, key="search")
            self.searched.emit()
            return
        self.ask(lambda book: book.find(text), self._show_found, key="search")

    def choose(self, name: str | None) -> None:
        """Open a client's page, or (None) the day's."""
        if name != self.client:
            self.client = name
            self.chosen.emit()
        self.look_again()

    def clear_news(self) -> None:
        """The news are read."""
        self._tell(())

    def take_back_refusals(self, client: str) -> None:
        """A client's consent is another: what was refused without it is no news any more."""
        left = tuple(one for one in self.news if not (one.wants_consent and one.client == client))
        if left != self.news:
            self._tell(left, can_mend=self.can_mend)

    def _show(self, now: Standing) -> None:
        self.now = now
        if now.file is None and self.client is not None:
            self.client = None
            self.chosen.emit()
        elif now.file is not None and self.client is not None:
            self.client = now.file.record.client.name
        self.shown.emit()

    def _show_found(self, found: Found) -> None:
        self.found = found
        self.searched.emit()

    # -- small changes --------------------------------------------------------------------------

    def change(
        self,
        work: Callable[[Casebook], Any],
        then: Callable[[Any], object] | None = None,
    ) -> None:
        """Have something changed; what is shown follows."""

        def changed(answer: Any) -> None:
            if then is not None:
                then(answer)
            self.look_again()

        self.ask(work, changed)

    def set_state(self, clip_id: int, state: State, then: Callable[[], object]) -> None:
        """Say how far a review is."""
        self.change(lambda book: book.set_state(clip_id, state), lambda _: then())

    def take_up(self, clip_id: int) -> None:
        """Put a review in work that was new: it is on the stage."""

        def work(book: Casebook) -> None:
            if book.clip(clip_id).state == "new":
                book.set_state(clip_id, "in_work")

        self.change(work)

    # -- what takes long ------------------------------------------------------------------------

    def add_clips(self, client: str, paths: Sequence[Path], week: int | None = None) -> None:
        """Copy clips into the casebook, in the background."""
        work = partial(bring, self.folder, client, tuple(paths), week)
        self._start(BookJob("Adding clips", work, self), self._brought)

    def make_due(self, options: ExportOptions) -> None:
        """Make every take-home that is due, in the background."""
        if self.making is not None:
            return
        if self._is_erasing:
            self.warned.emit("A client is being erased: wait for the end of that first.")
            return
        job = BookJob("Take-homes", partial(make_all_due, self.folder, options), self)
        self.making = job
        job.done.connect(self._made)
        self._run(job)

    def hand_over(self, client: str, target: Path) -> None:
        """Write all that is kept of a client."""

        def work(step: Step) -> Path:
            step(0, 0)
            with Casebook.open(self.folder) as book:
                return book.export_data(client, target)

        self._start(
            BookJob("Writing the client's data", work, self, can_stop=False), self._handed_over
        )

    def erase(self, client: str) -> None:
        """Forget a client for good."""
        if self.making is not None:
            self.warned.emit("Take-homes are being made: stop that first, then erase the client.")
            return
        if self.job is not None:
            self.warned.emit(f"Wait for the end of this first: {self.job.words.lower()}.")
            return
        self._is_erasing = True
        file = self.now.file if self.now is not None else None
        if file is not None and file.record.client.name == client:
            self.erasing.emit(file.home)

        def work(step: Step) -> Any:
            step(0, 0)
            with Casebook.open(self.folder) as book:
                return book.erase(client)

        self._start(BookJob("Erasing", work, self, can_stop=False), partial(self._erased, client))

    def check(self) -> None:
        """See whether all is as it should be."""

        def work(step: Step) -> tuple[Problem, ...]:
            step(0, 0)
            with Casebook.open(self.folder) as book:
                return book.check()

        self._start(BookJob("Checking the casebook", work, self, can_stop=False), self._checked)

    def repair(self) -> None:
        """Put right what can be; also for a casebook that doesn't open any more."""
        self._let_go()  # the damaged file is moved away

        def work(step: Step) -> tuple[str, ...]:
            step(0, 0)
            return repair_casebook(self.folder)

        self._start(BookJob("Repairing the casebook", work, self, can_stop=False), self._repaired)

    def stop(self) -> None:
        """Stop the export of all that is due."""
        if self.making is not None:
            self.making.stop()
            self.working.emit()

    def _start(self, job: BookJob, then: Callable[[Any], object]) -> None:
        if self.job is not None:
            self._waiting.append((job, then))
            return
        self.job = job
        job.done.connect(then)
        self._run(job)

    def _run(self, job: BookJob) -> None:
        job.failed.connect(self.warned)
        job.stopped.connect(lambda: self.said.emit(f"{job.words}: stopped."))
        job.ended.connect(partial(self._ended, job))
        job.start()
        self.working.emit()

    def _ended(self, job: BookJob) -> None:
        job.close()
        job.deleteLater()
        if job is self.making:
            self.making = None
        elif job is self.job:
            self.job, self._is_erasing = None, False
            if self._waiting:
                self._start(*self._waiting.popleft())
        self.working.emit()
        if self.exists:
            self.look_again()

    def _tell(self, told: tuple[news.News, ...], *, can_mend: bool = False) -> None:
        self.news, self.can_mend = told, can_mend
        self.told.emit()

    def _brought(self, brought: Brought) -> None:
        self._tell(news.of_import(brought))
        self.said.emit(news.import_words(brought))

    def _made(self, made: news.Made) -> None:
        self._tell(news.of_export(made))
        self.said.emit(news.export_words(made))

    def _handed_over(self, path: Path) -> None:
        self._tell((news.News(f"All of the client's data is in {path.name}.", folder=path.parent),))

    def _erased(self, client: str, erased: Any) -> None:
        self.erased.emit()
        self._tell(news.of_erasure(client, erased))

    def _checked(self, problems: tuple[Problem, ...]) -> None:
        self._tell(news.of_check(problems), can_mend=any(problem.can_mend for problem in problems))

    def _repaired(self, done: tuple[str, ...]) -> None:
        sentences = done or ("Nothing had to be repaired.",)
        self._tell(tuple(news.News(sentence) for sentence in sentences))
