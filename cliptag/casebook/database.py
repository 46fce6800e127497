"""The one SQLite file: opened safely, brought up to date, written in whole transactions."""

from __future__ import annotations

import datetime as dt
import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import Any, Final, TypeVar

import msgspec

from cliptag.casebook import schema
from cliptag.consent import CASEBOOK_FILE
from cliptag.errors import CasebookError, CasebookSchemaError
from cliptag.files import sync_file, sync_folder

BACKUPS: Final = "backups"
WAIT_MS: Final = 15_000
_NEEDED: Final = (3, 37)  # STRICT tables
_T = TypeVar("_T")
Value = str | int | None


class Database:
    """An open casebook file; for one thread. Raises CasebookError for all that SQLite raises."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.file = folder / CASEBOOK_FILE
        if sqlite3.sqlite_version_info < _NEEDED:
            raise CasebookError(
                f"The casebook needs SQLite 3.37 or newer; this Python has "
                f"{sqlite3.sqlite_version}: use a newer Python."
            )
        with self._told():
            self._db = sqlite3.connect(self.file, timeout=WAIT_MS / 1000, isolation_level=None)
        try:
            with self._told():
                self._set_up()
            self._update()
        except BaseException:
            self.close()
            raise

    def close(self) -> None:
        """Close the file; harmless when it is closed."""
        self._db.close()

    def all(self, sql: str, values: Sequence[Value] = ()) -> list[tuple[Any, ...]]:
        """All rows of a query."""
        with self._told():
            return self._db.execute(sql, values).fetchall()

    def one(self, sql: str, values: Sequence[Value] = ()) -> tuple[Any, ...] | None:
        """The first row of a query, or None."""
        rows = self.all(sql, values)
        return rows[0] if rows else None

    def structs(self, kind: type[_T], sql: str, values: Sequence[Value] = ()) -> tuple[_T, ...]:
        """The rows of a query as structs: its columns are named as the struct's fields."""
        with self._told():
            cursor = self._db.execute(sql, values)
            names = [column[0] for column in cursor.description]
            rows = [dict(zip(names, row, strict=True)) for row in cursor]
        try:
            return tuple(msgspec.convert(rows, list[kind], strict=False))  # type: ignore[valid-type]
        except msgspec.ValidationError as error:
            raise CasebookError(
                f"The casebook at {self.folder} holds something that it should not ({error}): run "
                "cliptag casebook check."
            ) from error

    def do(self, sql: str, values: Sequence[Value] = ()) -> int:
        """Change rows, inside ``writing``; gives the id of a row that was put in."""
        with self._told():
            return self._db.execute(sql, values).lastrowid or 0

    @contextmanager
    def writing(self) -> Iterator[None]:
        """One change, whole or not at all. Other programs wait for their turn to write."""
        with self._told():
            self._db.execute("BEGIN IMMEDIATE")
        try:
            yield
            with self._told():
                self._db.execute("COMMIT")
        except BaseException:
            with suppress(sqlite3.Error):
                if self._db.in_transaction:
                    self._db.execute("ROLLBACK")
            raise

    def back_up(self, why: str) -> Path:
        """Copy the file, as it is by its last change, to the folder of backups."""
        now = dt.datetime.now(dt.UTC)
        target = self.folder / BACKUPS / f"casebook-{why}-{now:%Y%m%dT%H%M%S%f}.db"
        part = target.with_suffix(".part")
        with self._told():
            target.parent.mkdir(exist_ok=True)
            # Another connection sees only what is committed.
            with (
                closing(sqlite3.connect(self.file)) as source,
                closing(sqlite3.connect(part)) as copy,
            ):
                source.backup(copy)
            sync_file(part)
            part.replace(target)
            sync_folder(target.parent)
        return target

    def problems(self) -> list[str]:
        """What SQLite itself finds wrong; nothing when the file is sound."""
        try:
            found = [row[0] for row in self.all("PRAGMA integrity_check(20)")]
            broken = self.all("PRAGMA foreign_key_check")
        except CasebookError as error:
            if is_damage(error.__cause__):
                return [str(error.__cause__)]
            raise
        lines = [line for line in found if line != "ok"]
        return lines + [f"a row of {row[0]} names one that is not there" for row in broken]

    def wipe_free_pages(self) -> None:
        """Leave nothing of deleted rows in the file or its log."""
        with self._told():
            self._checkpoint()
            self._db.execute("VACUUM")
            self._checkpoint()

    def _checkpoint(self) -> None:
        busy, _, _ = self._db.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        if busy:
            raise CasebookError(
                "Another program is reading the casebook, so deleted rows can't be wiped out of "
                "its file yet: close the other program, then open the casebook again."
            )

    def _set_up(self) -> None:
        self._db.execute(f"PRAGMA busy_timeout = {WAIT_MS}")
        mode = self._write_ahead()
        if mode != "wal":
            raise CasebookError(
                f"The casebook at {self.folder} lies on a disk that can't keep it safe (a network "
                "drive?): move its folder to this computer's own disk."
            )
        for setting in (
            "synchronous = FULL",
            "foreign_keys = ON",
            "secure_delete = ON",  # deleted rows are overwritten
            "temp_store = MEMORY",  # nothing personal in temporary files
            "trusted_schema = OFF",
        ):
            self._db.execute(f"PRAGMA {setting}")

    def _write_ahead(self) -> str:
        """Turn the write-ahead log on; SQLite doesn't wait for another that does so just now."""
        until = time.monotonic() + WAIT_MS / 1000
        while True:
            try:
                return str(self._db.execute("PRAGMA journal_mode = WAL").fetchone()[0])
            except sqlite3.OperationalError as error:
                if not _is_busy(error) or time.monotonic() > until:
                    raise
                time.sleep(0.02)

    def _version(self) -> int:
        with self._told():
            return int(self._db.execute("PRAGMA user_version").fetchone()[0])

    def _update(self) -> None:
        """Bring an older file up to date, after a backup, in one change."""
        if self._version() > schema.VERSION:
            raise CasebookSchemaError(
                f"The casebook at {self.folder} was written by a newer cliptag: update cliptag; "
                "the casebook is as it was."
            )
        if self._version() == schema.VERSION:
            return
        with self.writing():
            version = self._version()  # another program may have been first
            if version and version < schema.VERSION:
                self.back_up(f"v{version}")
            for step in schema.STEPS[version:]:
                for statement in step:
                    self.do(statement)
            self.do(f"PRAGMA user_version = {schema.VERSION}")

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Turn what SQLite and the disk raise into a sentence."""
        try:
            yield
        except sqlite3.Error as error:
            raise CasebookError(_sentence(self.folder, error)) from error
        except OSError as error:
            raise cannot_write(self.folder, error) from error


def is_damage(error: BaseException | None) -> bool:
    """Whether an error of SQLite means that the file itself is damaged."""
    return _code(error) in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB)


def cannot_write(folder: Path, error: OSError) -> CasebookError:
    """The sentence for a disk that is full or may not be written."""
    return CasebookError(
        f"The casebook at {folder} can't be written ({error.strerror or error}); what is in it is "
        "as it was. Free some space, or move the casebook to a folder that may be read and written."
    )


def _code(error: BaseException | None) -> int:
    """SQLite's primary result code, 0 for any other error."""
    return int(getattr(error, "sqlite_errorcode", 0)) & 0xFF


def _is_busy(error: BaseException) -> bool:
    return _code(error) in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED)


def _sentence(folder: Path, error: sqlite3.Error) -> str:
    if is_damage(error):
        return (
            f"The casebook's file in {folder} is damaged ({error}): run cliptag casebook repair, "
            "which makes it anew from the clients' folders."
        )
    if _is_busy(error):
        return "Another program is writing the casebook: wait a moment, then try again."
    if _code(error) == sqlite3.SQLITE_FULL:
        return (
            f"The disk of the casebook at {folder} is full; what is in it is as it was. "
            "Free some space, then try again."
        )
    return (
        f"The casebook at {folder} can't be used ({error}); what is in it is as it was. Free some "
        "space, or move the casebook to a folder that may be read and written."
    )
