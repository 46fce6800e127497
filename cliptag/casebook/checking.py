"""Is the casebook whole: its file by SQLite's own check, the clients' files against the file."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path, PurePosixPath
from typing import Final

from cliptag.casebook.clients import clients
from cliptag.casebook.model import Client, ClientRecord, Problem, ReceivedClip
from cliptag.casebook.names import TAKE_HOME
from cliptag.casebook.store import Store, encode_record
from cliptag.casebook.versions import checksum_of, folder_digest
from cliptag.clip import digest_of
from cliptag.consent import CLIENTS, RECORD
from cliptag.errors import CliptagError, ReviewError
from cliptag.review import SUFFIX, load_review

_PART: Final = ".part"


def check(store: Store, *, every_byte: bool = False) -> tuple[Problem, ...]:
    """Everything that is not as it should be; nothing when all is well.

    Clips are compared by size and digest; ``every_byte`` reads all of them, and the take-homes.
    """
    return tuple(_problems(store, every_byte))


def _problems(store: Store, every_byte: bool) -> Iterator[Problem]:
    damage = store.db.problems()
    for line in damage:
        yield Problem(
            kind="database",
            path=store.db.file.name,
            sentence=f"The casebook's file is damaged ({line}); repair makes it anew.",
            can_mend=True,
        )
    if damage:
        return  # what such a file says is no ground to find fault with the folder
    known = clients(store)
    for person in known:
        record = store.record(person.id)
        home = store.client_folder(person.folder)
        for kept in record.clips:
            yield from _clip_problems(home, kept, every_byte)
        yield from _other_problems(home, record, every_byte)
        for path in unknown_files(home, record):
            yield _unknown(store, person, path)
        if _is_behind(home / RECORD, record):
            yield Problem(
                kind="record",
                path=f"{person.folder}/{RECORD}",
                sentence=f"{RECORD} of {person.name} doesn't show the casebook as it is.",
                can_mend=True,
            )
    for path in unknown_folders(store, known):
        yield Problem(
            kind="unknown",
            path=path.name,
            sentence=f"The casebook knows no client of the folder {path.name}; repair adds one.",
            can_mend=True,
        )


def unknown_folders(store: Store, known: tuple[Client, ...]) -> list[Path]:
    """Folders beside those of the clients."""
    names = {person.folder for person in known}
    home = store.folder / CLIENTS
    found = home.iterdir() if home.is_dir() else ()
    return sorted(path for path in found if path.is_dir() and path.name not in names)


def unknown_files(home: Path, record: ClientRecord) -> list[Path]:
    """Files in a client's folder that the casebook doesn't know, what belongs to a file apart."""
    known = {kept.path for kept in record.clips} | {kept.review for kept in record.clips}
    known |= {word.message for word in record.consent if word.message} | {RECORD}
    stems = {PurePosixPath(kept.path).with_suffix("").as_posix() for kept in record.clips}
    found = []
    for parent, folders, names in os.walk(home):
        below = Path(parent).relative_to(home)
        folders[:] = sorted(
            name for name in folders if not _belongs((below / name).as_posix(), stems)
        )
        for name in sorted(names):
            path = (below / name).as_posix()
            is_backup = name.startswith(".") and SUFFIX in name and not name.endswith(_PART)
            if path not in known and not is_backup and not _belongs(path, stems):
                found.append(home / path)
    return found


def is_leftover(path: Path) -> bool:
    """Whether a file is a half-written one, as a crash leaves it."""
    return path.name.startswith(".") and path.name.endswith(_PART)


def _belongs(path: str, stems: set[str]) -> bool:
    """Whether a path is a known clip's: its take-homes, its voice takes."""
    place = PurePosixPath(path)
    if place.name.startswith("."):
        return False
    pieces = place.name.split(".")
    heads = {".".join(pieces[:count]) for count in range(1, len(pieces))}
    return any((place.parent / head).as_posix() in stems for head in heads) and not (
        place.name.endswith(SUFFIX)
    )


def _clip_problems(home: Path, kept: ReceivedClip, every_byte: bool) -> Iterator[Problem]:
    path, whose = home / kept.path, f"of {kept.client} (clip {kept.id})"
    where = f"{kept.folder}/{kept.path}"
    if not path.is_file():
        yield Problem(
            kind="missing",
            path=where,
            sentence=f"{kept.path} {whose} is not there: put it back, from a backup or from "
            f"{kept.came_from}; repair finds it anywhere in the client's folder.",
            can_mend=False,
        )
    elif _is_changed(path, kept, every_byte):
        yield Problem(
            kind="changed",
            path=where,
            sentence=f"{kept.path} {whose} is not the file that was received: put that one back.",
            can_mend=False,
        )
    review = home / kept.review
    try:
        load_review(review)
    except ReviewError as error:
        yield Problem(
            kind="review",
            path=f"{kept.folder}/{kept.review}",
            sentence=str(error),
            can_mend=not review.exists(),
        )


def _is_changed(path: Path, kept: ReceivedClip, every_byte: bool) -> bool:
    try:
        if path.stat().st_size != kept.size_bytes or digest_of(path) != kept.digest:
            return True
        return every_byte and checksum_of(path) != kept.checksum
    except (CliptagError, OSError):
        return True


def _other_problems(home: Path, record: ClientRecord, every_byte: bool) -> Iterator[Problem]:
    person = record.client
    for word in record.consent:
        if word.message and not (home / word.message).is_file():
            yield Problem(
                kind="missing",
                path=f"{person.folder}/{word.message}",
                sentence=f"The message {word.message} of {person.name} about being shown is not "
                "there: put it back.",
                can_mend=False,
            )
    for made in record.take_homes:
        folder = home / made.folder
        if Path(made.folder).is_absolute():
            continue
        if not folder.is_dir():
            sentence, kind = "is not there: export it again if it is needed.", "missing"
        elif every_byte and folder_digest(folder) != made.digest:
            sentence, kind = "is not as it was made: export it again if it is needed.", "changed"
        else:
            continue
        yield Problem(
            kind="missing" if kind == "missing" else "changed",
            path=f"{person.folder}/{made.folder}",
            sentence=f"The take-home {made.folder} of {person.name} {sentence}",
            can_mend=False,
        )


def _unknown(store: Store, person: Client, path: Path) -> Problem:
    where = path.relative_to(store.folder / CLIENTS).as_posix()
    if is_leftover(path) or f"{TAKE_HOME}-" in where:
        return Problem(
            kind="leftover",
            path=where,
            sentence=f"{where} was left half-written by a crash: nothing needs it, delete it.",
            can_mend=False,
        )
    return Problem(
        kind="unknown",
        path=where,
        sentence=f"The casebook doesn't know {where}: repair adds it to {person.name} if it is a "
        "clip; delete it if nobody needs it.",
        can_mend=True,
    )


def _is_behind(path: Path, record: ClientRecord) -> bool:
    try:
        return path.read_bytes() != encode_record(record)
    except OSError:
        return True
