"""All of one client's data handed over: a folder, or a zip file, that reads without the program."""

from __future__ import annotations

import datetime as dt
import shutil
import tempfile
import zipfile
from pathlib import Path
from typing import Final

from cliptag.casebook.checking import is_leftover
from cliptag.casebook.model import STATE_WORDS, ClientRecord
from cliptag.casebook.store import Store, encode_record
from cliptag.consent import PURPOSE_WORDS, RECORD
from cliptag.errors import CasebookError
from cliptag.files import replacing, sync_file, sync_folder

ABOUT: Final = "about.txt"


def hand_over(store: Store, client_id: int, target: Path) -> Path:
    """Write all that is kept of a client to ``target``, a zip file if its name ends so.

    It appears when it is complete. Raises CasebookError when something is there already or it
    can't be written.
    """
    target = target.absolute()
    if target.exists():
        raise CasebookError(f"{target} exists already: choose another name; it was not changed.")
    record = store.record(client_id)
    source = store.client_folder(record.client.folder)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        if target.suffix.lower() == ".zip":
            with replacing(target) as part:
                _write_zip(part, source, record)
        else:
            _write_folder(target, source, record)
    except OSError as error:
        raise CasebookError(
            f"The client's data can't be written to {target} ({error.strerror or error}): free "
            "some space or choose another folder."
        ) from error
    return target


def about_text(record: ClientRecord) -> str:
    """What is known of a client, in words."""
    person = record.client
    lines = [
        f"What is kept of {person.name}, as of {dt.date.today()}",
        "",
        f"Language: {person.language}",
        f"Contact: {person.contact or '-'}",
        f"Notes: {person.notes or '-'}",
        f"Client since: {person.created_on}",
    ]
    for programme in record.programmes:
        lines += ["", f"{programme.name}, from {programme.starts_on}:"]
        lines += [f"  week {planned.week}: {planned.topic}" for planned in programme.weeks]
    lines += ["", "Clips:" if record.clips else "Clips: none"]
    for kept in record.clips:
        lines.append(
            f"  {kept.path}: received {kept.received_on} as {kept.original_name}, "
            f"review {STATE_WORDS[kept.state]}"
        )
        lines += [
            f"    made {made.made_at:%Y-%m-%d} for {PURPOSE_WORDS[made.purpose]}, "
            + (f"sent {made.sent_at:%Y-%m-%d} {made.sent_how}" if made.sent_at else "not sent")
            for made in record.take_homes
            if made.clip_id == kept.id
        ]
    lines += ["", "Consent:" if record.consent else "Consent: none recorded"]
    paths = {kept.id: kept.path for kept in record.clips}
    for word in record.consent:
        what = "given" if word.is_given else "withdrawn"
        covers = ", ".join(PURPOSE_WORDS[purpose] for purpose in word.covers)
        where = paths.get(word.clip_id or 0, "all clips")
        until = f", until {word.until}" if word.until else ""
        message = f" (see {word.message})" if word.message else ""
        lines.append(f"  {word.said_on} {what} for {covers}; {where}; {word.how}{until}{message}")
    return "\n".join(lines) + "\n"


def _files(source: Path) -> list[Path]:
    found = source.rglob("*") if source.is_dir() else ()
    return sorted(
        path
        for path in found
        if path.is_file() and not is_leftover(path) and path != source / RECORD
    )


def _write_zip(part: Path, source: Path, record: ClientRecord) -> None:
    top = record.client.folder
    with zipfile.ZipFile(part, "w", zipfile.ZIP_STORED) as bundle:  # clips hardly shrink
        bundle.writestr(f"{top}/{ABOUT}", about_text(record))
        bundle.writestr(f"{top}/{RECORD}", encode_record(record))
        for path in _files(source):
            bundle.write(path, f"{top}/{path.relative_to(source).as_posix()}")


def _write_folder(target: Path, source: Path, record: ClientRecord) -> None:
    part = Path(tempfile.mkdtemp(prefix=f".{target.name}.", suffix=".part", dir=target.parent))
    try:
        (part / ABOUT).write_text(about_text(record), encoding="utf-8")
        (part / RECORD).write_bytes(encode_record(record))
        for path in _files(source):
            copy = part / path.relative_to(source)
            copy.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(path, copy)
            sync_file(copy)
        part.chmod(0o700)
        part.rename(target)
        sync_folder(target.parent)
    finally:
        shutil.rmtree(part, ignore_errors=True)
