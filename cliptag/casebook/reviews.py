"""The reviews of clips: how far each is, told from its own file."""

from __future__ import annotations

import datetime as dt
from contextlib import suppress
from pathlib import Path

from cliptag.casebook.model import STATES, KeptTakeHome, ReceivedClip, State
from cliptag.casebook.store import CLIP_SQL, IS_HERE, Store
from cliptag.casebook.versions import fingerprint, folder_digest, stamp
from cliptag.errors import CasebookError, ReviewError
from cliptag.review import load_review

_IS_HERE = IS_HERE.format("k")


def clip(store: Store, clip_id: int) -> ReceivedClip:
    """The clip of this number. Raises CasebookError when there is none."""
    found = store.db.structs(ReceivedClip, f"{CLIP_SQL} WHERE c.id = ? AND {_IS_HERE}", (clip_id,))
    if not found:
        raise CasebookError(
            f"There is no clip {clip_id} in the casebook: see the numbers with cliptag casebook "
            "list CLIENT."
        )
    return found[0]


def clips(
    store: Store, client_id: int | None = None, state: State | None = None
) -> tuple[ReceivedClip, ...]:
    """All clips, or a client's, or those in one state; the oldest first."""
    where, values = [_IS_HERE], list[str | int | None]()
    if client_id is not None:
        where.append("c.client_id = ?")
        values.append(client_id)
    if state is not None:
        where.append("c.state = ?")
        values.append(state)
    sql = f"{CLIP_SQL} WHERE {' AND '.join(where)} ORDER BY c.received_at, c.id"
    return store.db.structs(ReceivedClip, sql, values)


def of_file(store: Store, path: Path) -> ReceivedClip | None:
    """The clip to which a clip's or a review's file in the casebook's folder belongs."""
    try:
        parts = path.resolve().relative_to(store.folder.resolve()).parts
    except ValueError:
        return None
    if len(parts) < 3:
        return None
    below = "/".join(parts[2:])
    found = store.db.structs(
        ReceivedClip,
        f"{CLIP_SQL} WHERE k.folder = ? AND (c.path = ? OR c.review = ?) AND {_IS_HERE}",
        (parts[1], below, below),
    )
    return found[0] if found else None


def set_state(store: Store, clip_id: int, state: State) -> ReceivedClip:
    """Say how far a review is. ``exported`` and ``sent`` come about by doing so."""
    if state not in STATES[:3]:
        raise CasebookError(
            f"A review becomes {state} by being {state}: choose new, in_work or done."
        )
    with store.writing():
        _keep_state(store, clip(store, clip_id), state)
    return clip(store, clip_id)


def set_due(store: Store, clip_id: int, due_on: dt.date) -> ReceivedClip:
    """Promise the answer by another day."""
    found = clip(store, clip_id)
    with store.writing(found.client_id):
        store.db.do("UPDATE clips SET due_on = ? WHERE id = ?", (due_on.isoformat(), clip_id))
    return clip(store, clip_id)


def refresh(store: Store) -> tuple[ReceivedClip, ...]:
    """See which reviews were worked at since; gives those whose state changed.

    A review that was not begun and now says something is in work; so is one that was exported, or
    done, and now says something else.
    """
    rows = store.db.all(
        "SELECT id, fingerprint, stamp FROM clips WHERE state IN ('new', 'done', 'exported')"
    )
    known = {id_: (mark, seen) for id_, mark, seen in rows}
    changed = []
    for candidate in store.db.structs(
        ReceivedClip, f"{CLIP_SQL} WHERE c.state IN ('new', 'done', 'exported') AND {_IS_HERE}"
    ):
        mark, seen = known[candidate.id]
        path = store.review_path(candidate)
        if stamp(path) != seen:
            with suppress(ReviewError):
                if fingerprint(load_review(path)) != mark:
                    changed.append(candidate)
    if not changed:
        return ()
    with store.writing():
        for candidate in changed:
            _keep_state(store, candidate, "in_work")
    return tuple(clip(store, candidate.id) for candidate in changed)


def mark_sent(
    store: Store, clip_id: int, how: str, sent_at: dt.datetime, folder: Path | None = None
) -> KeptTakeHome:
    """Put down that a clip's newest take-home was sent; ``folder`` names one made elsewhere."""
    found = clip(store, clip_id)
    kept = store.take_homes(clip_id)
    if folder is None and not kept:
        raise CasebookError(
            f"Nothing was exported of clip {clip_id} yet: export it first (cliptag export "
            "--all-due), or name the folder that you sent."
        )
    with store.writing(found.client_id):
        if folder is not None:
            keep_take_home(
                store,
                clip_id,
                str(folder.absolute()),
                "private_feedback",
                sent_at,
                folder_digest(folder),
            )
            kept = store.take_homes(clip_id)
        store.db.do(
            "UPDATE take_homes SET sent_at = ?, sent_how = ? WHERE id = ?",
            (utc(sent_at), how, kept[-1].id),
        )
        store.db.do("UPDATE clips SET state = 'sent' WHERE id = ?", (clip_id,))
    return store.take_homes(clip_id)[-1]


def keep_take_home(
    store: Store, clip_id: int, folder: str, purpose: str, made_at: dt.datetime, digest: str
) -> None:
    """Inside a change: put down a take-home; one that is there already stays as it is."""
    store.db.do(
        "INSERT OR IGNORE INTO take_homes (clip_id, folder, purpose, digest, made_at)"
        " VALUES (?, ?, ?, ?, ?)",
        (clip_id, folder, purpose, digest, utc(made_at)),
    )


def utc(moment: dt.datetime) -> str:
    """A moment as the database keeps it."""
    return moment.astimezone(dt.UTC).isoformat(timespec="seconds")


def _keep_state(store: Store, candidate: ReceivedClip, state: State) -> None:
    path = store.review_path(candidate)
    mark = ""
    with suppress(ReviewError):
        mark = fingerprint(load_review(path))
    store.db.do(
        "UPDATE clips SET state = ?, fingerprint = ?, stamp = ? WHERE id = ?",
        (state, mark, stamp(path), candidate.id),
    )
    store.touch(candidate.client_id)
