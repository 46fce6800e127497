"""Every change is in a file within a second, wherever that file can be."""

from __future__ import annotations

import time
from pathlib import Path

import msgspec
import pytest
from support.desk import small_clip, small_review

from cliptag.desk import saving
from cliptag.desk.saving import Saver, newer_spare, spare_path
from cliptag.opening import open_reviewed_clip, review_path_of
from cliptag.review import Review, load_review, save_review


@pytest.fixture(scope="module")
def clip_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_clip(tmp_path_factory.mktemp("clip"))


@pytest.fixture(scope="module")
def review(clip_path: Path) -> Review:
    return small_review(clip_path)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "ines.review.json"


@pytest.fixture
def saver(qapp, path: Path, clip_path: Path):
    saver = Saver(path, clip_path)
    yield saver
    saver.close()


def saying(review: Review, words: str) -> Review:
    return msgspec.structs.replace(review, impression=words)


def test_no_file_is_made_before_the_first_change(saver: Saver, path: Path):
    assert saver.flush() and saver.is_saved
    assert not path.exists()


def test_a_change_is_in_the_file_within_a_second(qtbot, saver: Saver, path: Path, review: Review):
    before_s = time.monotonic()
    saver.take(saying(review, "Upright."))
    assert not saver.is_saved
    qtbot.waitUntil(lambda: saver.is_saved and path.exists(), timeout=3000)
    assert time.monotonic() - before_s < 1.0
    assert load_review(path).impression == "Upright."


def test_ceaseless_typing_is_never_more_than_a_second_ahead_of_the_file(
    qtbot, saver: Saver, path: Path, review: Review
):
    taken_at_s: list[float] = []
    worst_s = 0.0
    while len(taken_at_s) < 40:
        saver.take(saying(review, str(len(taken_at_s))))
        taken_at_s.append(time.monotonic())
        qtbot.wait(50)
        written = int(load_review(path).impression) if path.exists() else -1
        if written + 1 < len(taken_at_s):
            worst_s = max(worst_s, time.monotonic() - taken_at_s[written + 1])
    assert 0 < worst_s <= 1.0


def test_a_short_run_of_changes_is_written_once(
    qtbot, saver: Saver, review: Review, monkeypatch: pytest.MonkeyPatch
):
    written: list[str] = []
    monkeypatch.setattr(
        saving, "save_review", lambda review, path: written.append(review.impression)
    )
    for number in range(5):
        saver.take(saying(review, str(number)))
        qtbot.wait(10)
    qtbot.waitUntil(lambda: saver.is_saved, timeout=3000)
    assert written == ["4"]


def test_closing_writes_what_still_waits(qapp, path: Path, clip_path: Path, review: Review):
    saver = Saver(path, clip_path)
    saver.take(saying(review, "Last words."))
    assert saver.close()
    assert load_review(path).impression == "Last words."


@pytest.fixture
def shut_path(tmp_path: Path) -> Path:
    """A review path in a folder that nobody can make or write, root included."""
    (tmp_path / "shut").write_text("a file where a folder should be")
    return tmp_path / "shut" / "ines.review.json"


def test_where_the_folder_cant_be_written_the_review_is_kept_elsewhere_and_finds_its_clip(
    qtbot, shut_path: Path, clip_path: Path, review: Review
):
    saver = Saver(shut_path, clip_path)
    told: list[str] = []
    saver.trouble.connect(told.append)
    with qtbot.waitSignal(saver.trouble, timeout=3000):
        saver.take(saying(review, "Kept."))
    assert str(saver.path) in told[0]
    saver.take(saying(review, "Kept again."))
    assert saver.close()
    assert len(told) == 1, "the same trouble is told once"
    kept, clip = open_reviewed_clip(saver.path)
    with clip:
        assert kept.impression == "Kept again."
        assert clip.path.samefile(clip_path)


def test_a_later_version_kept_elsewhere_is_found_again(
    qapp, tmp_path: Path, clip_path: Path, review: Review
):
    path = tmp_path / "folder" / "ines.review.json"
    saver = Saver(path, clip_path)  # its folder isn't there
    saver.take(saying(review, "Elsewhere."))
    assert saver.close()
    digest = review.clip.digest
    assert newer_spare(path, digest) == saver.path == spare_path(path, digest)
    path.parent.mkdir()
    saver = Saver(path, clip_path)
    saver.take(saying(review, "At home."))
    assert saver.close()
    assert newer_spare(path, digest) is None, "the one at home is the newer one now"


def test_the_one_kept_elsewhere_goes_when_the_folder_can_be_written_again(
    qapp, tmp_path: Path, clip_path: Path, review: Review
):
    path = tmp_path / "folder" / "ines.review.json"
    saver = Saver(path, clip_path)
    saver.take(saying(review, "One."))
    assert saver.flush()
    spare = saver.path
    assert spare.exists() and spare != path
    path.parent.mkdir()
    saver.take(saying(review, "Two."))
    assert saver.close()
    assert saver.path == path and load_review(path).impression == "Two."
    assert not spare.exists()


def test_nothing_is_called_saved_that_no_file_holds(
    qapp, shut_path: Path, clip_path: Path, review: Review, monkeypatch, tmp_path: Path
):
    (tmp_path / "data").write_text("a file where the user's own folder should be")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    saver = Saver(shut_path, clip_path)
    saver.take(saying(review, "Nowhere."))
    assert not saver.flush() and not saver.is_saved
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "more"))
    assert saver.close(), "it is tried again when there may be room"
    assert load_review(saver.path).impression == "Nowhere."


def test_what_no_file_could_take_is_tried_again_by_itself(
    qtbot, shut_path: Path, clip_path: Path, review: Review, monkeypatch, tmp_path: Path
):
    (tmp_path / "data").write_text("a file where the user's own folder should be")
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(saving, "RETRY_S", 0.05)
    saver = Saver(shut_path, clip_path)
    saver.take(saying(review, "Nowhere yet."))
    assert not saver.flush()
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "more"))
    qtbot.waitUntil(lambda: saver.is_saved, timeout=3000)
    assert load_review(saver.path).impression == "Nowhere yet."
    saver.close()


def test_a_newer_programs_file_is_left_alone(qapp, path: Path, clip_path: Path, review: Review):
    save_review(review, path)
    newer = path.read_text().replace("cliptag-review/1", "cliptag-review/99")
    path.write_text(newer)
    saver = Saver(path, clip_path)
    saver.take(saying(review, "Older."))
    assert saver.close()
    assert path.read_text() == newer
    assert load_review(saver.path).impression == "Older."


def test_the_spare_name_tells_clips_of_one_name_apart(clip_path: Path, review: Review):
    own = review_path_of(clip_path)
    assert spare_path(own, "a" * 32) != spare_path(own, "b" * 32)
