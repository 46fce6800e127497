BEGIN TRANSACTION;
CREATE TABLE clients (
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
    ) STRICT;
INSERT INTO "clients" VALUES(1,'Ines','ines','Ines',NULL,'en','ines@example.org','repairs violins','ines ines@example.org repairs violins','2026-11-25');
CREATE TABLE clips (
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
    ) STRICT;
INSERT INTO "clips" VALUES(1,1,1,1,'sitting','week-01/IMG_0412.mp4','week-01/IMG_0412.review.json','new','76b52537ae7f424fda942342a983d2fc','1795620293783591104-873','2026-03-05','2026-03-02T12:00:00+00:00',NULL,'IMG_0412.mp4','/phone/IMG_0412.mp4','img_0412.mp4 week-01/img_0412.mp4 sitting',2576,'3f452257c92c93cfe74924448ddcbc87','c929b207112c045adb8a6c4aef4f5f3024c270af7870d68725b29808e2dd344b',200000,0,0);
CREATE TABLE consent_words (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        client_id INTEGER NOT NULL REFERENCES clients ON DELETE CASCADE,
        clip_id INTEGER REFERENCES clips ON DELETE CASCADE,
        is_given INTEGER NOT NULL,
        covers TEXT NOT NULL,
        said_on TEXT NOT NULL,
        how TEXT NOT NULL,
        until TEXT,
        message TEXT
    ) STRICT;
INSERT INTO "consent_words" VALUES(1,1,NULL,1,'private_feedback','2026-03-02','e-mail',NULL,'consent/2026-03-02 given.txt');
CREATE TABLE erasures (
        id TEXT PRIMARY KEY,
        begun_on TEXT NOT NULL,
        client_id INTEGER,
        done_on TEXT
    ) STRICT, WITHOUT ROWID;
CREATE TABLE programme_weeks (
        programme_id INTEGER NOT NULL REFERENCES programmes ON DELETE CASCADE,
        week INTEGER NOT NULL CHECK (week >= 1),
        topic TEXT NOT NULL,
        PRIMARY KEY (programme_id, week)
    ) STRICT, WITHOUT ROWID;
INSERT INTO "programme_weeks" VALUES(1,1,'sitting');
INSERT INTO "programme_weeks" VALUES(1,2,'sitting');
INSERT INTO "programme_weeks" VALUES(1,3,'sitting');
INSERT INTO "programme_weeks" VALUES(1,4,'standing');
INSERT INTO "programme_weeks" VALUES(1,5,'standing');
INSERT INTO "programme_weeks" VALUES(1,6,'bending');
INSERT INTO "programme_weeks" VALUES(1,7,'bending');
INSERT INTO "programme_weeks" VALUES(1,8,'bending');
INSERT INTO "programme_weeks" VALUES(1,9,'lifting');
INSERT INTO "programme_weeks" VALUES(1,10,'lifting');
CREATE TABLE programmes (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        client_id INTEGER NOT NULL REFERENCES clients ON DELETE CASCADE,
        number INTEGER NOT NULL,
        name TEXT NOT NULL,
        starts_on TEXT NOT NULL,
        UNIQUE (client_id, number)
    ) STRICT;
INSERT INTO "programmes" VALUES(1,1,1,'Programme 1','2026-03-02');
CREATE TABLE take_homes (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        clip_id INTEGER NOT NULL REFERENCES clips ON DELETE CASCADE,
        folder TEXT NOT NULL,
        purpose TEXT NOT NULL,
        digest TEXT NOT NULL,
        made_at TEXT NOT NULL,
        sent_at TEXT,
        sent_how TEXT NOT NULL DEFAULT '',
        UNIQUE (clip_id, folder)
    ) STRICT;
CREATE TABLE unwritten (
        client_id INTEGER PRIMARY KEY REFERENCES clients ON DELETE CASCADE
    , with_consent INTEGER NOT NULL DEFAULT 1) STRICT;
CREATE INDEX clips_by_state ON clips (state) WHERE state <> 'sent';
CREATE INDEX clips_by_week ON clips (programme_id, week);
CREATE INDEX consent_by_client ON consent_words (client_id);
CREATE INDEX consent_by_clip ON consent_words (clip_id);
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('clients',1);
INSERT INTO "sqlite_sequence" VALUES('programmes',1);
INSERT INTO "sqlite_sequence" VALUES('clips',1);
INSERT INTO "sqlite_sequence" VALUES('consent_words',1);
COMMIT;
PRAGMA user_version = 2;
