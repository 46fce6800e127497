"""The SQLite file: safe settings, old and newer versions, two programs at once, full disks."""

from __future__ import annotations

import contextlib
import sqlite3
import subprocess
import sys
import tempfile
import textwrap
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.casebooks import everything_in, with_ines

from cliptag.casebook import Casebook, schema
from cliptag.errors import CasebookError, CasebookSchemaError

OLD = Path(__file__).parent / "old"


def asked(folder: Path, sql: str) -> list[tuple]:
    with contextlib.closing(sqlite3.connect(folder / "casebook.db")) as db:
        return db.execute(sql).fetchall()


def test_the_file_is_kept_by_the_settings_that_lose_nothing(book: Casebook):
    told = {
        name: book._store.db.one(f"PRAGMA {name}")[0]
        for name in ("journal_mode", "synchronous", "foreign_keys", "secure_delete", "temp_store")
    }
    # https://www.sqlite.org/pragma.html: synchronous 2 is FULL, temp_store 2 is MEMORY.
    assert told == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "secure_delete": 1,
        "temp_store": 2,
    }
    strict = asked(book.folder, "SELECT name, strict FROM pragma_table_list WHERE type = 'table'")
    assert {name for name, is_strict in strict if not is_strict} == {
        "sqlite_schema",
        "sqlite_temp_schema",
        "sqlite_sequence",
    }
    assert asked(book.folder, "PRAGMA user_version") == [(schema.VERSION,)]


def test_a_file_of_each_released_version_opens_with_all_that_was_in_it(tmp_path: Path):
    for number in range(1, schema.VERSION + 1):
        folder = tmp_path / f"v{number}"
        folder.mkdir()
        with contextlib.closing(sqlite3.connect(folder / "casebook.db")) as db:
            db.executescript((OLD / f"v{number}.sql").read_text("utf-8"))
        with Casebook.open(folder) as book:
            record = book.record("Ines")
        assert (record.client.notes, len(record.programmes[0].weeks)) == ("repairs violins", 10)
        assert [clip.path for clip in record.clips] == ["week-01/IMG_0412.mp4"]
        assert record.consent[0].message == "consent/2026-03-02 given.txt"
        assert asked(folder, "PRAGMA user_version") == [(schema.VERSION,)]
        assert (folder / "backups").exists() == (number < schema.VERSION)


def test_a_step_to_a_newer_version_keeps_a_backup_of_the_old_file(
    book: Casebook, monkeypatch: pytest.MonkeyPatch
):
    book.close()
    steps = (*schema.STEPS, ("ALTER TABLE clients ADD COLUMN colour TEXT NOT NULL DEFAULT 'blue'",))
    monkeypatch.setattr(schema, "STEPS", steps)
    monkeypatch.setattr(schema, "VERSION", len(steps))
    with Casebook.open(book.folder) as again:
        assert again.client("Ines").notes == "repairs violins"
    assert asked(book.folder, "SELECT colour FROM clients") == [("blue",)]
    (backup,) = (book.folder / "backups").iterdir()
    with contextlib.closing(sqlite3.connect(backup)) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (schema.VERSION - 1,)
        assert db.execute("SELECT name FROM clients").fetchall() == [("Ines",)]
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_step_that_fails_leaves_the_file_as_it_was(
    book: Casebook, monkeypatch: pytest.MonkeyPatch
):
    book.close()
    before = list(sqlite3.connect(book.folder / "casebook.db").iterdump())
    steps = (*schema.STEPS, ("ALTER TABLE clients ADD COLUMN x TEXT", "no such statement"))
    with monkeypatch.context() as patch:
        patch.setattr(schema, "STEPS", steps)
        patch.setattr(schema, "VERSION", len(steps))
        with pytest.raises(CasebookError, match="is as it was"):
            Casebook.open(book.folder)
    assert list(sqlite3.connect(book.folder / "casebook.db").iterdump()) == before
    with Casebook.open(book.folder) as again:
        assert again.client("Ines").id == 1


def test_a_newer_programs_file_is_not_touched(book: Casebook):
    book.close()
    with contextlib.closing(sqlite3.connect(book.folder / "casebook.db")) as db:
        db.execute(f"PRAGMA user_version = {schema.VERSION + 1}")
    before = (book.folder / "casebook.db").read_bytes()
    with pytest.raises(CasebookSchemaError, match="newer cliptag"):
        Casebook.open(book.folder)
    assert (book.folder / "casebook.db").read_bytes() == before


WRITER = """
    import sys
    from pathlib import Path
    from cliptag.casebook import Casebook
    folder, who = sys.argv[1:]
    with Casebook.make(folder) as book:
        for number in range(15):
            book.add_client(f"{who} {number}")
            book.change_client(f"{who} {number}", notes="seen")
"""


def test_programs_that_write_at_once_all_get_their_turn(tmp_path: Path):
    folder = tmp_path / "shared"
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", textwrap.dedent(WRITER), str(folder), who],
            stderr=subprocess.PIPE,
            text=True,
        )
        for who in ("Ada", "Bo", "Cy")
    ]
    for writer in writers:
        assert writer.communicate(timeout=120)[1] == "" and writer.returncode == 0
    with Casebook.open(folder) as book:
        assert len(book.clients()) == 45
        assert {client.notes for client in book.clients()} == {"seen"}
        assert book.check() == ()


