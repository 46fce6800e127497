"""What clients said about being shown, put down word by word and asked before anything leaves."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from cliptag.casebook.clients import client
from cliptag.casebook.model import ReceivedClip
from cliptag.casebook.names import free_name, safe_name
from cliptag.casebook.reviews import clip
from cliptag.casebook.rows import put_word
from cliptag.casebook.store import Store
from cliptag.consent import PURPOSES, ConsentWord, why_not
from cliptag.errors import CasebookError
from cliptag.files import sync_folder, write_bytes
from cliptag.review import ConsentPurpose

FOLDER = "consent"


def record(
    store: Store,
    name: str,
    *,
    is_given: bool,
    covers: Sequence[ConsentPurpose],
    said_on: dt.date,
    how: str,
    until: dt.date | None,
    message: str | Path | None,
    clip_id: int | None,
) -> ConsentWord:
    """Put down what a client said; ``message`` is its text, or a file that is copied."""
    person = client(store, name)
    if clip_id is not None and clip(store, clip_id).client_id != person.id:
        raise CasebookError(
            f"Clip {clip_id} is not one of {person.name}'s: see which one is meant."
        )
    covers = tuple(purpose for purpose in PURPOSES if purpose in covers)
    if not covers:
        raise CasebookError(
            f"Say what the consent is for: {', '.join(PURPOSES)} (one or several of them)."
        )
    if not how.strip():
        raise CasebookError("Say how it was said, such as 'e-mail' or 'signed form'.")
    if until is not None and until < said_on:
        raise CasebookError(f"The consent would end on {until}, before it was given: see the days.")
    made: Path | None = None
    content, suffix = _content(message)
    try:
        with store.writing():
            person = client(store, name)
            kept = None
            if content is not None:
                stem = f"{said_on} {'given' if is_given else 'withdrawn'}{suffix}"
                made = _free_path(store.client_folder(person.folder) / FOLDER, stem)
                write_bytes(made, content)
                kept = f"{FOLDER}/{made.name}"
            word = ConsentWord(
                id=0,
                is_given=is_given,
                covers=covers,
                said_on=said_on,
                how=" ".join(how.split()),
                until=until,
                message=kept,
            )
            id_ = put_word(store, person.id, clip_id, word)
            store.touch_consent(person.id)
    except BaseException:
        with suppress(OSError, CasebookError):
            if made is not None and not _is_known(store, person.id, made.name):
                made.unlink(missing_ok=True)
        raise
    return next(word for word in store.words(person.id) if word.id == id_)


def why_not_allowed(
    store: Store, kept: ReceivedClip, purpose: ConsentPurpose, on_date: dt.date
) -> str | None:
    """None when a clip may be shown for the purpose on that day, else a sentence why not."""
    sentence = why_not(store.words(kept.client_id), kept.id, purpose, on_date)
    return f"{kept.client}, clip {kept.id}: {sentence}" if sentence else None


def _content(message: str | Path | None) -> tuple[bytes | None, str]:
    if message is None:
        return None, ""
    if isinstance(message, str):
        return message.encode(), ".txt"
    try:
        suffix = f".{safe_name(message.suffix[1:])}" if message.suffix else ""
        return message.read_bytes(), suffix
    except OSError as error:
        raise CasebookError(
            f"The message {message} can't be read ({error.strerror or error}): check the name."
        ) from error


def _free_path(folder: Path, name: str) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    sync_folder(folder.parent)

    def is_taken(candidate: str) -> bool:
        return os.path.lexists(folder / candidate)

    return folder / free_name(name, is_taken)


def _is_known(store: Store, client_id: int, name: str) -> bool:
    return any(word.message == f"{FOLDER}/{name}" for word in store.words(client_id))
