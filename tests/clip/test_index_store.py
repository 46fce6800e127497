"""Frame indexes are kept by digest, and nothing that is wrong with them does harm."""

from __future__ import annotations

import multiprocessing
import shutil
from pathlib import Path

import numpy as np
import pytest
from support.awkward import make_awkward

from cliptag.clip import index_store, open_clip
from cliptag.clip.digest import digest_of
from cliptag.clip.index import FrameIndex
from cliptag.clip.index_store import keep_index, load_index
from cliptag.clip.scan import build_index

_COLUMNS = ("frame_ticks", "frame_packet", "packet_pts", "packet_dts", "packet_pos")


@pytest.fixture(params=["variable rate", "MPEG-4 with B-frames in AVI", "one frame"])
def index(request: pytest.FixtureRequest, media: Path) -> FrameIndex:
    return build_index(make_awkward(request.param, media))


def _assert_same(one: FrameIndex, other: FrameIndex) -> None:
    for name in (*_COLUMNS, "packet_size", "packet_is_key"):
        np.testing.assert_array_equal(getattr(one, name), getattr(other, name))
        assert getattr(one, name).dtype == getattr(other, name).dtype
        assert not getattr(one, name).flags.writeable
    assert (one.time_base, one.last_duration) == (other.time_base, other.last_duration)


def test_an_index_comes_back_as_it_was(index: FrameIndex) -> None:
    keep_index("abc", index)
    kept = load_index("abc")
    assert kept is not None
    _assert_same(kept, index)
    assert load_index("abd") is None


def test_an_index_is_small(media: Path, index_folder: Path) -> None:
    """A long clip's index: 10 minutes at 30 frames a second with slightly uneven times."""
    count = 18_000
    dice = np.random.default_rng(1)
    pts = np.cumsum(dice.integers(495, 518, count))
    size = dice.integers(10_000, 60_000, count)
    index = FrameIndex(
        *(build_index(make_awkward("constant rate", media)).time_base, pts, 512),
        *(np.arange(count, dtype=np.int32), pts, pts, np.cumsum(size), size),
        np.arange(count) % 30 == 0,
    )
    keep_index("long", index)
    (file,) = index_folder.iterdir()
    assert file.stat().st_size < 250_000
    kept = load_index("long")
    assert kept is not None
    _assert_same(kept, FrameIndex(**{**index.__dict__, **{n: _frozen(index, n) for n in _ALL}}))


_ALL = (*_COLUMNS, "packet_size", "packet_is_key")


def _frozen(index: FrameIndex, name: str) -> np.ndarray:
    column = getattr(index, name).copy()
    column.flags.writeable = False
    return column


@pytest.mark.parametrize("harm", ["cut", "empty", "flipped bit", "other content", "a folder"])
def test_a_damaged_file_counts_as_absent(harm: str, index: FrameIndex, index_folder: Path) -> None:
    keep_index("abc", index)
    (file,) = index_folder.iterdir()
    data = file.read_bytes()
    file.unlink()
    if harm == "a folder":
        file.mkdir()
    else:
        changed = {
            "cut": data[:-5],
            "empty": b"",
            "flipped bit": data[:-3] + bytes([data[-3] ^ 1]) + data[-2:],
            "other content": b"{}" * 40,
        }
        file.write_bytes(changed[harm])
    assert load_index("abc") is None


def test_a_clip_opens_when_its_kept_index_is_damaged(media: Path, index_folder: Path) -> None:
    path = make_awkward("open GOP", media)
    with open_clip(path) as clip:
        times = clip.times_us.tolist()
    (file,) = index_folder.iterdir()
    file.write_bytes(file.read_bytes()[:40])
    with open_clip(path) as clip:
        assert clip.times_us.tolist() == times
    with open_clip(path) as clip:  # the mended one
        assert clip.times_us.tolist() == times


def test_the_second_opening_doesnt_read_through_the_file(
    media: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = make_awkward("open GOP", media)
    open_clip(path).close()
    monkeypatch.setattr("cliptag.clip.video.build_index", lambda _: pytest.fail("read again"))
    with open_clip(path) as clip:
        assert len(clip) == 60


def test_a_moved_clip_finds_its_index(
    media: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = make_awkward("open GOP", media)
    open_clip(path).close()
    moved = shutil.copy(path, tmp_path / "another name.mp4")
    monkeypatch.setattr("cliptag.clip.video.build_index", lambda _: pytest.fail("read again"))
    open_clip(moved).close()


def test_a_cache_folder_that_cant_be_written_is_no_hindrance(
    media: Path, index_folder: Path
) -> None:
    index_folder.parent.mkdir(parents=True)
    index_folder.write_text("a file where the folder should be")
    with open_clip(make_awkward("open GOP", media)) as clip:
        assert len(clip) == 60


def test_old_indexes_make_room(
    index: FrameIndex, index_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(index_store, "_MOST_FILES", 3)
    for number in range(6):
        keep_index(f"clip{number}", index)
        if number >= 1:
            assert load_index("clip0") is not None, "in use"
    assert len(list(index_folder.iterdir())) == 3
    assert load_index("clip5") is not None


def _keep_many(path: str, cache: str) -> None:
    import cliptag.clip.index_store as store

    store.platformdirs.user_cache_path = lambda *_, **__: Path(cache)
    index = build_index(Path(path))
    for _ in range(20):
        keep_index("shared", index)
        assert load_index("shared") is not None


def test_two_programs_may_keep_the_same_index_at_once(media: Path, index_folder: Path) -> None:
    path = make_awkward("open GOP", media)
    context = multiprocessing.get_context("spawn")
    workers = [
        context.Process(target=_keep_many, args=(str(path), str(index_folder.parent)))
        for _ in range(2)
    ]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join(60)
    assert [worker.exitcode for worker in workers] == [0, 0]
    assert [file.suffix for file in index_folder.iterdir()] == [".frames"]


def test_the_digest_is_that_of_the_content(tmp_path: Path) -> None:
    one, other = tmp_path / "one", tmp_path / "other"
    one.write_bytes(b"a clip")
    other.write_bytes(b"a clip")
    assert digest_of(one) == digest_of(other)
    assert len(digest_of(one)) == 32
    other.write_bytes(b"a clap")
    assert digest_of(one) != digest_of(other)
