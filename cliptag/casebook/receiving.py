"""Taking a clip in: copied whole, put down in one change, told when it is there already."""

from __future__ import annotations

import dataclasses
import datetime as dt
import hashlib
import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path, PurePath
from typing import Final

from cliptag.casebook.clients import client, programme_on
from cliptag.casebook.database import cannot_write
from cliptag.casebook.model import Client, Imported, Programme, ReceivedClip
from cliptag.casebook.names import free_name, safe_name, week_folder
from cliptag.casebook.placing import Arrival, by_digest, content_of, enter
from cliptag.casebook.store import Store
from cliptag.clip import digest_of
from cliptag.errors import CasebookError
from cliptag.files import sync_folder
from cliptag.review import SUFFIX

_BLOCK: Final = 1 << 20


@dataclass(frozen=True, slots=True)
class Wish:
    """What the coach says of a clip; what is None follows from the plan and the day."""

    week: int | None = None
    topic: str | None = None
    received_at: dt.datetime | None = None
    due_on: dt.date | None = None


def receive(store: Store, name: str, source: Path, wish: Wish) -> Imported:
    """Copy a clip into a client's week and begin its review.

    A review that lies beside the clip comes along. Raises CasebookError, ClipError.
    """
    person = client(store, name)
    source = source.absolute()
    digest = digest_of(source)
    known = by_digest(store, digest)
    if known is not None:
        return _told(known, person, source)
    arrival = _arrival(store, person, source, wish)
    content = content_of(source, "")  # before anything is copied: it may be no clip
    number = arrival.programme.number if arrival.programme else None
    folder = store.client_folder(person.folder) / week_folder(number, arrival.week)
    with _copy(store, source, folder) as (part, checksum):
        if digest_of(part) != digest:
            raise CasebookError(f"{source.name} changed while it was copied: add it again.")
        content = dataclasses.replace(content, checksum=checksum)
        with _undone_on_failure(store, digest) as made, store.writing():
            if client(store, name).folder != person.folder:
                raise CasebookError(f"{person.name} was renamed meanwhile: add the clip again.")
            known = by_digest(store, digest)  # another program may have been first
            if known is not None:
                return _told(known, person, source)
            target = _free_path(store, person, folder, safe_name(source.name), digest)
            review = target.with_name(target.stem + SUFFIX)
            made += [path for path in (target, review) if not path.exists()]
            part.replace(target)
            sync_folder(folder)
            enter(store, arrival, content, target, review)
    clip = by_digest(store, digest)
    assert clip is not None
    return Imported(clip=clip, is_new=True, sentence=_welcome(clip))


def _arrival(store: Store, person: Client, source: Path, wish: Wish) -> Arrival:
    received_at = wish.received_at or dt.datetime.now(dt.UTC)
    programme, week = _week_of(store, person, wish, received_at.astimezone().date())
    return Arrival(person, programme, week, wish.topic, source, received_at, wish.due_on)


def _week_of(
    store: Store, person: Client, wish: Wish, received_on: dt.date
) -> tuple[Programme | None, int | None]:
    if wish.week is not None and wish.week < 1:
        raise CasebookError("Weeks count from 1: give a week such as --week 4.")
    programme = programme_on(store.programmes(person.id), received_on)
    if programme is None:
        return None, wish.week
    if wish.week is None:
        week = programme.week_on(received_on)
        return (programme, week) if week else (None, None)
    if wish.week > len(programme.weeks):
        raise CasebookError(
            f"{person.name}'s programme has {len(programme.weeks)} weeks, not {wish.week}: "
            "choose one of them, or make the plan longer."
        )
    return programme, wish.week


def _told(known: ReceivedClip, person: Client, source: Path) -> Imported:
    where = f"as {known.path}, received on {known.received_on}"
    if known.client_id == person.id:
        sentence = f"{source.name} is there already, {where}; it was not added again."
    else:
        sentence = (
            f"{source.name} is in the casebook already, but as a clip of {known.client} ({where}): "
            "it was not added. See whose it is."
        )
    return Imported(clip=known, is_new=False, sentence=sentence)


def _welcome(clip: ReceivedClip) -> str:
    facts = (("where it was filmed", clip.tells_place), ("on which device", clip.tells_device))
    told = [words for words, is_told in facts if is_told]
    sentence = f"{clip.original_name} is clip {clip.id} of {clip.client} ({clip.path})."
    if told:
        sentence += f" The file tells {' and '.join(told)}; a take-home never does."
    return sentence


def _free_path(store: Store, person: Client, folder: Path, name: str, digest: str) -> Path:
    """Where a clip goes. Two clips of one week never share a stem: their reviews would be one."""
    known = {
        PurePath(path).with_suffix("").as_posix().casefold()
        for (path,) in store.db.all("SELECT path FROM clips WHERE client_id = ?", (person.id,))
    }
    below = folder.relative_to(store.client_folder(person.folder)).as_posix()
    on_disk = {path.stem.casefold() for path in folder.iterdir() if path.name[0] != "."}

    def is_taken(candidate: str) -> bool:
        stem = PurePath(candidate).stem
        if f"{below}/{stem}".casefold() in known:
            return True
        path = folder / candidate
        if path.is_file() and digest_of(path) == digest:
            return False  # what a crash left of this very clip
        return stem.casefold() in on_disk or f"{stem}.review".casefold() in on_disk

    return folder / free_name(name, is_taken)


@contextmanager
def _copy(store: Store, source: Path, folder: Path) -> Iterator[tuple[Path, str]]:
    """A synced copy under a temporary name, with the checksum of all its bytes."""
    part: Path | None = None
    try:
        try:
            folder.mkdir(parents=True, exist_ok=True)
            sync_folder(folder.parent)
            handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder)
            part = Path(name)
            checksum = hashlib.blake2b(digest_size=32)
            with source.open("rb") as file, os.fdopen(handle, "wb") as copy:
                while block := file.read(_BLOCK):
                    checksum.update(block)
                    copy.write(block)
                copy.flush()
                os.fsync(copy.fileno())
        except OSError as error:
            raise cannot_write(store.folder, error) from error
        yield part, checksum.hexdigest()
    finally:
        if part is not None:
            with suppress(OSError):
                part.unlink(missing_ok=True)


@contextmanager
def _undone_on_failure(store: Store, digest: str) -> Iterator[list[Path]]:
    """Takes away the files in the list when the block fails before its change is written."""
    made: list[Path] = []
    try:
        yield made
    except BaseException:
        with suppress(OSError, CasebookError):
            if by_digest(store, digest) is None:
                for path in made:
                    path.unlink(missing_ok=True)
        raise
