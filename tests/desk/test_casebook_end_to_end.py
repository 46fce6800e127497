"""A coach's day in the casebook, on a screen of its own, by keys and mouse alone.

What came of it is read from the casebook's own files.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from support.media import make_clip
from support.screen import Program, Screen, screen_of, until

from cliptag.casebook import Casebook
from cliptag.errors import CliptagError
from cliptag.review import load_review

NAMES = ("IMG_0412.mp4", "IMG_0413.mp4", "IMG_0501.mp4")
SAID = "Your feet stand well in front of your knees."
WROTE = "Yes, you may send it back to me."


class Day:
    """The screen, and the casebook that is worked in on it."""

    def __init__(self, screen: Screen, home: Path) -> None:
        self.screen, self.home = screen, home
        self.book = home / "xdg_data_home" / "cliptag" / "casebook"
        self.clips = [home.parent / "in" / name for name in NAMES]

    def ask(self, question: Callable[[Casebook], object]) -> object:
        """What the casebook says; None while there is none."""
        try:
            with Casebook.open(self.book) as book:
                return question(book)
        except CliptagError:
            return None

    def until(self, question: Callable[[Casebook], object], what: str, limit_s: float = 60.0):
        return until(lambda: self.ask(question), what, limit_s)

    def states(self) -> list[str]:
        return self.ask(lambda book: [clip.state for clip in book.clips()])


@pytest.fixture
def day(tmp_path: Path):
    (tmp_path / "in").mkdir()
    for number, name in enumerate(NAMES):
        make_clip(tmp_path / "in" / name, seconds=1.0 + 0.2 * number)
    with screen_of(tmp_path / "home", (1280, 800)) as screen:
        yield Day(screen, tmp_path / "home")


def test_a_coachs_day_is_run_from_the_casebook(day: Day):
    desk = day.screen.start()
    try:
        desk.fill_screen(desk.wait_for_title("^cliptag$"))
        begin(desk, day)
        add_clips(desk, day, "Ines", day.clips[:2])
        add_clips(desk, day, "Pavel Anders", day.clips[2:])
        see_who_waits(desk, day)
        review_one(desk, day)
        get_refused(desk, day)
        record_consent(desk, day)
        export_all_due(desk, day)
        erase(desk, day, "Pavel Anders")
        desk.press("ctrl+q")
        assert desk.end() == 0
        assert "Traceback" not in day.screen.terminal()
    finally:
        if desk.is_running:
            print("The screen at the end:", day.screen.keep(day.home / "screen.png"))
            desk.kill()


def begin(desk: Program, day: Day) -> None:
    desk.press("ctrl+shift+b")
    day.screen.still()
    assert not day.book.exists(), "nothing is made before the coach says so"
    desk.press("Return")
    day.until(lambda book: book.folder, "a casebook")


def add_clips(desk: Program, day: Day, name: str, clips: list[Path]) -> None:
    desk.press("ctrl+shift+a")
    desk.type(name)
    desk.press("Tab", "Tab", "Tab", "Tab", "Return")
    day.until(lambda book: name in [one.name for one in book.clients()], f"the client {name}")
    for number, clip in enumerate(clips, 1):
        day.screen.still()
        desk.press("ctrl+shift+i")
        desk.wait_for_title("Clips and photos of")
        day.screen.still()
        desk.type(str(clip))
        desk.press("Return")
        day.until(lambda book: len(book.clips(name)) == number, clip.name)  # noqa: B023
        # Without a window manager nobody gives the keyboard back to the window.
        day.screen.xdotool("windowfocus", "--sync", desk.wait_for_title("^cliptag$"))


def see_who_waits(desk: Program, day: Day) -> None:
    before = day.screen.still()
    desk.press("ctrl+t")
    until(lambda: (day.screen.pixels() != before).any(), "the day on the screen")
    day.screen.still()
    waiting = day.ask(lambda book: book.day().to_review)
    assert [clip.client for clip in waiting] == ["Ines", "Ines", "Pavel Anders"]


def review_one(desk: Program, day: Day) -> None:
    desk.press("Return")
    desk.wait_for_title(NAMES[0])
    until(lambda: day.states() == ["in_work", "new", "new"], "a review that is in work")
    desk.press("n")
    desk.type(SAID)
    desk.press("Escape")
    path = day.ask(lambda book: book.review_path(book.clip(1)))
    until(lambda: SAID in [note.text for note in load_review(path).notes], "the note in the file")
    desk.press("ctrl+shift+f")
    until(lambda: day.states() == ["done", "new", "new"], "a review that is done")


def get_refused(desk: Program, day: Day) -> None:
    before = day.screen.still()
    desk.press("ctrl+alt+e")
    until(lambda: (day.screen.pixels() != before).mean() > 0.004, "the refusal on the screen")
    day.screen.still()
    assert day.states() == ["done", "new", "new"]
    assert day.ask(lambda book: book.take_homes(1)) == ()


def record_consent(desk: Program, day: Day) -> None:
    desk.press("shift+Tab", "shift+Tab", "shift+Tab")  # from the first row to the refusal above it
    desk.press("Return")
    day.screen.still()
    desk.press("Tab", "Tab", "Tab")
    desk.type("e-mail")
    desk.press(*["Tab"] * 6)  # over day, month and year
    desk.type(WROTE)
    desk.press("Tab", "Tab", "Return")
    (word,) = day.until(lambda book: book.record("Ines").consent, "the consent")
    assert (word.covers, word.how) == (("private_feedback",), "e-mail")
    assert (day.book / "clients" / "Ines" / word.message).read_text("utf-8") == WROTE


def export_all_due(desk: Program, day: Day) -> None:
    desk.press("ctrl+t")
    day.screen.still()
    desk.press("ctrl+alt+e")
    until(lambda: day.states() == ["exported", "new", "new"], "the take-home", 180.0)
    (made,) = day.ask(lambda book: book.take_homes(1))
    folder = day.book / "clients" / "Ines" / made.folder
    assert (folder / "commentary.mp4").stat().st_size > 1000
    assert SAID.split()[0] in (folder / "transcript.txt").read_text("utf-8")


def erase(desk: Program, day: Day, name: str) -> None:
    day.screen.still()
    desk.click_where_key_leads("ctrl+f")
    desk.type(name.split()[0].lower())
    day.screen.still()
    desk.press("Return", "Return")
    day.screen.still()
    desk.press("Tab", "Tab", "Tab", "Tab", "Tab", "Return")
    desk.type(name)
    desk.press("Tab", "Return")
    day.until(lambda book: [one.name for one in book.clients()] == ["Ines"], "the erasure")
    day.until(lambda book: len(book.tombstones()) == 1, "the end of the erasure")
    left = [path for path in day.home.rglob("*") if path.is_file() and holds(path, name)]
    assert left == []


def holds(path: Path, name: str) -> bool:
    return name in path.name or name.encode() in path.read_bytes()
