"""How fast a full casebook is listed and searched: 500 clients with 20 clips each.

    python tests/bench/bench_casebook.py [--clients N]

The peer in the same run is the bare SQLite query for the same rows, without structs.
"""

from __future__ import annotations

import argparse
import datetime as dt
import sqlite3
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from cliptag.casebook import Casebook, Client, PlanWeek, Programme, ReceivedClip
from cliptag.casebook.rows import put_client, put_clip, put_programme

CLIPS = 20
MONDAY = dt.date(2026, 3, 2)
TOPICS = ("sitting", "standing", "bending", "lifting")
TRIES = 7


def fill(book: Casebook, clients: int) -> None:
    """All rows in one change; the files are not needed for listing."""
    store = book._store
    with store.db.writing():
        for number in range(clients):
            name = f"Client {number:03d} Übermuth"
            person = Client(
                id=0, name=name, folder=name, contact=f"{number}@example.org", created_on=MONDAY
            )
            client_id = put_client(store, person)
            weeks = tuple(PlanWeek(week=w, topic=TOPICS[w % 4]) for w in range(1, 11))
            programme = Programme(
                id=0, client_id=client_id, number=1, name="Ten", starts_on=MONDAY, weeks=weeks
            )
            programme_id = put_programme(store, client_id, programme)
            for at in range(CLIPS):
                week = at // 2 + 1
                kept = ReceivedClip(
                    id=0,
                    client_id=client_id,
                    client=name,
                    folder=name,
                    week=week,
                    topic=TOPICS[week % 4],
                    path=f"week-{week:02d}/IMG_{number:03d}{at:02d}.mp4",
                    review=f"week-{week:02d}/IMG_{number:03d}{at:02d}.review.json",
                    state="sent" if at < CLIPS - 1 else "new",
                    due_on=MONDAY + dt.timedelta(days=7 * week),
                    received_at=dt.datetime.combine(MONDAY, dt.time(12), dt.UTC),
                    original_name=f"IMG_{number:03d}{at:02d}.mp4",
                    came_from="/phone",
                    size_bytes=50_000_000,
                    digest=f"{number:016d}{at:016d}",
                    checksum="",
                    duration_us=20_000_000,
                    tells_place=False,
                    tells_device=False,
                )
                put_clip(store, client_id, programme_id, kept, "", "")


def best_ms(act: Callable[[], object]) -> float:
    times = []
    for _ in range(TRIES):
        started = time.perf_counter()
        act()
        times.append(time.perf_counter() - started)
    return min(times) * 1000


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--clients", type=int, default=500)
    count = parser.parse_args().clients
    with tempfile.TemporaryDirectory() as folder, Casebook.make(Path(folder) / "book") as book:
        fill(book, count)
        day = MONDAY + dt.timedelta(days=72)
        name = f"Client {count // 2:03d} Übermuth"
        with closing(sqlite3.connect(book.folder / "casebook.db")) as bare:
            sql = "SELECT c.*, k.name FROM clips c JOIN clients k ON k.id = c.client_id"
            acts: dict[str, Callable[[], object]] = {
                "list all clients": book.clients,
                "how many clips each sent": book.tallies,
                "list one client's clips": lambda: book.clips(name),
                "list all clips": book.clips,
                "   the same rows, bare SQLite": lambda: bare.execute(sql).fetchall(),
                "search: a client's name": lambda: book.find("client 123 ubermuth"),
                "search: a file's name": lambda: book.find(f"img_{count // 2:03d}07"),
                "search: every clip found": lambda: book.find("img"),
                "the day": lambda: book.day(day),
                "who has not sent week 4": lambda: book.missing(day, week=4),
                "open the casebook": lambda: Casebook.open(book.folder).close(),
            }
            size = (book.folder / "casebook.db").stat().st_size / 1e6
            print(f"{count} clients x {CLIPS} clips, {size:.1f} MB")
            for what, act in acts.items():
                print(f"{what:34}{best_ms(act):8.1f} ms", flush=True)


if __name__ == "__main__":
    main()
