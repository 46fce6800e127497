"""What the casebook tells: frozen data. Paths of a client's files are below the client's folder."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Final, Literal, get_args

from msgspec import Struct

from cliptag.consent import ConsentWord
from cliptag.review import ConsentPurpose

State = Literal["new", "in_work", "done", "exported", "sent"]
"""``done``: the coach has said all, and the take-home is due. ``exported``: it is made."""
STATES: Final[tuple[State, ...]] = get_args(State)
STATE_WORDS: Final[dict[State, str]] = {
    "new": "new",
    "in_work": "in work",
    "done": "done",
    "exported": "exported",
    "sent": "sent",
}
TOPICS: Final = ("sitting", "standing", "bending", "lifting")
"""The topics that are offered; a plan may name any other."""
ANSWER_DAYS: Final = 3
"""In how many days a client has an answer unless the coach says otherwise."""


class Client(Struct, frozen=True, kw_only=True):
    """A person who sends clips. ``folder`` is its name below ``clients``."""

    id: int
    name: str
    folder: str
    language: str = "en"
    contact: str = ""
    notes: str = ""
    created_on: dt.date


class PlanWeek(Struct, frozen=True, kw_only=True):
    """One week of a programme; ``week`` counts from 1."""

    week: int
    topic: str


class Programme(Struct, frozen=True, kw_only=True):
    """A client's weeks, the coach's own plan; ``number`` counts a client's programmes from 1."""

    id: int
    client_id: int
    number: int
    name: str
    starts_on: dt.date
    weeks: tuple[PlanWeek, ...] = ()

    def week_on(self, on_date: dt.date) -> int | None:
        """Which week a day is in; None before the first and after the last."""
        week = (on_date - self.starts_on).days // 7 + 1
        return week if 1 <= week <= len(self.weeks) else None

    def ends_week_on(self, week: int) -> dt.date:
        """The last day of a week."""
        return self.starts_on + dt.timedelta(days=7 * week - 1)

    def topic_of(self, week: int | None) -> str | None:
        """What a week is about."""
        return next((planned.topic for planned in self.weeks if planned.week == week), None)


class ReceivedClip(Struct, frozen=True, kw_only=True):
    """A clip that a client sent, and how far its review is.

    ``path`` and ``review`` are below the client's folder. ``digest`` tells files apart,
    ``checksum`` is of every byte (BLAKE2b). ``came_from`` is the file it was copied from.
    """

    id: int
    client_id: int
    client: str
    folder: str
    programme_id: int | None = None
    week: int | None = None
    topic: str | None = None
    path: str
    review: str
    state: State
    due_on: dt.date
    received_at: dt.datetime
    recorded_on: dt.date | None = None
    original_name: str
    came_from: str
    size_bytes: int
    digest: str
    checksum: str
    duration_us: int
    tells_place: bool
    tells_device: bool

    @property
    def received_on(self) -> dt.date:
        """The day by the coach's own clock."""
        return self.received_at.astimezone().date()


class KeptTakeHome(Struct, frozen=True, kw_only=True):
    """A take-home that was made of a clip's review, and when it was sent.

    ``folder`` is below the client's folder, or absolute where it lies elsewhere. ``digest`` is of
    all its files.
    """

    id: int
    clip_id: int
    folder: str
    purpose: ConsentPurpose
    digest: str
    made_at: dt.datetime
    sent_at: dt.datetime | None = None
    sent_how: str = ""


class ClientRecord(Struct, frozen=True, kw_only=True):
    """All that the casebook knows of one client; kept readable as ``client.json``."""

    schema: Literal["cliptag-client/1"] = "cliptag-client/1"
    client: Client
    programmes: tuple[Programme, ...] = ()
    clips: tuple[ReceivedClip, ...] = ()
    take_homes: tuple[KeptTakeHome, ...] = ()
    consent: tuple[ConsentWord, ...] = ()


class Imported(Struct, frozen=True, kw_only=True):
    """What became of a file that was added; ``sentence`` says it.

    A file that is there already is not copied again: then ``clip`` is the one that is there.
    """

    clip: ReceivedClip
    is_new: bool
    sentence: str


class Missing(Struct, frozen=True, kw_only=True):
    """A clip that a plan asks for and that has not come; ``due_on`` is the week's last day."""

    client: str
    week: int
    topic: str
    due_on: dt.date
    is_late: bool


class Day(Struct, frozen=True, kw_only=True):
    """What a day asks of the coach. Each clip stands in just one of the first three."""

    on_date: dt.date
    to_review: tuple[ReceivedClip, ...]
    to_export: tuple[ReceivedClip, ...]
    to_send: tuple[ReceivedClip, ...]
    late: tuple[ReceivedClip, ...]
    """Those of the above that should have been sent before this day."""
    missing: tuple[Missing, ...]
    without_consent: tuple[int, ...]
    """The ids of those of the above that may not be sent back on this day."""


class Tally(Struct, frozen=True, kw_only=True):
    """How many clips a client sent, and how many of them wait for something."""

    client_id: int
    clips: int
    waiting: int


class Found(Struct, frozen=True, kw_only=True):
    """What a search found."""

    clients: tuple[Client, ...]
    clips: tuple[ReceivedClip, ...]


class Problem(Struct, frozen=True, kw_only=True):
    """Something that is not as it should be; ``can_mend`` when repair can put it right."""

    kind: Literal["database", "missing", "changed", "unknown", "record", "review", "leftover"]
    path: str
    sentence: str
    can_mend: bool


class Erased(Struct, frozen=True, kw_only=True):
    """What was erased. ``outside`` are files of the client elsewhere, which were left alone."""

    tombstone: str
    files: int
    bytes: int
    traces: int
    outside: tuple[Path, ...]
