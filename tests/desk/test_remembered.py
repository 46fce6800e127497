"""What the desk remembers is a convenience: kept when it can be, never in the way."""

from __future__ import annotations

from pathlib import Path

import pytest

from cliptag.desk.remembered import Remembered


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "state" / "window.json"


def files(tmp_path: Path, count: int) -> list[Path]:
    made = [tmp_path / f"clip {number}.mp4" for number in range(count)]
    for file in made:
        file.touch()
    return made


def test_recent_files_come_newest_first_each_once_and_ten_at_most(path: Path, tmp_path: Path):
    clips = files(tmp_path, 12)
    remembered = Remembered(path)
    for clip in (*clips, clips[5]):
        remembered.add_recent(clip)
    expected = [clips[5], *(clip for clip in reversed(clips) if clip != clips[5])][:10]
    assert list(Remembered(path).recent) == expected


def test_what_is_gone_is_not_offered(path: Path, tmp_path: Path):
    first, second = files(tmp_path, 2)
    remembered = Remembered(path)
    remembered.add_recent(first)
    remembered.add_recent(second)
    first.unlink()
    assert remembered.recent == (second,)
    remembered.forget_recent()
    assert Remembered(path).recent == ()


def test_geometry_comes_back_byte_for_byte(path: Path):
    Remembered(path).keep_geometry(bytes(range(256)))
    assert Remembered(path).geometry == bytes(range(256))


@pytest.mark.parametrize("text", ["", "{", '{"recent": 3}', '{"geometry": "no base64!"}', "\x00"])
def test_a_damaged_file_is_as_good_as_none(path: Path, text: str):
    path.parent.mkdir()
    path.write_text(text)
    assert Remembered(path).recent == () and Remembered(path).geometry == b""


def test_where_nothing_can_be_kept_the_work_goes_on(tmp_path: Path):
    (tmp_path / "shut").write_text("a file where a folder should be")
    remembered = Remembered(tmp_path / "shut" / "window.json")
    (clip,) = files(tmp_path, 1)
    remembered.add_recent(clip)
    assert remembered.recent == (clip,)
