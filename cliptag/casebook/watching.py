"""Noticing that a casebook has changed, whichever program changed it."""

from __future__ import annotations

import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from cliptag.consent import CASEBOOK_FILE


class Watch:
    """Asks the casebook's file whether it is another one; for one thread, without a lock.

    SQLite counts the changes of others on each connection
    (https://www.sqlite.org/pragma.html#pragma_data_version); this one never writes, so it hears
    of all.
    """

    def __init__(self, folder: Path) -> None:
        self._uri = f"{(folder / CASEBOOK_FILE).absolute().as_uri()}?mode=ro"
        self._db: sqlite3.Connection | None = None
        self._version: int | None = None

    def has_changed(self) -> bool:
        """Whether something was changed since this was asked last; False the first time."""
        version = self._ask()
        before, self._version = self._version, version
        return before is not None and version is not None and version != before

    def close(self) -> None:
        """Let go of the file; asked again, it is opened again."""
        if self._db is not None:
            self._db.close()
        self._db = None

    def _ask(self) -> int | None:
        with suppress(sqlite3.Error):
            if self._db is None:
                self._db = sqlite3.connect(self._uri, uri=True, timeout=1.0)
            with closing(self._db.execute("PRAGMA data_version")) as rows:
                return int(rows.fetchone()[0])
        return None
