"""A desk with a casebook of its own, asked and waited for as a person would."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QLabel, QPushButton, QWidget
from support.casebooks import clip_file, noon
from support.desk import opened_desk

from cliptag.casebook import FOLDER_VARIABLE, Casebook
from cliptag.desk.casebook import CasebookRoom
from cliptag.desk.window import DeskWindow

TOPICS = ["sitting"] * 3 + ["standing"] * 2 + ["bending"] * 3 + ["lifting"] * 2
TODAY = dt.date.today()


def wait_for(ask: Callable[[], object], what: str, timeout_s: float = 30.0) -> None:
    """Let the window work until ``ask`` gives something true."""
    for _ in range(round(timeout_s / 0.02)):
        if ask():
            return
        QTest.qWait(20)
    pytest.fail(f"waited {timeout_s:.0f} s in vain for {what}")


class BookDesk:
    """A desk that shows the casebook in a folder."""

    def __init__(self, window: DeskWindow, folder: Path) -> None:
        self.window, self.folder = window, folder

    @property
    def room(self) -> CasebookRoom:
        return self.window.casebook

    def show(self) -> None:
        """Open the casebook and wait until it tells how everything stands."""
        self.window.show_casebook()
        wait_for(lambda: self.room.model.now is not None, "the casebook")

    def show_client(self, name: str) -> None:
        """Open a client's page."""
        self.room.show_client(name)

        def is_there() -> bool:
            now = self.room.model.now
            return now is not None and now.file is not None and now.file.record.client.name == name

        wait_for(is_there, f"the page of {name}")

    def button(self, name: str, part: QWidget | None = None) -> QPushButton:
        """A button that can be seen, by how its name begins; waits for it."""
        wait_for(lambda: self.buttons(name, part), f"a button called {name}")
        return self.buttons(name, part)[0]

    def buttons(self, name: str, part: QWidget | None = None) -> list[QPushButton]:
        seen = (part or self.room.view).findChildren(QPushButton)
        return [b for b in seen if b.isVisible() and b.accessibleName().startswith(name)]

    def texts(self, part: QWidget | None = None) -> str:
        """All words that can be seen."""
        labels = (part or self.room.view).findChildren(QLabel)
        return "\n".join(label.text() for label in labels if label.isVisible())

    def wait_for_words(self, words: str, part: QWidget | None = None) -> None:
        wait_for(lambda: words in self.texts(part), f"the words '{words}'")

    def wait_for_bar(self, words: str) -> None:
        wait_for(lambda: words in self.window.bar.sentence, f"'{words}' in the bar")

    def change(self, work: Callable[[Casebook], object]) -> None:
        """Change the casebook as another program would."""
        with Casebook.open(self.folder) as book:
            work(book)

    def look(self, ask: Callable[[Casebook], object]) -> object:
        """Ask the casebook as another program would."""
        with Casebook.open(self.folder) as book:
            return ask(book)


@contextmanager
def book_desk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fill: Callable[[Casebook], object] | None
) -> Iterator[BookDesk]:
    """A desk whose casebook lies in ``tmp_path``; ``fill`` begins it (None: there is none)."""
    folder = tmp_path / "book"
    monkeypatch.setenv(FOLDER_VARIABLE, str(folder))
    if fill is not None:
        with Casebook.make(folder) as book:
            fill(book)
    with opened_desk() as window:
        yield BookDesk(window, folder)


def ines_and_pavel(tmp_path: Path) -> Callable[[Casebook], None]:
    """Ines, in her fourth week with two clips and consent; Pavel, with one clip and none."""

    def fill(book: Casebook) -> None:
        monday = TODAY - dt.timedelta(days=TODAY.weekday() + 21)
        book.add_client("Ines", contact="ines@example.org", notes="repairs violins")
        book.plan("Ines", starts_on=monday, topics=TOPICS)
        book.record_consent(
            "Ines", ["private_feedback"], given_on=monday, how="e-mail", message="Yes, please."
        )
        book.add_client("Pavel")
        for name, mark, days in (("Ines", "one", 7), ("Ines", "two", 0), ("Pavel", "three", 1)):
            clip = clip_file(tmp_path / "in", f"IMG_{mark}.mp4", mark, tmp_path)
            book.add(name, [clip], received_at=noon(TODAY - dt.timedelta(days=days)))

    return fill
