"""Structs as rows, put in inside a change. An id of 0 lets the database choose one."""

from __future__ import annotations

from cliptag.casebook.model import Client, KeptTakeHome, Programme, ReceivedClip
from cliptag.casebook.names import key_of
from cliptag.casebook.store import Store
from cliptag.consent import ConsentWord


def put_client(store: Store, person: Client) -> int:
    """Put a client in; its id."""
    return _insert(
        store,
        "clients",
        person.id,
        name=person.name,
        name_key=key_of(person.name),
        folder=person.folder,
        language=person.language,
        contact=person.contact,
        notes=person.notes,
        words=words_of_client(person.name, person.contact, person.notes),
        created_on=person.created_on.isoformat(),
    )


def put_programme(store: Store, client_id: int, programme: Programme) -> int:
    """Put a programme with its weeks in; its id."""
    id_ = _insert(
        store,
        "programmes",
        programme.id,
        client_id=client_id,
        number=programme.number,
        name=programme.name,
        starts_on=programme.starts_on.isoformat(),
    )
    for planned in programme.weeks:
        store.db.do(
            "INSERT INTO programme_weeks (programme_id, week, topic) VALUES (?, ?, ?)",
            (id_, planned.week, planned.topic),
        )
    return id_


def put_clip(
    store: Store, client_id: int, programme_id: int | None, kept: ReceivedClip, mark: str, seen: str
) -> int:
    """Put a clip in, with its review's fingerprint and stamp; its id."""
    return _insert(
        store,
        "clips",
        kept.id,
        client_id=client_id,
        programme_id=programme_id,
        week=kept.week,
        topic=kept.topic,
        path=kept.path,
        review=kept.review,
        state=kept.state,
        fingerprint=mark,
        stamp=seen,
        due_on=kept.due_on.isoformat(),
        received_at=kept.received_at.isoformat(timespec="seconds"),
        recorded_on=kept.recorded_on.isoformat() if kept.recorded_on else None,
        original_name=kept.original_name,
        came_from=kept.came_from,
        words=key_of(f"{kept.original_name} {kept.path} {kept.topic or ''}"),
        size_bytes=kept.size_bytes,
        digest=kept.digest,
        checksum=kept.checksum,
        duration_us=kept.duration_us,
        tells_place=int(kept.tells_place),
        tells_device=int(kept.tells_device),
    )


def put_take_home(store: Store, clip_id: int, made: KeptTakeHome) -> int:
    """Put a take-home in; its id."""
    return _insert(
        store,
        "take_homes",
        made.id,
        clip_id=clip_id,
        folder=made.folder,
        purpose=made.purpose,
        digest=made.digest,
        made_at=made.made_at.isoformat(timespec="seconds"),
        sent_at=made.sent_at.isoformat(timespec="seconds") if made.sent_at else None,
        sent_how=made.sent_how,
    )


def put_word(store: Store, client_id: int, clip_id: int | None, word: ConsentWord) -> int:
    """Put a word of consent in; its id."""
    return _insert(
        store,
        "consent_words",
        word.id,
        client_id=client_id,
        clip_id=clip_id,
        is_given=int(word.is_given),
        covers=" ".join(word.covers),
        said_on=word.said_on.isoformat(),
        how=word.how,
        until=word.until.isoformat() if word.until else None,
        message=word.message,
    )


def words_of_client(name: str, contact: str, notes: str) -> str:
    """What a search looks through."""
    return key_of(f"{name} {contact} {notes}")


def _insert(store: Store, table: str, id_: int, **values: str | int | None) -> int:
    if id_ and not store.db.one(f"SELECT 1 FROM {table} WHERE id = ?", (id_,)):
        values = {"id": id_, **values}
    marks = ", ".join("?" * len(values))
    sql = f"INSERT INTO {table} ({', '.join(values)}) VALUES ({marks})"
    return store.db.do(sql, list(values.values()))
