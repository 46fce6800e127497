"""What a day asks of the coach, and finding things again."""

from __future__ import annotations

import datetime as dt
from typing import Final

from cliptag.casebook.clients import clients, programme_on
from cliptag.casebook.model import Client, Day, Found, Missing, Programme, ReceivedClip, Tally
from cliptag.casebook.names import key_of
from cliptag.casebook.store import CLIENT_SQL, CLIP_SQL, IS_HERE, Store
from cliptag.consent import why_not

_WEEKS_AFTER: Final = 2


def day(store: Store, on_date: dt.date) -> Day:
    """What waits, what is late and what has not come, by the day's end."""
    waiting = store.db.structs(
        ReceivedClip,
        f"{CLIP_SQL} WHERE c.state <> 'sent' AND {IS_HERE.format('k')} ORDER BY c.due_on, c.id",
    )
    words = store.all_words()
    return Day(
        on_date=on_date,
        to_review=tuple(kept for kept in waiting if kept.state in ("new", "in_work")),
        to_export=tuple(kept for kept in waiting if kept.state == "done"),
        to_send=tuple(kept for kept in waiting if kept.state == "exported"),
        late=tuple(kept for kept in waiting if kept.due_on < on_date),
        missing=missing(store, on_date),
        without_consent=tuple(
            kept.id
            for kept in waiting
            if why_not(words.get(kept.client_id, ()), kept.id, "private_feedback", on_date)
        ),
    )


def missing(store: Store, on_date: dt.date, week: int | None = None) -> tuple[Missing, ...]:
    """Which weeks that have begun brought no clip, of every client's present programme.

    ``week`` asks for one week of the programme only: who has not sent week 4? A programme that
    has been over for two weeks asks for nothing any more.
    """
    sent = {
        (programme_id, number)
        for programme_id, number in store.db.all(
            "SELECT DISTINCT programme_id, week FROM clips WHERE programme_id IS NOT NULL"
        )
    }
    found = [
        Missing(
            client=person.name,
            week=planned.week,
            topic=planned.topic,
            due_on=programme.ends_week_on(planned.week),
            is_late=programme.ends_week_on(planned.week) < on_date,
        )
        for person, programme in _present_programmes(store, on_date)
        for planned in programme.weeks
        if (programme.id, planned.week) not in sent
        and (week is None or planned.week == week)
        and programme.ends_week_on(planned.week - 1) < on_date
    ]
    return tuple(sorted(found, key=lambda gap: (gap.due_on, gap.client)))


def find(store: Store, text: str) -> Found:
    """Clients and clips in which every word of the text occurs; case and accents don't count.

    Looked through are names, contacts and notes of clients, names and topics of clips.
    """
    keys = key_of(text).split()
    if not keys:
        return Found(clients=(), clips=())
    in_client = " AND ".join("instr(k.words, ?)" for _ in keys)
    in_either = " AND ".join("instr(k.words || ' ' || c.words, ?)" for _ in keys)
    here = IS_HERE.format("k")
    people = CLIENT_SQL.replace("FROM clients", "FROM clients k")
    return Found(
        clients=store.db.structs(
            Client, f"{people} WHERE {here} AND {in_client} ORDER BY name_key", keys
        ),
        clips=store.db.structs(
            ReceivedClip,
            f"{CLIP_SQL} WHERE {here} AND {in_either} ORDER BY c.received_at, c.id",
            keys,
        ),
    )


def tallies(store: Store) -> dict[int, Tally]:
    """How many clips each client sent and how many wait, by the client's id; none if none."""
    found = store.db.structs(
        Tally,
        "SELECT client_id, count(*) AS clips, sum(state <> 'sent') AS waiting FROM clips"
        " GROUP BY client_id",
    )
    return {tally.client_id: tally for tally in found}


def _present_programmes(store: Store, on_date: dt.date) -> list[tuple[Client, Programme]]:
    programmes = store.all_programmes()
    pairs = []
    for person in clients(store):
        programme = programme_on(programmes.get(person.id, ()), on_date)
        if programme is not None and on_date <= _ends_on(programme):
            pairs.append((person, programme))
    return pairs


def _ends_on(programme: Programme) -> dt.date:
    return programme.ends_week_on(len(programme.weeks) + _WEEKS_AFTER)
