"""The casebook's folder and its database together, and how one becomes the other's mirror."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from itertools import groupby
from pathlib import Path
from typing import Final

import msgspec

from cliptag.casebook.database import Database, cannot_write
from cliptag.casebook.model import (
    Client,
    ClientRecord,
    KeptTakeHome,
    PlanWeek,
    Programme,
    ReceivedClip,
)
from cliptag.casebook.versions import stamp
from cliptag.consent import (
    CASEBOOK_FILE,
    CLIENTS,
    RECORD,
    WORD_COLUMNS,
    ConsentWord,
    consent_in_force,
    words_from_rows,
)
from cliptag.errors import CasebookError, ReviewError
from cliptag.files import write_bytes
from cliptag.review import edit, load_review, save_review

README: Final = "README.txt"
_README_TEXT: Final = """\
This folder is a casebook: what a coach keeps of the clients who send clips.

  clients/NAME/week-04/clip.mp4            a clip as the client sent it
  clients/NAME/week-04/clip.review.json    what the coach says about it
  clients/NAME/week-04/clip.take-home/     what was made for the client from both
  clients/NAME/consent/                    what the client wrote about being shown
  clients/NAME/client.json                 everything else that is known of the client, as text
  casebook.db                              the same as a database (SQLite), which the program reads
  backups/                                 copies of the database from before an update of it

Everything but the database can be read without the program. Use the program to add, move or delete
something; if files were moved by hand, "cliptag casebook check" tells and "cliptag casebook repair"
mends. The clips show people: keep this folder on a disk that is encrypted, and back it up as a
whole.
"""

CLIENT_SQL: Final = "SELECT id, name, folder, language, contact, notes, created_on FROM clients"
CLIP_SQL: Final = (
    "SELECT c.id, c.client_id, k.name AS client, k.folder, c.programme_id, c.week, c.topic,"
    " c.path, c.review, c.state, c.due_on, c.received_at, c.recorded_on, c.original_name,"
    " c.came_from, c.size_bytes, c.digest, c.checksum, c.duration_us, c.tells_place,"
    " c.tells_device FROM clips c JOIN clients k ON k.id = c.client_id"
)
_TAKE_HOME_SQL: Final = (
    "SELECT id, clip_id, folder, purpose, digest, made_at, sent_at, sent_how FROM take_homes"
)
IS_HERE: Final = "NOT EXISTS (SELECT 1 FROM erasures e WHERE e.client_id = {}.id)"
"""Nothing of a client whose erasure has begun is shown any more."""


class Store:
    """A casebook that is open; everything in this room works on one. For one thread."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.db = Database(folder)

    def client_folder(self, folder: str) -> Path:
        """The folder of a client."""
        return self.folder / CLIENTS / folder

    def clip_path(self, clip: ReceivedClip) -> Path:
        """Where a clip lies."""
        return self.client_folder(clip.folder) / clip.path

    def review_path(self, clip: ReceivedClip) -> Path:
        """Where a clip's review lies."""
        return self.client_folder(clip.folder) / clip.review

    @contextmanager
    def writing(self, client_id: int | None = None) -> Iterator[None]:
        """One change, whole or not at all; then the client's files are made to show it.

        Raises CasebookError when the disk is full or may not be written.
        """
        try:
            with self.db.writing():
                yield
                if client_id is not None:
                    self.touch(client_id)
        except OSError as error:
            raise cannot_write(self.folder, error) from error
        self.write_records()

    def touch(self, client_id: int) -> None:
        """Inside a change: have the client's record written after it."""
        self.db.do(
            "INSERT OR IGNORE INTO unwritten (client_id, with_consent) VALUES (?, 0)", (client_id,)
        )

    def touch_consent(self, client_id: int) -> None:
        """Inside a change: have the client's record and the consent in all reviews written."""
        self.db.do(
            "INSERT OR REPLACE INTO unwritten (client_id, with_consent) VALUES (?, 1)", (client_id,)
        )

    def write_records(self) -> None:
        """Write what the clients' files don't show yet; what can't be written is left for later."""
        if not self.db.one("SELECT 1 FROM unwritten"):
            return
        with suppress(OSError, CasebookError), self.db.writing():
            # In one change with its end, or what another program changes meanwhile would be lost.
            for client_id, with_consent in self.db.all(
                "SELECT client_id, with_consent FROM unwritten"
            ):
                record = self.record(client_id)
                self._write_record(record)
                if with_consent:
                    self._write_consent(record)
                self.db.do("DELETE FROM unwritten WHERE client_id = ?", (client_id,))

    def record(self, client_id: int) -> ClientRecord:
        """Everything that is known of a client."""
        only = (client_id,)
        clients = self.db.structs(Client, f"{CLIENT_SQL} WHERE id = ?", only)
        if not clients:
            raise CasebookError("This client is not in the casebook any more.")
        of_client = "WHERE clip_id IN (SELECT id FROM clips WHERE client_id = ?) ORDER BY id"
        return ClientRecord(
            client=clients[0],
            programmes=self.programmes(client_id),
            clips=self.db.structs(
                ReceivedClip, f"{CLIP_SQL} WHERE c.client_id = ? ORDER BY c.id", only
            ),
            take_homes=self.db.structs(KeptTakeHome, f"{_TAKE_HOME_SQL} {of_client}", only),
            consent=self.words(client_id),
        )

    def programmes(self, client_id: int) -> tuple[Programme, ...]:
        """A client's programmes, the first one first."""
        return self._programmes("WHERE p.client_id = ?", (client_id,)).get(client_id, ())

    def all_programmes(self) -> dict[int, tuple[Programme, ...]]:
        """Every client's programmes, by the client's id."""
        return self._programmes("", ())

    def _programmes(self, where: str, values: Sequence[int]) -> dict[int, tuple[Programme, ...]]:
        rows = self.db.all(
            "SELECT p.client_id, p.id, p.number, p.name, p.starts_on, w.week, w.topic"
            f" FROM programmes p JOIN programme_weeks w ON w.programme_id = p.id {where}"
            " ORDER BY p.client_id, p.number, w.week",
            values,
        )
        found: dict[int, list[Programme]] = {}
        for (client_id, id_, number, name, starts_on), weeks in groupby(rows, lambda row: row[:5]):
            programme = Programme(
                id=id_,
                client_id=client_id,
                number=number,
                name=name,
                starts_on=dt.date.fromisoformat(starts_on),
                weeks=tuple(PlanWeek(week=row[5], topic=row[6]) for row in weeks),
            )
            found.setdefault(client_id, []).append(programme)
        return {client_id: tuple(programmes) for client_id, programmes in found.items()}

    def words(self, client_id: int) -> tuple[ConsentWord, ...]:
        """What a client said about being shown, in the order in which it was recorded."""
        sql = f"SELECT {WORD_COLUMNS} FROM consent_words w WHERE w.client_id = ? ORDER BY w.id"
        return words_from_rows(self.db.all(sql, (client_id,)))

    def all_words(self) -> dict[int, tuple[ConsentWord, ...]]:
        """Every client's words, by the client's id."""
        sql = f"SELECT w.client_id, {WORD_COLUMNS} FROM consent_words w ORDER BY w.client_id, w.id"
        rows = groupby(self.db.all(sql), lambda row: int(row[0]))
        return {id_: words_from_rows(row[1:] for row in group) for id_, group in rows}

    def take_homes(self, clip_id: int) -> tuple[KeptTakeHome, ...]:
        """What was made of a clip's review, the oldest first."""
        sql = f"{_TAKE_HOME_SQL} WHERE clip_id = ? ORDER BY id"
        return self.db.structs(KeptTakeHome, sql, (clip_id,))

    def _write_record(self, record: ClientRecord) -> None:
        folder = self.client_folder(record.client.folder)
        folder.mkdir(parents=True, exist_ok=True)
        write_bytes(folder / RECORD, encode_record(record))

    def _write_consent(self, record: ClientRecord) -> None:
        today = dt.date.today()
        for clip in record.clips:
            path = self.review_path(clip)
            with suppress(ReviewError):  # a damaged or missing one is told by the check
                review = load_review(path)
                consent = consent_in_force(record.consent, clip.id, today)
                if review.consent != consent:
                    before = stamp(path)
                    save_review(edit.with_fields(review, consent=consent), path)
                    self.db.do(
                        "UPDATE clips SET stamp = ? WHERE id = ? AND stamp = ?",
                        (stamp(path), clip.id, before),
                    )