def test_two_programs_that_take_in_the_same_clip_take_it_in_once(book: Casebook, new_clip):
    source = new_clip()
    script = (
        "import sys; from cliptag.casebook import Casebook\n"
        "with Casebook.open(sys.argv[1]) as book: print(book.add('Ines', [sys.argv[2]])[0].is_new)"
    )
    command = [sys.executable, "-c", script, str(book.folder), str(source)]
    adders = [subprocess.Popen(command, stdout=subprocess.PIPE, text=True) for _ in range(3)]
    told = sorted(adder.communicate(timeout=120)[0].strip() for adder in adders)
    assert told == ["False", "False", "True"]
    assert len(book.clips()) == 1 and book.check() == ()


def test_what_another_program_holds_too_long_is_told(
    book: Casebook, monkeypatch: pytest.MonkeyPatch
):
    with contextlib.closing(sqlite3.connect(book.folder / "casebook.db")) as other:
        other.execute("BEGIN IMMEDIATE")
        book._store.db._db.execute("PRAGMA busy_timeout = 50")
        with pytest.raises(CasebookError, match="Another program is writing"):
            book.add_client("Otto")
        assert [client.name for client in book.clients()] == ["Ines"]  # reading goes on
        other.execute("ROLLBACK")
    assert book.add_client("Otto").name == "Otto"


@contextlib.contextmanager
def small_disk(folder: Path, size: str) -> Iterator[Path]:
    """A disk of its own in memory; skips where none can be mounted."""
    folder.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(folder)]
    try:
        is_mounted = subprocess.run(mount, capture_output=True, check=False).returncode == 0
    except OSError:
        is_mounted = False
    if not is_mounted:
        pytest.skip("a small disk can't be mounted here")
    try:
        yield folder
    finally:
        subprocess.run(["umount", "-l", str(folder)], check=True)


def test_on_a_full_disk_each_change_is_whole_or_refused(tmp_path: Path, new_clip):
    with small_disk(tmp_path / "disk", "900k") as disk, with_ines(disk / "book") as book:
        clips, names = [], {"Ines"}
        with pytest.raises(CasebookError, match="ree some space"):
            for number in range(200):
                clips += book.add("Ines", [new_clip(f"{number}.mp4")])
                book.add_client(f"Client {number}")
                names.add(f"Client {number}")
        assert len(clips) >= 3
        told = {entry.clip.id for entry in clips}
        assert {clip.id for clip in book.clips()} == told
        assert {client.name for client in book.clients()} == names
        assert all(book.clip_path(clip).is_file() for clip in book.clips())
        assert [p.kind for p in book.check() if p.kind not in ("record", "leftover")] == []
        book.close()
        with Casebook.open(book.folder) as again:
            assert len(again.clips()) == len(clips)


def test_files_that_may_grow_no_further_are_told_of_and_lose_nothing(tmp_path: Path):
    """The limit stands for a full disk where none can be mounted (setrlimit(2), RLIMIT_FSIZE)."""
    with with_ines(tmp_path / "book") as book:
        pass
    script = """
        import resource, signal, sys
        from cliptag.casebook import Casebook
        from cliptag.errors import CasebookError
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        book = Casebook.open(sys.argv[1])
        resource.setrlimit(resource.RLIMIT_FSIZE, (40_000, 40_000))
        try:
            for number in range(1000):
                book.add_client(f"Client {number}", notes="x" * 2000)
                print(number, flush=True)
        except CasebookError as error:
            print(error, file=sys.stderr)
    """
    command = [sys.executable, "-c", textwrap.dedent(script), str(book.folder)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120, check=True)
    assert "ree some space" in done.stderr
    acknowledged = {f"Client {number}" for number in done.stdout.split()}
    with Casebook.open(book.folder) as again:
        assert {client.name for client in again.clients()} == acknowledged | {"Ines"}
        assert again.check() == ()


def test_a_folder_that_may_not_be_written_is_told_of(new_clip):
    script = (
        "import os, sys\n"
        "from cliptag.casebook import Casebook\n"
        "from cliptag.errors import CasebookError\n"
        "if os.geteuid() == 0: os.setgid(65534); os.setuid(65534)\n"
        "try:\n"
        "    with Casebook.open(sys.argv[1]) as book: book.add_client('Otto')\n"
        "except CasebookError as error: print(error)\n"
    )
    # Not in the tests' own folder, which nobody else may enter.
    with tempfile.TemporaryDirectory() as top:
        with with_ines(Path(top) / "book") as book:
            book.add("Ines", [new_clip()])
        before = everything_in(book.folder)
        paths = [book.folder, *book.folder.rglob("*")]
        modes = {path: path.stat().st_mode & 0o7777 for path in (Path(top), *paths)}
        Path(top).chmod(0o755)
        for path in paths:
            path.chmod(0o555 if path.is_dir() else 0o444)
        try:
            command = [sys.executable, "-c", script, str(book.folder)]
            done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
            book.folder.chmod(0o000)
            closed = subprocess.run(
                command, capture_output=True, text=True, timeout=60, check=False
            )
        finally:
            for path, mode in modes.items():
                path.chmod(mode)
        assert "move the casebook to a folder that may be" in done.stdout, done.stderr
        assert "move the casebook to a folder that may be" in closed.stdout, closed.stderr
        assert everything_in(book.folder) == before
