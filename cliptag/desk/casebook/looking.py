"""What the casebook says at one moment: the day, all clients, and one of them in full."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from cliptag.casebook import (
    Casebook,
    Client,
    ClientRecord,
    ConsentStanding,
    Day,
    Programme,
    ReceivedClip,
    WeekStanding,
    consent_of,
    present_programme,
    weeks_of,
)


@dataclass(frozen=True, slots=True)
class Standing:
    """What the casebook says just now: the day, all clients, and the one whose page is open."""

    day: Day
    clients: tuple[Client, ...]
    file: ClientFile | None


@dataclass(frozen=True, slots=True)
class ClientFile:
    """All that a client's page shows."""

    record: ClientRecord
    home: Path
    """The client's folder."""
    programme: Programme | None
    weeks: tuple[WeekStanding, ...]
    consent: tuple[ConsentStanding, ...]
    refused: frozenset[int]
    """The clips that may not be sent back on this day."""


def look(book: Casebook, name: str | None) -> Standing:
    """See how everything stands, with the file of the client of that name."""
    book.refresh()
    day, clients = book.day(), book.clients()
    known = name is not None and any(person.name == name for person in clients)
    return Standing(day, clients, _file(book, str(name), day.on_date) if known else None)


def _file(book: Casebook, name: str, today: dt.date) -> ClientFile:
    record = book.record(name)
    programme = present_programme(record.programmes, today)
    return ClientFile(
        record=record,
        home=book.client_folder(record.client),
        programme=programme,
        weeks=weeks_of(programme, record.clips, today) if programme else (),
        consent=consent_of(record.consent, today),
        refused=_refused(book, record.clips),
    )


def _refused(book: Casebook, clips: Sequence[ReceivedClip]) -> frozenset[int]:
    return frozenset(
        kept.id for kept in clips if book.why_not_allowed(kept.id, "private_feedback") is not None
    )
