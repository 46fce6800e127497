"""A review's file: nothing is lost, and what is wrong is said with its place."""

from __future__ import annotations

import errno
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from support import reviews as made

from cliptag import files
from cliptag.errors import ReviewError, ReviewFormatError, ReviewSchemaError
from cliptag.review import Note, Review, backups_of, load_review, save_review, store
from cliptag.review.store import encode_review


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "ines.review.json"


@given(made.reviews())
@settings(max_examples=150, deadline=None)
def test_a_saved_review_loads_as_it_was(tmp_path_factory: pytest.TempPathFactory, review: Review):
    path = tmp_path_factory.mktemp("reviews") / "any.review.json"
    save_review(review, path)
    assert load_review(path) == review


def test_every_mark_type_survives_a_round_trip(path: Path):
    review = Review(clip=made.clip_ref(), notes=(made.note(marks=made.every_mark()),))
    save_review(review, path)
    assert load_review(path) == review


def test_the_file_is_plain_json_that_any_reader_reads(path: Path):
    save_review(Review(clip=made.clip_ref(), client="Inês 山田 نور"), path)
    assert json.loads(path.read_text("utf-8"))["client"] == "Inês 山田 نور"


def damage(path: Path, old: str, new: str) -> str:
    """Save a review of two notes, change its text, and give the error's sentence."""
    save_review(Review(clip=made.clip_ref(), notes=(made.note(1), made.note(2))), path)
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    with pytest.raises(ReviewFormatError) as caught:
        load_review(path)
    return str(caught.value)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"end_us": 1800000', '"end_us": "soon"', "field notes[0].end_us: Expected `int`"),
        ('"end_us": 1800000', '"end_us": true', "field notes[0].end_us: Expected `int`"),
        ('"end_us": 1800000', '"end_us": 5', "field notes[0]: the note ends before it starts"),
        ('"id": "n2"', '"id": "n1"', "two notes have the same id"),
        ('"region": "knees"', '"region": "kness"', "field notes[0].region: Invalid enum value"),
        ('"width": 1080', '"width": 0', "field clip.width: Expected `int` >= 1"),
        ('"client": ""', '"cleint": ""', "contains unknown field `cleint`"),
    ],
)
def test_a_damaged_field_is_named(path: Path, old: str, new: str, said: str):
    assert said in damage(path, old, new)


def test_the_line_of_a_damaged_field_is_the_one_an_editor_shows(path: Path):
    said = damage(path, '"text": "Note number 2."', '"text": 2')
    line = next(
        number
        for number, text in enumerate(path.read_text("utf-8").splitlines(), start=1)
        if '"text": 2' in text
    )
    assert f"line {line}, field notes[1].text" in said


@pytest.mark.parametrize("cut", [1, 40, 200, 400])
def test_a_file_cut_short_is_refused_with_its_line(path: Path, cut: int):
    save_review(Review(clip=made.clip_ref()), path)
    path.write_bytes(path.read_bytes()[:cut])
    with pytest.raises(ReviewFormatError, match=r"damaged at line \d+"):
        load_review(path)


@pytest.mark.parametrize("data", [b"", b"\xff\xfe\x00", b"[]", b'"text"', b"NaN", b"{}"])
def test_another_kind_of_file_is_refused(path: Path, data: bytes):
    path.write_bytes(data)
    with pytest.raises(ReviewFormatError):
        load_review(path)


def test_a_number_that_json_does_not_have_is_refused(path: Path):
    said = damage(path, '"size_bytes": 1000', '"size_bytes": NaN')
    assert "damaged at line" in said


def test_a_missing_review_is_said_in_a_sentence(path: Path):
    with pytest.raises(ReviewError, match="There is no review at"):
        load_review(path)


def test_a_newer_schema_is_neither_opened_nor_overwritten(path: Path):
    newer = b'{"schema": "cliptag-review/2", "something": "new"}'
    path.write_bytes(newer)
    with pytest.raises(ReviewSchemaError, match="newer cliptag"):
        load_review(path)
    with pytest.raises(ReviewSchemaError, match="not overwritten"):
        save_review(Review(clip=made.clip_ref()), path)
    assert path.read_bytes() == newer
    assert not backups_of(path)


