"""The casebook's place in the window: what commands and clicks in it lead to."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject, QPoint, QUrl, pyqtSignal
from PyQt6.QtGui import QDesktopServices
from PyQt6.QtWidgets import QFileDialog, QWidget

from cliptag.casebook import Casebook, ReceivedClip, default_folder
from cliptag.desk.casebook.model import BookModel
from cliptag.desk.casebook.progress import JobProgress
from cliptag.desk.casebook.view import CasebookView
from cliptag.desk.export_job import export_options
from cliptag.desk.shell import CLIP_KINDS

if TYPE_CHECKING:
    from cliptag.desk.window import DeskWindow


class CasebookRoom(QObject):
    """Made when the casebook is first asked for; the deeds behind its buttons and keys."""

    changed = pyqtSignal()
    """What can be done is another."""

    def __init__(self, window: DeskWindow) -> None:
        super().__init__(window)
        self._window = window
        self.model = BookModel(default_folder(), self)
        self.view = CasebookView(self.model, self, window.show_stage)
        self.on_stage: ReceivedClip | None = None
        """The clip of the casebook that is on the stage."""
        for of_export in (True, False):
            window.bar.add_corner(JobProgress(self.model, of_export=of_export))
        model, bar = self.model, window.bar
        model.said.connect(bar.say)
        model.warned.connect(bar.warn)
        model.erasing.connect(self._let_go_of)
        model.erased.connect(window.remembered.read_again)
        model.shown.connect(self.changed)
        model.chosen.connect(self.changed)
        model.working.connect(self.changed)
        window.state.opened.connect(self._look_whose)
        self._look_whose()

    # -- in the window --------------------------------------------------------------------------

    @property
    def is_busy(self) -> bool:
        """Whether something is under way that leaving would break off."""
        return self.model.making is not None or self.model.job is not None

    @property
    def parts(self) -> tuple[QWidget, ...]:
        """What the keyboard goes to, one after the other."""
        return self.view.search, self.view.clients, self.view.pages

    def bring(self) -> None:
        """Show how everything stands now."""
        clip = self._window.state.clip
        name = clip.path.name if clip else "the comparison" if self._window.pairing.is_on else ""
        self.view.show_way_back(f"\u2190 Back to {name}" if name else "")
        if self.model.exists:
            self.model.open()
        self.view.bring()

    def step_back(self) -> bool:
        """One thing less; gives whether there was one."""
        return self.view.step_back()

    def take_files(self, files: Sequence[Path], place: QPoint) -> None:
        """Files were dropped at a place of the window."""
        self.view.take_files(files, self.view.mapFrom(self._window, place))

    def hold_files(self, place: QPoint | None) -> None:
        """Files are held over a place of the window, or none any more."""
        self.view.hold_files(None if place is None else self.view.mapFrom(self._window, place))

    def close(self) -> None:
        """Stop what is under way, and close the casebook."""
        self.model.close()

    def offer_consent(self, sentence: str, clip_path: Path) -> None:
        """An export was refused: say why, and lead to where a consent is recorded."""
        bar = self._window.bar

        def told(kept: ReceivedClip | None) -> None:
            if kept is None:
                bar.warn(sentence)
            else:
                ask = partial(self.ask_consent, kept.client, kept.id)
                bar.offer(sentence, "Record consent", ask)

        if self.model.exists:
            self.model.ask(lambda book: book.clip_of_file(clip_path), told)
        else:
            bar.warn(sentence)

    # -- commands -------------------------------------------------------------------------------

    def find(self) -> None:
        """Look for a client or clip."""
        self._window.show_casebook()
        self.view.start_search()

    def show_day(self) -> None:
        """Show what today asks."""
        self._window.show_casebook()
        self.model.choose(None)
        self.view.focus_first()

    def add_client(self) -> None:
        """Open the form of a new client."""
        self._window.show_casebook()
        if self.model.exists:
            self.view.add_client()

    def choose_clips_here(self) -> None:
        """Ask for clips of the client whose page is open."""
        if self.model.client is not None:
            self.choose_clips(self.model.client)

    def ask_consent_here(self) -> None:
        """Record a consent of the client whose page is open, or whose clip is on the stage."""
        client = self._client_here()
        if client is not None:
            self.ask_consent(client)

    def finish_here(self) -> None:
        """Say that the review on the stage is done, and go back to the casebook."""
        if self.on_stage is not None:
            self.finish(self.on_stage)

    def can_choose_clips(self) -> bool:
        return self._window.is_elsewhere and self.model.client is not None

    def can_ask_consent(self) -> bool:
        return self._client_here() is not None

    def can_finish(self) -> bool:
        return not self._window.is_elsewhere and self.on_stage is not None

    def can_make_all_due(self) -> bool:
        now = self.model.now
        return self.model.making is None and now is not None and bool(now.day.to_export)

    # -- deeds ----------------------------------------------------------------------------------

    def review(self, kept: ReceivedClip) -> None:
        def open_it(path: Path) -> None:
            if self._window.open_path(path):
                self.model.take_up(kept.id)
                self._window.state.say(
                    f"{kept.client}: {kept.original_name}. When all is said, press Ctrl+Shift+F."
                )

        self.model.ask(lambda book: book.review_path(book.clip(kept.id)), open_it)

    def finish(self, kept: ReceivedClip) -> None:
        if not self._window.keeper.flush():
            return
        self.model.set_state(kept.id, "done", lambda: self._finished(kept))

    def take_up_again(self, kept: ReceivedClip) -> None:
        self.model.set_state(kept.id, "in_work", lambda: None)

    def mark_sent(self, kept: ReceivedClip) -> None:
        self.model.change(
            lambda book: book.mark_sent(kept.id),
            lambda _: self.model.said.emit(
                f"It is put down that {kept.client} was sent the take-home of {kept.original_name}."
            ),
        )

    def show_take_home(self, kept: ReceivedClip) -> None:
        def work(book: Casebook) -> Path | None:
            made = book.take_homes(kept.id)
            home = book.client_folder(book.client(kept.client))
            return home / made[-1].folder if made else None

        def show(folder: Path | None) -> None:
            if folder is not None:
                self.show_file(folder)

        self.model.ask(work, show)

    def show_client(self, name: str) -> None:
        self._window.show_casebook()
        self.model.choose(name)
        self.view.focus_first()

    def ask_consent(self, client: str, clip_id: int | None = None) -> None:
        self.show_client(client)
        self.view.client_page.ask_consent(clip_id)

    def choose_clips(self, client: str, week: int | None = None) -> None:
        title = f"Clips and photos of {client}" + (f", week {week}" if week else "")
        names, _ = QFileDialog.getOpenFileNames(self._window, title, "", CLIP_KINDS)
        if names:
            self.model.add_clips(client, [Path(name) for name in names], week)

    def make_all_due(self) -> None:
        if self.can_make_all_due():
            self.model.make_due(export_options(self._window.preferences.now))

    def compare(self, first: ReceivedClip, newest: ReceivedClip) -> None:
        def set_beside(paths: tuple[Path, Path]) -> None:
            self._window.pairing.compare(*paths)

        self.model.ask(lambda book: (book.review_path(first), book.review_path(newest)), set_beside)

    def show_file(self, path: Path) -> None:
        QDesktopServices.openUrl(QUrl.fromLocalFile(str(path)))

    # -- listening ------------------------------------------------------------------------------

    def _finished(self, kept: ReceivedClip) -> None:
        self.model.said.emit(
            f"The review of {kept.original_name} is done; its take-home is to be made."
        )
        if not self._window.is_elsewhere:
            self._window.show_casebook()

    def _client_here(self) -> str | None:
        if self._window.is_elsewhere:
            return self.model.client
        return self.on_stage.client if self.on_stage is not None else None

    def _look_whose(self) -> None:
        self.on_stage = None
        clip = self._window.state.clip
        if clip is not None and self.model.exists:
            path = clip.path
            self.model.ask(lambda book: book.clip_of_file(path), self._known)
        self.changed.emit()

    def _known(self, kept: ReceivedClip | None) -> None:
        clip = self._window.state.clip
        is_still_there = clip is not None and kept is not None and clip.path.name in kept.path
        self.on_stage = kept if is_still_there else None
        self.changed.emit()

    def _let_go_of(self, folder: Path) -> None:
        """A client is to be erased: nothing of hers may stay on the desk, or be saved again."""
        clip = self._window.state.clip
        if clip is not None and clip.path.absolute().is_relative_to(folder):
            self._window.clear()
            self.view.show_way_back("")
