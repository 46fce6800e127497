"""Forgetting a client for good: files, rows, backups, traces. It goes on after a crash."""

from __future__ import annotations

import datetime as dt
import secrets
from pathlib import Path
from typing import Final

from cliptag.casebook.database import BACKUPS
from cliptag.casebook.model import Client, ClientRecord, Erased
from cliptag.casebook.store import Store
from cliptag.casebook.traces import remove_traces, shred, shred_tree
from cliptag.errors import CasebookError
from cliptag.files import write_bytes

TOMBSTONES: Final = "erased.txt"
_SHORTEST_NEEDLE: Final = 4


def erase(store: Store, person: Client) -> Erased:
    """Erase all of a client. What remains is a random number and the day.

    The client is gone from every list as soon as this begins; if it is broken off, the next start
    of the casebook goes on with it. Raises CasebookError when a file can't be removed.
    """
    tombstone = secrets.token_hex(8)
    with store.writing():
        store.db.do(
            "INSERT INTO erasures (id, begun_on, client_id) VALUES (?, ?, ?)",
            (tombstone, dt.date.today().isoformat(), person.id),
        )
    return _go_on(store, tombstone, person.id)


def finish_erasures(store: Store) -> None:
    """Go on with what was broken off."""
    for tombstone, client_id in store.db.all(
        "SELECT id, client_id FROM erasures WHERE done_on IS NULL"
    ):
        _go_on(store, tombstone, client_id)


def tombstones(store: Store) -> tuple[tuple[str, dt.date], ...]:
    """What remains of erased clients: a random number and the day."""
    rows = store.db.all("SELECT id, done_on FROM erasures WHERE done_on IS NOT NULL ORDER BY id")
    return tuple((id_, dt.date.fromisoformat(day)) for id_, day in rows)


def restore_tombstones(store: Store) -> None:
    """Put the tombstones of the casebook's folder into a database that was made anew."""
    try:
        lines = (store.folder / TOMBSTONES).read_text("utf-8").splitlines()
    except OSError:
        return
    with store.writing():
        for line in lines:
            id_, _, day = line.partition(" ")
            store.db.do(
                "INSERT OR IGNORE INTO erasures (id, begun_on, done_on) VALUES (?, ?, ?)",
                (id_, day, day),
            )


def _go_on(store: Store, tombstone: str, client_id: int) -> Erased:
    files = size = traces = 0
    outside: tuple[Path, ...] = ()
    try:
        if store.db.one("SELECT 1 FROM clients WHERE id = ?", (client_id,)):
            record = store.record(client_id)
            outside = _outside(store, record)
            traces = remove_traces(_digests(record), _needles(store, record))
            for folder in _folders(store, client_id):
                counts = shred_tree(folder) if folder.is_dir() else (0, 0)
                files, size = files + counts[0], size + counts[1]
            with store.writing():
                store.db.do("DELETE FROM clients WHERE id = ?", (client_id,))
        _renew_backups(store)
        store.db.wipe_free_pages()
        with store.writing():
            store.db.do(
                "UPDATE erasures SET client_id = NULL, done_on = begun_on WHERE id = ?",
                (tombstone,),
            )
        _write_tombstones(store)
    except OSError as error:
        raise CasebookError(
            f"Not all of the client could be erased ({error.strerror or error}: {error.filename}): "
            "close what has that file open, then open the casebook again; it goes on by itself."
        ) from error
    return Erased(tombstone=tombstone, files=files, bytes=size, traces=traces, outside=outside)


def _folders(store: Store, client_id: int) -> list[Path]:
    row = store.db.one("SELECT folder, next_folder FROM clients WHERE id = ?", (client_id,))
    return [store.client_folder(name) for name in row or () if name]


def _digests(record: ClientRecord) -> list[str]:
    return [kept.digest for kept in record.clips]


def _needles(store: Store, record: ClientRecord) -> list[str]:
    """What is searched for in lists and logs: paths, and names that are long enough to tell."""
    home = store.client_folder(record.client.folder)
    found = {str(home), str(home.resolve()), *(kept.came_from for kept in record.clips)}
    found |= {text for text in (record.client.name, record.client.contact) if text}
    return sorted(text for text in found if len(text) >= _SHORTEST_NEEDLE)


def _outside(store: Store, record: ClientRecord) -> tuple[Path, ...]:
    """What of the client lies elsewhere and is left to the coach."""
    paths = [Path(kept.came_from) for kept in record.clips]
    paths += [Path(made.folder) for made in record.take_homes if Path(made.folder).is_absolute()]
    home = store.client_folder(record.client.folder)
    return tuple(path for path in paths if path.exists() and not path.is_relative_to(home))


def _renew_backups(store: Store) -> None:
    """The copies of the database hold the client too: one of the present takes their place."""
    folder = store.folder / BACKUPS
    old = [path for path in folder.iterdir() if path.is_file()] if folder.is_dir() else []
    if not old:
        return
    store.db.wipe_free_pages()
    store.db.back_up("after-erasure")
    for path in old:
        shred(path)


def _write_tombstones(store: Store) -> None:
    lines = [f"{id_} {day}\n" for id_, day in tombstones(store)]
    write_bytes(store.folder / TOMBSTONES, "".join(lines).encode())
