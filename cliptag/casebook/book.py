"""The casebook as one thing: the door through which the command line and the desk go."""

from __future__ import annotations

import datetime as dt
import os
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

import platformdirs

from cliptag.casebook import (
    checking,
    clients,
    consents,
    days,
    erasing,
    exporting,
    handing,
    repairing,
    reviews,
)
from cliptag.casebook.job import ExportOutcome
from cliptag.casebook.model import (
    Client,
    ClientRecord,
    Day,
    Erased,
    Found,
    Imported,
    KeptTakeHome,
    Missing,
    Problem,
    Programme,
    ReceivedClip,
    State,
    Tally,
)
from cliptag.casebook.receiving import Wish, receive
from cliptag.casebook.store import Store, make_store, open_store
from cliptag.casebook.workers import Beat
from cliptag.consent import ConsentWord
from cliptag.review import ConsentPurpose

if TYPE_CHECKING:
    from cliptag.export import ExportOptions

FOLDER_VARIABLE: Final = "CLIPTAG_CASEBOOK"


def default_folder() -> Path:
    """Where the casebook lies unless one says otherwise: ``CLIPTAG_CASEBOOK``, else the user's
    own data folder.
    """
    told = os.environ.get(FOLDER_VARIABLE)
    if told:
        return Path(told)
    return platformdirs.user_data_path("cliptag", appauthor=False) / "casebook"


def repair_casebook(folder: str | Path) -> tuple[str, ...]:
    """Mend a casebook that may not open any more; gives one sentence for each thing done.

    Nothing is deleted: a damaged database is set aside in ``backups``. Raises CasebookError.
    """
    return repairing.repair(Path(folder))


