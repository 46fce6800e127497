"""What was open when a desk ended without warning is known at the next start."""

from __future__ import annotations

import signal
import subprocess
import sys
from pathlib import Path

import pytest

from cliptag.desk.open_records import OpenRecord, forget_left_open, left_open


@pytest.fixture
def review_path(tmp_path: Path) -> Path:
    path = tmp_path / "ines.review.json"
    path.write_text("{}")
    return path


def test_an_orderly_end_leaves_nothing(qapp, review_path: Path):
    record = OpenRecord(review_path, Path("ines.mp4"))
    assert record.is_held
    record.end()
    assert left_open() == ()


def test_what_a_living_desk_has_open_is_not_offered(qapp, review_path: Path):
    record = OpenRecord(review_path, Path("ines.mp4"))
    assert left_open() == ()
    record.end()


def test_a_second_desk_knows_that_the_review_is_taken(qapp, review_path: Path):
    first = OpenRecord(review_path, Path("ines.mp4"))
    second = OpenRecord(review_path, Path("ines.mp4"))
    assert first.is_held and not second.is_held
    second.end()
    assert not OpenRecord(review_path, Path("ines.mp4")).is_held, "the first one still holds it"
    first.end()


@pytest.mark.skipif(sys.platform == "win32", reason="kill -9")
def test_what_a_killed_desk_had_open_is_offered_until_it_is_forgotten(qapp, review_path: Path):
    program = (
        "import sys, time; from pathlib import Path;"
        "from cliptag.desk.open_records import OpenRecord;"
        "OpenRecord(Path(sys.argv[1]), Path('ines.mp4')); print('open', flush=True);"
        "time.sleep(60)"
    )
    command = [sys.executable, "-c", program.replace("OpenRecord(P", "r = OpenRecord(P")]
    desk = subprocess.Popen([*command, str(review_path)], stdout=subprocess.PIPE, text=True)
    assert desk.stdout is not None and desk.stdout.readline() == "open\n"
    assert left_open() == ()
    desk.send_signal(signal.SIGKILL)
    desk.wait()
    desk.stdout.close()
    (found,) = left_open()
    assert Path(found.review) == review_path
    assert found.pid == desk.pid
    forget_left_open()
    assert left_open() == ()


def test_a_record_whose_review_is_gone_is_not_offered(qapp, tmp_path: Path, monkeypatch):
    record = OpenRecord(tmp_path / "never.review.json", Path("ines.mp4"))
    monkeypatch.setattr(record, "is_held", False)
    record._lock.unlock()
    assert left_open() == ()
