"""The folder reads without the program, is checked against the database, and mends it."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from support.casebooks import MONDAY, everything_in, noon, say_something

from cliptag.casebook import Casebook, Problem, repair_casebook
from cliptag.clip import digest_of
from cliptag.errors import CasebookError
from cliptag.review import load_review


@pytest.fixture
def full(book: Casebook, new_clip) -> Casebook:
    """With two clips, one of them reviewed, and consent with a message."""
    clips = book.add("Ines", [new_clip("a.mp4"), new_clip("b.mp4")], received_at=noon(MONDAY))
    say_something(book, clips[0].clip.id)
    book.refresh()
    book.record_consent("Ines", ["public"], given_on=MONDAY, how="form", message="Yes.")
    return book


def kinds(problems: tuple[Problem, ...]) -> list[str]:
    return [problem.kind for problem in problems]


def test_everything_is_there_to_read_without_the_program(full: Casebook):
    assert set(everything_in(full.folder)) >= {
        "README.txt",
        "casebook.db",
        "clients/Ines/client.json",
        "clients/Ines/consent/2026-03-02 given.txt",
        "clients/Ines/week-01/a.mp4",
        "clients/Ines/week-01/a.review.json",
        "clients/Ines/week-01/b.mp4",
        "clients/Ines/week-01/b.review.json",
    }
    record = json.loads((full.folder / "clients/Ines/client.json").read_text("utf-8"))
    assert record["client"]["name"] == "Ines"
    assert [clip["path"] for clip in record["clips"]] == ["week-01/a.mp4", "week-01/b.mp4"]
    assert record["consent"][0]["covers"] == ["public"]
    assert record["programmes"][0]["weeks"][3] == {"week": 4, "topic": "standing"}
    assert full.check(every_byte=True) == ()


def test_the_check_tells_what_is_missing_changed_or_unknown(full: Casebook, new_clip):
    home = full.folder / "clients" / "Ines"
    a, b = home / "week-01/a.mp4", home / "week-01/b.mp4"
    a.rename(home / "week-01/moved.mp4")
    b.write_bytes(b.read_bytes()[:-1] + b"!")
    (home / "week-01/b.review.json").unlink()
    (home / "consent/2026-03-02 given.txt").unlink()
    (home / "client.json").write_text("{}")
    (home / "week-01/.c.mp4.xyz.part").write_bytes(b"half")
    found = full.check()
    assert sorted(kinds(found)) == sorted(
        ["missing", "changed", "review", "missing", "unknown", "leftover", "record"]
    )
    for problem in found:
        assert problem.sentence.endswith((".", ";", "!")) and problem.path


def test_a_changed_byte_in_the_middle_of_a_long_clip_is_found_by_reading_all(
    book: Casebook, new_clip
):
    long = new_clip("long.mp4", "x" * (40 << 20))
    clip = book.add("Ines", [long])[0].clip
    path = book.clip_path(clip)
    with path.open("rb+") as file:
        for place in range(5 << 20, 30 << 20, 64 << 10):  # one that no sample of the digest reads
            file.seek(place)
            file.write(b"y")
            file.flush()
            if digest_of(path) == clip.digest:
                break
            file.seek(place)
            file.write(b"x")
            file.flush()
    assert digest_of(path) == clip.digest
    assert book.check() == ()
    assert kinds(book.check(every_byte=True)) == ["changed"]


def test_repair_finds_moved_clips_enters_new_ones_and_brings_reviews_back(full: Casebook, new_clip):
    home = full.folder / "clients" / "Ines"
    (home / "week-05").mkdir()
    (home / "week-01/a.mp4").rename(home / "week-05/moved.mp4")
    (home / "week-01/b.review.json").unlink()
    shutil.copy(new_clip("by hand.mp4"), home / "week-05")
    shutil.copy(home / "week-01/b.mp4", home / "week-05/twin.mp4")
    before = everything_in(full.folder / "clients")
    done = " ".join(repair_casebook(full.folder))
    assert "found as week-05/moved.mp4" in done
    assert "week-05/by hand.mp4 was entered as a clip of Ines" in done
    assert "twin.mp4 is the same as clip 2" in done
    assert "b.review.json of Ines was" in done
    added = next(clip for clip in full.clips() if clip.original_name == "by hand.mp4")
    assert (added.week, added.state) == (5, "new")
    assert load_review(full.review_path(full.clip(2))).clip.digest == full.clip(2).digest
    assert kinds(full.check()) == ["unknown"]  # the twin, which is left to the coach
    after = everything_in(full.folder / "clients")
    for path, content in before.items():
        if path.endswith((".mp4", ".txt")):
            assert after[path] == content


def test_a_review_that_is_gone_comes_back_from_its_newest_backup(full: Casebook):
    path = full.review_path(full.clip(1))
    said = load_review(path).notes
    backup = path.with_name(f".{path.name}.1")
    shutil.copy(path, backup)
    path.unlink()
    assert kinds(full.check()) == ["review"]
    repair_casebook(full.folder)
    assert load_review(path).notes == said and full.check() == ()


HARMS = {
    "gone": lambda path: path.unlink(),
    "empty": lambda path: path.write_bytes(b""),
    "no database": lambda path: path.write_bytes(b"x" * 10_000),
    "half": lambda path: path.write_bytes(path.read_bytes()[: path.stat().st_size // 2]),
    "a page of noise": lambda path: path.write_bytes(
        path.read_bytes()[:4096] + b"\xa5" * 8192 + path.read_bytes()[12288:]
    ),
}


@pytest.mark.parametrize("harm", HARMS)
def test_a_database_that_is_lost_is_made_anew_from_the_folder(full: Casebook, harm: str):
    folder, record = full.folder, full.record("Ines")
    full.add_client("Otto", notes="no clips yet")
    full.close()
    for ending in ("-wal", "-shm"):
        (folder / f"casebook.db{ending}").unlink(missing_ok=True)
    HARMS[harm](folder / "casebook.db")
    try:
        with Casebook.open(folder) as opened:
            assert "database" in kinds(opened.check())
    except CasebookError as error:
        assert "cliptag casebook repair" in str(error)
    done = repair_casebook(folder)
    assert any("made anew" in sentence for sentence in done)
    with Casebook.open(folder) as again:
        assert again.record("Ines") == record
        assert again.client("Otto").notes == "no clips yet"
        assert again.check() == ()
    if harm not in ("gone",):
        kept = list((folder / "backups").glob("casebook-damaged-*.db"))
        assert len(kept) == 1
    assert repair_casebook(folder) == ()


def test_repair_of_what_is_no_casebook_says_so(tmp_path: Path):
    with pytest.raises(CasebookError, match="There is no casebook"):
        repair_casebook(tmp_path)
    assert not (tmp_path / "casebook.db").exists()


def test_a_client_whose_record_is_lost_too_comes_back_by_the_folder(full: Casebook):
    full.close()
    (full.folder / "clients/Ines/client.json").unlink()
    (full.folder / "casebook.db").unlink()
    repair_casebook(full.folder)
    with Casebook.open(full.folder) as again:
        clips = again.clips("Ines")
        assert [(clip.path, clip.week) for clip in clips] == [
            ("week-01/a.mp4", 1),
            ("week-01/b.mp4", 1),
        ]
        assert clips[0].state == "in_work"


def test_a_record_that_points_out_of_its_folder_brings_nothing_from_there(
    full: Casebook, tmp_path: Path
):
    full.close()
    (full.folder / "casebook.db").unlink()
    record = full.folder / "clients/Ines/client.json"
    record.write_text(record.read_text("utf-8").replace("week-01/a.mp4", "../../../secret.mp4"))
    repair_casebook(full.folder)
    with Casebook.open(full.folder) as again:
        assert all(again.clip_path(clip).is_relative_to(again.folder) for clip in again.clips())
        assert {clip.path for clip in again.clips()} == {"week-01/a.mp4", "week-01/b.mp4"}