def encode_record(record: ClientRecord) -> bytes:
    """A client's record as the bytes of its file."""
    return msgspec.json.format(msgspec.json.encode(record), indent=2) + b"\n"


def open_store(folder: Path) -> Store:
    """Open the casebook in a folder. Raises CasebookError when there is none."""
    folder = folder.absolute()
    if not _has_database(folder):
        if (folder / CLIENTS).is_dir():
            raise CasebookError(
                f"The casebook at {folder} has lost its file casebook.db: run cliptag casebook "
                "repair, which makes it anew from the clients' folders."
            )
        raise CasebookError(
            f"There is no casebook at {folder}: name its folder with --book, or begin one by "
            "adding a client (cliptag casebook client NAME)."
        )
    return Store(folder)


def make_store(folder: Path) -> Store:
    """Open the casebook in a folder, or begin one there."""
    folder = folder.absolute()
    if _has_database(folder) or (folder / CLIENTS).is_dir():
        return open_store(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
        strange = {
            path.name
            for path in folder.iterdir()
            if not path.name.startswith((".", README, CASEBOOK_FILE))  # what a crash left
        }
        if strange:
            raise CasebookError(
                f"{folder} holds something else ({min(strange)}): choose an empty folder for the "
                "casebook."
            )
        lay_out(folder)
    except OSError as error:
        raise cannot_write(folder, error) from error
    store = Store(folder)
    try:
        (folder / CLIENTS).mkdir(exist_ok=True)
    except OSError as error:
        store.db.close()
        raise cannot_write(folder, error) from error
    return store


def lay_out(folder: Path) -> None:
    """Put the words for people into the casebook's folder."""
    if not (folder / README).exists():
        write_bytes(folder / README, _README_TEXT.encode())


def _has_database(folder: Path) -> bool:
    file = folder / CASEBOOK_FILE
    try:
        return file.is_file() and file.stat().st_size > 0
    except OSError as error:
        raise cannot_write(folder, error) from error
