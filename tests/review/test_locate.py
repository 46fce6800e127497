"""A clip that was moved or renamed is found again, and never mistaken for another."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest
from support import reviews as made

from cliptag.errors import ReviewError
from cliptag.review import ClipRef, find_clip, path_for_review


def digest_of(path: Path) -> str:
    return hashlib.sha256(path.read_bytes()).hexdigest()


@pytest.fixture
def clip_path(tmp_path: Path) -> Path:
    path = tmp_path / "clips" / "week 1.mp4"
    path.parent.mkdir()
    path.write_bytes(b"the clip that was reviewed")
    return path


@pytest.fixture
def review_path(tmp_path: Path) -> Path:
    return tmp_path / "reviews" / "week 1.review.json"


def reference(clip_path: Path, review_path: Path) -> ClipRef:
    return made.clip_ref(
        path=path_for_review(clip_path, review_path),
        size_bytes=clip_path.stat().st_size,
        digest=digest_of(clip_path),
    )


def test_a_clip_that_stays_is_found_by_its_relative_path(clip_path: Path, review_path: Path):
    clip = reference(clip_path, review_path)
    assert clip.path == "../clips/week 1.mp4"
    assert find_clip(clip, review_path, digest_of).samefile(clip_path)


def test_a_folder_that_moves_as_a_whole_keeps_its_clips(clip_path: Path, tmp_path: Path):
    clip = reference(clip_path, clip_path.with_name("a.review.json"))
    moved = clip_path.parent.rename(tmp_path / "elsewhere")
    assert find_clip(clip, moved / "a.review.json", digest_of) == moved / "week 1.mp4"


def test_a_renamed_clip_near_the_review_is_found(clip_path: Path, review_path: Path):
    clip = reference(clip_path, review_path)
    new = review_path.parent / "sub" / "IMG_0042.mp4"
    new.parent.mkdir(parents=True)
    clip_path.rename(new)
    (new.parent / "other.mp4").write_bytes(b"a clip of the very same len")
    assert find_clip(clip, review_path, digest_of) == new


def test_a_clip_in_another_given_folder_is_found(clip_path: Path, review_path: Path, tmp_path):
    clip = reference(clip_path, review_path)
    review_path.parent.mkdir()
    new = tmp_path / "phone" / clip_path.name
    new.parent.mkdir()
    clip_path.rename(new)
    assert find_clip(clip, review_path, digest_of, also_in=[new.parent]) == new


def test_another_clip_of_the_same_name_and_size_is_not_taken(clip_path: Path, review_path: Path):
    clip = reference(clip_path, review_path)
    clip_path.write_bytes(b"THE CLIP THAT WAS REVIEWED")
    with pytest.raises(ReviewError, match="not the clip that was reviewed"):
        find_clip(clip, review_path, digest_of)


def test_a_lost_clip_is_said_with_what_to_do(clip_path: Path, review_path: Path):
    clip = reference(clip_path, review_path)
    clip_path.unlink()
    with pytest.raises(ReviewError, match=r"week 1\.mp4 is not at .* put it into"):
        find_clip(clip, review_path, digest_of)


def test_a_clip_far_away_is_written_with_its_whole_path(tmp_path: Path):
    far = tmp_path / "a" / "b" / "c" / "d.review.json"
    assert path_for_review(Path("/media/phone/x.mp4"), far) == "/media/phone/x.mp4"