class Casebook:
    """Clients, their programmes, consent, clips, reviews, and what was sent.

    with Casebook.open(folder) as book:
        book.add("Ines", [Path("IMG_0412.mov")], week=4)

    For one thread; other programs may have the same casebook open. Each change is whole, and on
    disk when the call returns. All calls raise CasebookError with a sentence for a person; then
    nothing was changed. Clients are named by their names, clips by their numbers.
    """

    def __init__(self, store: Store) -> None:
        self._store = store
        try:
            clients.finish_renames(store)
            erasing.finish_erasures(store)
            store.write_records()
        except BaseException:
            store.db.close()
            raise

    @classmethod
    def open(cls, folder: str | Path) -> Casebook:
        """Open the casebook in a folder; what a crash broke off is finished first."""
        return cls(open_store(Path(folder)))

    @classmethod
    def make(cls, folder: str | Path) -> Casebook:
        """Open the casebook in a folder, or begin one there if the folder is empty or new."""
        return cls(make_store(Path(folder)))

    def __enter__(self) -> Casebook:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def close(self) -> None:
        """Close it; harmless when it is closed."""
        self._store.db.close()

    @property
    def folder(self) -> Path:
        """Where it lies."""
        return self._store.folder

    # Clients and their programmes

    def clients(self) -> tuple[Client, ...]:
        """All clients by name."""
        return clients.clients(self._store)

    def client(self, name: str) -> Client:
        """The client of a name; case and accents don't count."""
        return clients.client(self._store, name)

    def add_client(
        self, name: str, *, language: str = "en", contact: str = "", notes: str = ""
    ) -> Client:
        """A new client; ``language`` is a code of ISO 639."""
        return clients.add_client(self._store, name, language, contact, notes)

    def change_client(
        self,
        name: str,
        *,
        new_name: str | None = None,
        language: str | None = None,
        contact: str | None = None,
        notes: str | None = None,
    ) -> Client:
        """Change what is given. A new name renames the client's folder too."""
        return clients.change_client(
            self._store,
            name,
            new_name=new_name,
            language=language,
            contact=contact,
            notes=notes,
        )

    def plan(
        self, name: str, *, starts_on: dt.date, topics: Sequence[str], title: str = ""
    ) -> Programme:
        """Begin a programme: a topic for each week, such as ``TOPICS`` or the coach's own."""
        return clients.plan(self._store, name, title, starts_on, topics)

    def change_plan(self, programme: Programme, topics: Sequence[str]) -> Programme:
        """Give a programme's weeks other topics, or another number of weeks."""
        return clients.change_plan(self._store, programme, topics)

    def programmes(self, name: str) -> tuple[Programme, ...]:
        """A client's programmes, the first one first."""
        return self._store.programmes(self.client(name).id)

    def record(self, name: str) -> ClientRecord:
        """Everything that is known of a client."""
        return self._store.record(self.client(name).id)

    # Clips and their reviews

    def add(
        self,
        name: str,
        paths: Sequence[str | Path],
        *,
        week: int | None = None,
        topic: str | None = None,
        received_at: dt.datetime | None = None,
        due_on: dt.date | None = None,
    ) -> tuple[Imported, ...]:
        """Copy clips into a client's week, and begin their reviews; one after the other.

        Week and topic follow from the day and the programme unless given. A clip that is there
        already, or is another client's, is told and not copied. Raises ClipError for a file that
        is no clip; those before it are in.
        """
        wish = Wish(week=week, topic=topic, received_at=received_at, due_on=due_on)
        return tuple(receive(self._store, name, Path(path), wish) for path in paths)

    def clip(self, clip_id: int) -> ReceivedClip:
        """The clip of a number."""
        return reviews.clip(self._store, clip_id)

    def clips(
        self, name: str | None = None, *, state: State | None = None
    ) -> tuple[ReceivedClip, ...]:
        """All clips, or a client's, or those in one state; the oldest first."""
        client_id = None if name is None else self.client(name).id
        return reviews.clips(self._store, client_id, state)

    def clip_of_file(self, path: str | Path) -> ReceivedClip | None:
        """The clip to which a file in the casebook's folder, a clip or a review, belongs."""
        return reviews.of_file(self._store, Path(path))

    def clip_path(self, clip: ReceivedClip) -> Path:
        """Where a clip lies."""
        return self._store.clip_path(clip)

    def client_folder(self, client: Client) -> Path:
        """Where all that is kept of a client lies: messages and take-homes are named below it."""
        return self._store.client_folder(client.folder)

    def review_path(self, clip: ReceivedClip) -> Path:
        """Where a clip's review lies: open this one in the desk."""
        return self._store.review_path(clip)

    def set_state(self, clip_id: int, state: State) -> ReceivedClip:
        """Say how far a review is: ``new``, ``in_work`` or ``done``."""
        return reviews.set_state(self._store, clip_id, state)

    def set_due(self, clip_id: int, due_on: dt.date) -> ReceivedClip:
        """Promise the answer by another day."""
        return reviews.set_due(self._store, clip_id, due_on)

    def refresh(self) -> tuple[ReceivedClip, ...]:
        """See which reviews were worked at since; gives the clips whose state changed."""
        return reviews.refresh(self._store)

    def take_homes(self, clip_id: int) -> tuple[KeptTakeHome, ...]:
        """What was made of a clip's review, the oldest first."""
        return self._store.take_homes(self.clip(clip_id).id)

    def mark_sent(
        self,
        clip_id: int,
        *,
        how: str = "",
        sent_at: dt.datetime | None = None,
        folder: str | Path | None = None,
    ) -> KeptTakeHome:
        """Put down that the newest take-home was sent; ``folder`` names one made elsewhere."""
        return reviews.mark_sent(
            self._store,
            clip_id,
            how,
            sent_at or dt.datetime.now(dt.UTC),
            None if folder is None else Path(folder),
        )

    # What a day asks, and finding things

    def day(self, on_date: dt.date | None = None) -> Day:
        """What waits, what is late, and what has not come."""
        return days.day(self._store, on_date or dt.date.today())

    def missing(
        self, on_date: dt.date | None = None, *, week: int | None = None
    ) -> tuple[Missing, ...]:
        """Which weeks brought no clip; ``week`` asks for that one: who has not sent week 4?"""
        return days.missing(self._store, on_date or dt.date.today(), week)

    def tallies(self) -> dict[int, Tally]:
        """How many clips each client sent and how many wait, by the client's id."""
        return days.tallies(self._store)

    def find(self, text: str) -> Found:
        """Clients and clips in which every word occurs; case and accents don't count."""
        return days.find(self._store, text)

    # Consent

    def record_consent(
        self,
        name: str,
        covers: Sequence[ConsentPurpose],
        *,
        given_on: dt.date,
        how: str,
        until: dt.date | None = None,
        message: str | Path | None = None,
        clip_id: int | None = None,
    ) -> ConsentWord:
        """Put down a consent, for all clips of a client or for one.

        ``message`` is what the client wrote, as text or as a file, which is copied. The client's
        reviews show the consent from then on.
        """
        return consents.record(
            self._store,
            name,
            is_given=True,
            covers=covers,
            said_on=given_on,
            how=how,
            until=until,
            message=message,
            clip_id=clip_id,
        )

    def withdraw_consent(
        self,
        name: str,
        covers: Sequence[ConsentPurpose],
        *,
        withdrawn_on: dt.date,
        how: str,
        message: str | Path | None = None,
        clip_id: int | None = None,
    ) -> ConsentWord:
        """Put down that a client doesn't agree any more, for all clips or for one."""
        return consents.record(
            self._store,
            name,
            is_given=False,
            covers=covers,
            said_on=withdrawn_on,
            how=how,
            until=None,
            message=message,
            clip_id=clip_id,
        )

    def why_not_allowed(
        self, clip_id: int, purpose: ConsentPurpose, on_date: dt.date | None = None
    ) -> str | None:
        """None when a clip may be shown for the purpose, else a sentence why not."""
        return consents.why_not_allowed(
            self._store, self.clip(clip_id), purpose, on_date or dt.date.today()
        )

    # What leaves, and what is forgotten

    def export_due(
        self,
        *,
        options: ExportOptions | None = None,
        workers: int | None = None,
        scheduler: str | None = None,
        heard: exporting.Heard | None = None,
        beat: Beat | None = None,
    ) -> tuple[ExportOutcome, ...]:
        """Make the take-home of every review that is done; gives what became of each.

        In ``workers`` processes here, or on the workers of the scheduler at an address (the extra
        ``cluster``). ``heard`` is told each outcome, how many are done, and how many there are.
        ``beat`` is called a few times a second while workers are busy here; what it raises stops
        them. What is finished by then stays.
        """
        from cliptag.export import ExportOptions

        return exporting.export_due(
            self._store,
            options=options or ExportOptions(),
            workers=workers,
            scheduler=scheduler,
            heard=heard,
            beat=beat,
        )

    def export_data(self, name: str, target: str | Path) -> Path:
        """Write all that is kept of a client to a new folder, or to a zip file."""
        return handing.hand_over(self._store, self.client(name).id, Path(target))

    def erase(self, name: str) -> Erased:
        """Forget a client for good: files, rows, backups, caches, recent files, log.

        What remains is a random number and the day.
        """
        return erasing.erase(self._store, self.client(name))

    def tombstones(self) -> tuple[tuple[str, dt.date], ...]:
        """What remains of erased clients: a random number and the day of each."""
        return erasing.tombstones(self._store)

    # Is it whole

    def check(self, *, every_byte: bool = False) -> tuple[Problem, ...]:
        """What is not as it should be; ``every_byte`` reads all clips and take-homes for it."""
        return checking.check(self._store, every_byte=every_byte)