def test_an_older_schema_is_brought_up_to_date_and_kept_as_backup(
    path: Path, monkeypatch: pytest.MonkeyPatch
):
    review = Review(clip=made.clip_ref(), client="Ines")
    tree = json.loads(encode_review(review))
    tree["schema"] = "cliptag-review/2"
    tree["person"] = tree.pop("client")
    old = json.dumps(tree).encode()
    path.write_bytes(old)

    def from_two(tree: dict[str, object]) -> dict[str, object]:
        # Stands for the migration that the next schema number will bring.
        rest = {name: value for name, value in tree.items() if name != "person"}
        return rest | {"client": tree["person"], "schema": "cliptag-review/1"}

    monkeypatch.setattr(store, "SCHEMA_NUMBER", 3)
    monkeypatch.setattr(store, "MIGRATIONS", {2: from_two})
    assert load_review(path) == review
    save_review(review, path)
    assert backups_of(path)[0].read_bytes() == old


def test_saving_keeps_the_last_versions_at_most_one_a_minute(path: Path):
    for number in range(8):
        save_review(Review(clip=made.clip_ref(), client=f"version {number}"), path)
        for backup in backups_of(path):
            hours_ago = time.time() - 3600
            os.utime(backup, (hours_ago, hours_ago))
    kept = [load_review(backup).client for backup in backups_of(path)]
    assert kept == [f"version {number}" for number in (6, 5, 4, 3, 2)]
    save_review(Review(clip=made.clip_ref(), client="version 8"), path)
    save_review(Review(clip=made.clip_ref(), client="version 9"), path)
    assert load_review(backups_of(path)[0]).client == "version 7"


def test_a_review_with_a_number_outside_its_limits_is_not_saved(path: Path):
    save_review(Review(clip=made.clip_ref()), path)
    before = path.read_bytes()
    with pytest.raises(ReviewError, match="not saved"):
        save_review(Review(clip=made.clip_ref(), week=-3), path)
    assert path.read_bytes() == before


def test_a_full_disk_leaves_the_old_review(path: Path, monkeypatch: pytest.MonkeyPatch):
    save_review(Review(clip=made.clip_ref(), client="old"), path)

    def full(_: Path) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(files, "sync_file", full)
    with pytest.raises(ReviewError, match="No space left on device"):
        save_review(Review(clip=made.clip_ref(), client="new"), path)
    assert load_review(path).client == "old"
    assert not list(path.parent.glob("*.part"))


def test_a_kill_at_any_time_leaves_a_whole_review(path: Path):
    script = (
        "import sys; from support import reviews as made\n"
        "from cliptag.review import Review, save_review\n"
        "for n in range(10**6):\n"
        "    save_review(Review(clip=made.clip_ref(), client='x' * (n % 200)), sys.argv[1])\n"
        "    print(n, flush=True)\n"
    )
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    for patience_s in (0.05, 0.011, 0.023, 0.037, 0.002):
        child = subprocess.Popen(
            [sys.executable, "-c", script, str(path)], env=environment, stdout=subprocess.PIPE
        )
        assert child.stdout is not None
        child.stdout.readline()
        time.sleep(patience_s)
        child.send_signal(signal.SIGKILL)
        told = child.stdout.read().split()
        child.wait()
        child.stdout.close()
        if told:
            assert len(load_review(path).client) in (int(told[-1]) % 200, (int(told[-1]) + 1) % 200)
        else:
            load_review(path)


def test_the_published_schema_is_the_present_one():
    written = Path(__file__).parents[2] / "docs" / "review.schema.json"
    present = json.loads(json.dumps(store.review_schema()))
    assert json.loads(written.read_text("utf-8")) == present, "run: make schema"


def test_the_schema_knows_every_field_of_a_note():
    schema = msgspec.json.schema(Note)
    assert set(Note.__struct_fields__) == set(schema["$defs"]["Note"]["properties"])


def test_a_review_with_a_number_of_another_library_is_not_saved(path: Path):
    review = Review(clip=made.clip_ref(duration_us=np.int64(5)))
    with pytest.raises(ReviewError, match="not saved"):
        save_review(review, path)
    assert not path.exists()
