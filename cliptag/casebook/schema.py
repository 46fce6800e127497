"""The casebook's tables, and how those of an older version become the present ones.

Each step brings the database from one version (``PRAGMA user_version``) to the next. A step that
was released is never changed.
"""

from __future__ import annotations

from typing import Final

Step = tuple[str, ...]

_FIRST: Final[Step] = (
    """CREATE TABLE clients (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        name TEXT NOT NULL,
        name_key TEXT NOT NULL UNIQUE,
        folder TEXT NOT NULL UNIQUE,
        next_folder TEXT,
        language TEXT NOT NULL,
        contact TEXT NOT NULL,
        notes TEXT NOT NULL,
        words TEXT NOT NULL,
        created_on TEXT NOT NULL
    ) STRICT""",
    """CREATE TABLE programmes (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        client_id INTEGER NOT NULL REFERENCES clients ON DELETE CASCADE,
        number INTEGER NOT NULL,
        name TEXT NOT NULL,
        starts_on TEXT NOT NULL,
        UNIQUE (client_id, number)
    ) STRICT""",
    """CREATE TABLE programme_weeks (
        programme_id INTEGER NOT NULL REFERENCES programmes ON DELETE CASCADE,
        week INTEGER NOT NULL CHECK (week >= 1),
        topic TEXT NOT NULL,
        PRIMARY KEY (programme_id, week)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE clips (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        client_id INTEGER NOT NULL REFERENCES clients ON DELETE CASCADE,
        programme_id INTEGER REFERENCES programmes ON DELETE SET NULL,
        week INTEGER,
        topic TEXT,
        path TEXT NOT NULL,
        review TEXT NOT NULL,
        state TEXT NOT NULL CHECK (state IN ('new', 'in_work', 'done', 'exported', 'sent')),
        fingerprint TEXT NOT NULL,
        stamp TEXT NOT NULL,
        due_on TEXT NOT NULL,
        received_at TEXT NOT NULL,
        recorded_on TEXT,
        original_name TEXT NOT NULL,
        came_from TEXT NOT NULL,
        words TEXT NOT NULL,
        size_bytes INTEGER NOT NULL,
        digest TEXT NOT NULL UNIQUE,
        checksum TEXT NOT NULL,
        duration_us INTEGER NOT NULL,
        tells_place INTEGER NOT NULL,
        tells_device INTEGER NOT NULL,
        UNIQUE (client_id, path),
        UNIQUE (client_id, review)
    ) STRICT""",
    "CREATE INDEX clips_by_state ON clips (state) WHERE state <> 'sent'",
    "CREATE INDEX clips_by_week ON clips (programme_id, week)",
    """CREATE TABLE take_homes (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        clip_id INTEGER NOT NULL REFERENCES clips ON DELETE CASCADE,
        folder TEXT NOT NULL,
        purpose TEXT NOT NULL,
        digest TEXT NOT NULL,
        made_at TEXT NOT NULL,
        sent_at TEXT,
        sent_how TEXT NOT NULL DEFAULT '',
        UNIQUE (clip_id, folder)
    ) STRICT""",
    """CREATE TABLE consent_words (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        client_id INTEGER NOT NULL REFERENCES clients ON DELETE CASCADE,
        clip_id INTEGER REFERENCES clips ON DELETE CASCADE,
        is_given INTEGER NOT NULL,
        covers TEXT NOT NULL,
        said_on TEXT NOT NULL,
        how TEXT NOT NULL,
        until TEXT,
        message TEXT
    ) STRICT""",
    "CREATE INDEX consent_by_client ON consent_words (client_id)",
    "CREATE INDEX consent_by_clip ON consent_words (clip_id)",
    # What the files of a client don't show yet: written with the change itself, so that after a
    # crash the next start knows what to write.
    """CREATE TABLE unwritten (
        client_id INTEGER PRIMARY KEY REFERENCES clients ON DELETE CASCADE
    ) STRICT""",
    # client_id tells what is still to be erased; it is gone once all is.
    """CREATE TABLE erasures (
        id TEXT PRIMARY KEY,
        begun_on TEXT NOT NULL,
        client_id INTEGER,
        done_on TEXT
    ) STRICT, WITHOUT ROWID""",
)

# Whether the reviews are to show another consent too; to look into all of them takes a while.
_CONSENT_APART: Final[Step] = (
    "ALTER TABLE unwritten ADD COLUMN with_consent INTEGER NOT NULL DEFAULT 1",
)

STEPS: Final[tuple[Step, ...]] = (_FIRST, _CONSENT_APART)
VERSION: Final = len(STEPS)
