"""Take the guide's pictures of the casebook: python docs/take_casebook_pictures.py

On a screen without a monitor, as docs/take_pictures.py does. Clients and clips are invented.
"""

from __future__ import annotations

import datetime as dt
import sys
import tempfile
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parent / "tests"), str(HERE)]

from support.casebooks import clip_file, noon, say_something  # noqa: E402
from support.screen import Program, Screen, screen_of  # noqa: E402
from take_pictures import SIZE, leave, prefer, take  # noqa: E402

from cliptag.casebook import Casebook  # noqa: E402

TODAY = dt.date.today()
WEEKS = ["sitting"] * 3 + ["standing"] * 2 + ["bending"] * 3 + ["lifting"] * 2
# Name, contact, notes, the present week, and the weeks of which a clip came.
CLIENTS = (
    ("Ines", "ines@example.org", "Repairs violins at a workbench.", 7, (1, 2, 3, 4, 5, 6, 7)),
    ("Juno Baltz", "juno@example.org", "Cuts paper for a bookbinder.", 4, (1, 2, 3, 4)),
    ("Mira Teng", "mira@example.org", "", 2, (1, 2)),
    ("Oskar", "", "Tunes organs.", 5, (1, 2, 3, 4)),
    ("Ruth Amado", "ruth@example.org", "", 9, (1, 2, 3, 4, 5, 6, 8, 9)),
)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder, screen_of(Path(folder), SIZE) as screen:
        home = Path(folder)
        prefer(home, scheme="light")
        with Casebook.make(home / "xdg_data_home" / "cliptag" / "casebook") as book:
            fill(book, home)
        desk = screen.start()
        desk.fill_screen(desk.wait_for_title("^cliptag$"))
        desk.press("ctrl+shift+b")
        screen.still()
        take(screen, "casebook-day")
        find(screen, desk, "ines")
        take(screen, "casebook-client")
        desk.press("ctrl+t", "ctrl+alt+e")
        screen.still()
        take(screen, "casebook-refused")
        desk.press("shift+Tab", "shift+Tab", "Return")
        screen.still()
        take(screen, "casebook-consent")
        leave(desk)
        prefer(home, scheme="dark")
        desk = screen.start()
        desk.fill_screen(desk.wait_for_title("^cliptag$"))
        screen.still()
        find(screen, desk, "juno")
        desk.press("Tab", "Tab", "Tab", "Tab", "Tab", "Return")
        screen.still()
        take(screen, "casebook-erase")
        leave(desk)


def find(screen: Screen, desk: Program, name: str) -> None:
    """Open a client's page by the search."""
    desk.press("ctrl+f")
    desk.type(name)
    screen.still()
    desk.press("Return", "Return", "Escape")
    screen.still()


def fill(book: Casebook, home: Path) -> None:
    """Five clients, of whom one has not agreed to anything yet."""
    for number, (name, contact, notes, now, weeks) in enumerate(CLIENTS):
        book.add_client(name, contact=contact, notes=notes)
        monday = TODAY - dt.timedelta(days=TODAY.weekday() + 7 * (now - 1))
        book.plan(name, starts_on=monday, topics=WEEKS, title="Ten weeks at the bench")
        if name != "Mira Teng":
            book.record_consent(
                name, ["private_feedback"], given_on=monday, how="e-mail", message="Yes, please."
            )
        for week in weeks:
            clip = f"IMG_{412 + 40 * number + week:04}.mov"
            path = clip_file(home / "in", clip, f"{number} {week}", home)
            came = min(TODAY, monday + dt.timedelta(days=7 * (week - 1) + number))
            book.add(name, [path], received_at=noon(came))
    for name, _, _, _, _ in CLIENTS:
        for kept in book.clips(name)[:-1]:
            send(book, kept.id, home)
    book.withdraw_consent("Ines", ["public"], withdrawn_on=TODAY, how="message")
    ines, mira = book.clips("Ines")[-1], book.clips("Mira Teng")[-1]
    say_something(book, ines.id)
    book.set_state(ines.id, "in_work")
    say_something(book, mira.id)
    book.set_state(mira.id, "done")


def send(book: Casebook, clip_id: int, home: Path) -> None:
    """Put down that a take-home was sent that was made elsewhere."""
    folder = home / "sent" / str(clip_id)
    folder.mkdir(parents=True)
    (folder / "transcript.txt").write_text("Sit tall.")
    book.mark_sent(clip_id, folder=folder)


if __name__ == "__main__":
    main()
