"""Putting right what can be, from the clients' folders. Nothing is deleted."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import Final

import msgspec

from cliptag.casebook.checking import is_leftover, unknown_files, unknown_folders
from cliptag.casebook.clients import clients
from cliptag.casebook.database import BACKUPS, cannot_write, is_damage
from cliptag.casebook.erasing import restore_tombstones
from cliptag.casebook.model import Client, ClientRecord, ReceivedClip
from cliptag.casebook.names import free_name, key_of
from cliptag.casebook.placing import Arrival, by_digest, content_of, enter
from cliptag.casebook.restoring import restore
from cliptag.casebook.store import Store, lay_out
from cliptag.casebook.versions import checksum_of
from cliptag.clip import digest_of, open_clip
from cliptag.consent import CASEBOOK_FILE, CLIENTS, RECORD
from cliptag.errors import CasebookError, CliptagError
from cliptag.files import sync_folder, write_bytes
from cliptag.opening import start_review
from cliptag.review import SUFFIX, backups_of, save_review

_WEEK: Final = re.compile(r"(?:programme-(\d+)/)?week-(\d+)/")


def repair(folder: Path) -> tuple[str, ...]:
    """Mend a casebook; gives one sentence for each thing that was done.

    A damaged or missing database is set aside and made anew from the clients' folders. Clips that
    were moved within their client's folder are found, unknown ones entered, reviews that are
    missing taken from their backups. Raises CasebookError when it can't be written.
    """
    folder = folder.absolute()
    if not (folder / CLIENTS).is_dir() and not (folder / CASEBOOK_FILE).is_file():
        raise CasebookError(f"There is no casebook at {folder}: name its folder with --book.")
    done: list[str] = []
    try:
        lay_out(folder)
        store = _sound_store(folder, done)
    except OSError as error:
        raise cannot_write(folder, error) from error
    try:
        done += _adopt_folders(store)
        for person in clients(store):
            done += _mend_client(store, person)
        store.write_records()
    finally:
        store.db.close()
    return tuple(done)


def _sound_store(folder: Path, done: list[str]) -> Store:
    file = folder / CASEBOOK_FILE
    if file.is_file():
        store = _opened(folder) if file.stat().st_size else None
        if store is not None:
            if not store.db.problems():
                return store
            store.db.close()
        done.append(f"The damaged file was set aside as {_set_aside(folder)}.")
    store = Store(folder)
    restore_tombstones(store)
    done.append("The casebook's file was made anew.")
    return store


def _opened(folder: Path) -> Store | None:
    """The casebook, or None when its file is too damaged to be opened."""
    try:
        return Store(folder)
    except CasebookError as error:
        if is_damage(error.__cause__):
            return None
        raise


def _set_aside(folder: Path) -> str:
    backups = folder / BACKUPS
    backups.mkdir(exist_ok=True)
    now = dt.datetime.now(dt.UTC)
    name = f"casebook-damaged-{now:%Y%m%dT%H%M%S%f}.db"
    for ending in ("-wal", "-shm", ""):
        with suppress(FileNotFoundError):
            (folder / f"{CASEBOOK_FILE}{ending}").rename(backups / f"{name}{ending}")
    sync_folder(folder)
    return f"{BACKUPS}/{name}"


def _adopt_folders(store: Store) -> Iterator[str]:
    for path in unknown_folders(store, clients(store)):
        try:
            record = msgspec.json.decode((path / RECORD).read_bytes(), type=ClientRecord)
        except (OSError, msgspec.DecodeError):
            record = ClientRecord(
                client=Client(id=0, name=path.name, folder=path.name, created_on=dt.date.today())
            )
        known = {key_of(person.name) for person in clients(store)}
        name = free_name(record.client.name, lambda name: key_of(name) in known)  # noqa: B023
        person = msgspec.structs.replace(record.client, name=name, folder=path.name)
        with store.writing():
            restore(store, msgspec.structs.replace(record, client=person))
        yield f"{name} was put in again from the folder {path.name}."


def _mend_client(store: Store, person: Client) -> Iterator[str]:
    home = store.client_folder(person.folder)
    record = store.record(person.id)
    strange = [path for path in unknown_files(home, record) if not is_leftover(path)]
    for kept in record.clips:
        if not store.clip_path(kept).is_file():
            found = _same_content(kept, strange)
            if found is not None:
                strange.remove(found)
                yield _moved(store, kept, found)
    for path in strange:
        if not path.name.endswith(SUFFIX):
            with suppress(CliptagError):
                yield from _adopt_clip(store, person, path)
    for kept in store.record(person.id).clips:
        if store.clip_path(kept).is_file() and not store.review_path(kept).exists():
            yield _review_again(store, kept)
    with store.writing():
        store.touch_consent(person.id)


def _same_content(kept: ReceivedClip, paths: list[Path]) -> Path | None:
    for path in paths:
        with suppress(CliptagError, OSError):
            if path.stat().st_size == kept.size_bytes and digest_of(path) == kept.digest:
                return path
    return None


def _moved(store: Store, kept: ReceivedClip, found: Path) -> str:
    home = store.client_folder(kept.folder)
    below = found.relative_to(home).as_posix()
    review = found.with_name(found.stem + SUFFIX)
    moved_too = review.is_file() and not store.review_path(kept).exists()
    with store.writing(kept.client_id):
        store.db.do("UPDATE clips SET path = ? WHERE id = ?", (below, kept.id))
        if moved_too:
            path = review.relative_to(home).as_posix()
            store.db.do("UPDATE clips SET review = ? WHERE id = ?", (path, kept.id))
    return f"Clip {kept.id} of {kept.client} was found as {below}."


def _adopt_clip(store: Store, person: Client, path: Path) -> Iterator[str]:
    digest = digest_of(path)
    below = path.relative_to(store.client_folder(person.folder)).as_posix()
    known = by_digest(store, digest)
    if known is not None:
        yield f"{person.folder}/{below} is the same as clip {known.id} of {known.client}."
        return
    content = content_of(path, checksum_of(path))
    place = _WEEK.match(below)
    number = int(place[1] or 1) if place else None
    programme = next((p for p in store.programmes(person.id) if p.number == number), None)
    arrival = Arrival(
        person=person,
        programme=programme,
        week=int(place[2]) if place else None,
        topic=None,
        source=path,
        received_at=dt.datetime.fromtimestamp(path.stat().st_mtime, dt.UTC),
    )
    with store.writing():
        enter(store, arrival, content, path, path.with_name(path.stem + SUFFIX))
    yield f"{person.folder}/{below} was entered as a clip of {person.name}."


def _review_again(store: Store, kept: ReceivedClip) -> str:
    path = store.review_path(kept)
    for backup in backups_of(path):
        write_bytes(path, backup.read_bytes())
        return f"The review {kept.review} of {kept.client} was taken from its newest backup."
    with open_clip(store.clip_path(kept)) as clip:
        save_review(start_review(clip, path), path)
    return f"The review {kept.review} of {kept.client} was lost; an empty one was begun."
