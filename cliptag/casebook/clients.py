"""Clients and their programmes."""

from __future__ import annotations

import datetime as dt
import difflib
import re
from collections.abc import Sequence

from cliptag.casebook.model import Client, PlanWeek, Programme
from cliptag.casebook.names import free_name, key_of, safe_name
from cliptag.casebook.rows import put_client, put_programme, words_of_client
from cliptag.casebook.store import CLIENT_SQL, IS_HERE, Store
from cliptag.consent import CLIENTS
from cliptag.errors import CasebookError
from cliptag.files import sync_folder

_LONGEST_NAME = 200
_MOST_WEEKS = 520


def clients(store: Store) -> tuple[Client, ...]:
    """All clients by name."""
    where = IS_HERE.format("clients")
    return store.db.structs(Client, f"{CLIENT_SQL} WHERE {where} ORDER BY name_key")


def client(store: Store, name: str) -> Client:
    """The client of this name; case and accents don't count. Raises CasebookError if unknown."""
    found = _find(store, name)
    if found is not None:
        return found
    names = [known.name for known in clients(store)]
    near = difflib.get_close_matches(key_of(name), [key_of(known) for known in names], 1)
    meant = next((known for known in names if near and key_of(known) == near[0]), None)
    hint = f"did you mean {meant}?" if meant else "add the client first (cliptag casebook client)."
    raise CasebookError(f"There is no client called {name}: {hint}")


def add_client(store: Store, name: str, language: str, contact: str, notes: str) -> Client:
    """Put a new client in. Raises CasebookError when there is one of that name."""
    name = _checked(name)
    with store.writing():
        if _find(store, name) is not None:
            raise CasebookError(
                f"There is a client called {name} already: add something to the name that tells "
                "the two apart, such as the town."
            )
        id_ = put_client(
            store,
            Client(
                id=0,
                name=name,
                folder=_free_folder(store, name),
                language=_language(language),
                contact=contact,
                notes=notes,
                created_on=dt.date.today(),
            ),
        )
        store.touch(id_)
    return client(store, name)


def change_client(
    store: Store,
    name: str,
    *,
    new_name: str | None = None,
    language: str | None = None,
    contact: str | None = None,
    notes: str | None = None,
) -> Client:
    """Change what is given; a new name renames the folder too."""
    with store.writing():
        old = client(store, name)
        called = old.name if new_name is None else _checked(new_name)
        other = _find(store, called)
        if other is not None and other.id != old.id:
            raise CasebookError(f"There is another client called {called}: choose another name.")
        contact = old.contact if contact is None else contact
        notes = old.notes if notes is None else notes
        store.db.do(
            "UPDATE clients SET name = ?, name_key = ?, language = ?, contact = ?, notes = ?,"
            " words = ? WHERE id = ?",
            (
                *(
                    called,
                    key_of(called),
                    _language(old.language if language is None else language),
                ),
                *(contact, notes, words_of_client(called, contact, notes), old.id),
            ),
        )
        if called != old.name:
            folder = _free_folder(store, called, old.folder)
            store.db.do("UPDATE clients SET next_folder = ? WHERE id = ?", (folder, old.id))
        store.touch(old.id)
    finish_renames(store)
    return client(store, called)


def finish_renames(store: Store) -> None:
    """Rename the folders of renamed clients, also those that a crash kept from it."""
    if not store.db.one("SELECT 1 FROM clients WHERE next_folder IS NOT NULL"):
        return
    with store.writing():
        for id_, now, wanted in store.db.all(
            "SELECT id, folder, next_folder FROM clients WHERE next_folder IS NOT NULL"
        ):
            source, target = store.client_folder(now), store.client_folder(wanted)
            if source.is_dir() and now != wanted:
                source.rename(target)
                sync_folder(store.folder / CLIENTS)
            store.db.do(
                "UPDATE clients SET folder = next_folder, next_folder = NULL WHERE id = ?", (id_,)
            )
            store.touch(id_)


def plan(
    store: Store, name: str, title: str, starts_on: dt.date, topics: Sequence[str]
) -> Programme:
    """Begin a programme: one topic for each week. Raises CasebookError when there is no week."""
    weeks = _weeks(topics)
    with store.writing():
        person = client(store, name)
        number = len(store.programmes(person.id)) + 1
        programme = Programme(
            id=0,
            client_id=person.id,
            number=number,
            name=title.strip() or f"Programme {number}",
            starts_on=starts_on,
            weeks=weeks,
        )
        put_programme(store, person.id, programme)
        store.touch(person.id)
    return store.programmes(person.id)[-1]


def change_plan(store: Store, programme: Programme, topics: Sequence[str]) -> Programme:
    """Give a programme's weeks other topics, or another number of weeks."""
    weeks = _weeks(topics)
    with store.writing(programme.client_id):
        store.db.do("DELETE FROM programme_weeks WHERE programme_id = ?", (programme.id,))
        for planned in weeks:
            store.db.do(
                "INSERT INTO programme_weeks (programme_id, week, topic) VALUES (?, ?, ?)",
                (programme.id, planned.week, planned.topic),
            )
    return next(p for p in store.programmes(programme.client_id) if p.id == programme.id)


def programme_on(programmes: Sequence[Programme], on_date: dt.date) -> Programme | None:
    """The programme that a day belongs to: the newest that had begun."""
    begun = [programme for programme in programmes if programme.starts_on <= on_date]
    return max(begun, key=lambda programme: (programme.starts_on, programme.number), default=None)


def _weeks(topics: Sequence[str]) -> tuple[PlanWeek, ...]:
    topics = [" ".join(topic.split()) for topic in topics]
    if not topics or len(topics) > _MOST_WEEKS or not all(topics):
        raise CasebookError(
            f"A programme needs a topic for each of its weeks, 1 to {_MOST_WEEKS} of them: such as "
            "sitting, standing, bending, lifting."
        )
    return tuple(PlanWeek(week=week, topic=topic) for week, topic in enumerate(topics, start=1))


def _find(store: Store, name: str) -> Client | None:
    where = f"name_key = ? AND {IS_HERE.format('clients')}"
    found = store.db.structs(Client, f"{CLIENT_SQL} WHERE {where}", (key_of(name),))
    return found[0] if found else None


def _checked(name: str) -> str:
    name = " ".join(name.split())
    if not name or len(name) > _LONGEST_NAME or not any(sign.isalnum() for sign in name):
        raise CasebookError(
            f"A client needs a name of 1 to {_LONGEST_NAME} signs, at least one of them a letter "
            "or digit."
        )
    return name


def _language(code: str) -> str:
    code = code.strip().lower()
    if not re.fullmatch("[a-z]{2,3}", code):
        raise CasebookError(
            f"{code or 'Nothing'} is no language: give its code by ISO 639, such as en, de or pt."
        )
    return code


def _free_folder(store: Store, name: str, own: str = "") -> str:
    """A folder name that no client has, also where case doesn't count, and that isn't on disk."""
    known = {
        folder.casefold()
        for row in store.db.all("SELECT folder, coalesce(next_folder, folder) FROM clients")
        for folder in row
    }
    known.discard(own.casefold())

    def is_taken(folder: str) -> bool:
        is_own = folder.casefold() == own.casefold()
        path = store.client_folder(folder)
        return folder.casefold() in known or (not is_own and path.exists() and any(path.iterdir()))

    return free_name(safe_name(name), is_taken)
