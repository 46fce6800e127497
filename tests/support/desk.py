"""A small clip, its review, and a desk that is closed in good order."""

from __future__ import annotations

from pathlib import Path

from support.media import make_clip

from cliptag.clip import open_clip
from cliptag.opening import review_path_of, start_review
from cliptag.review import Note, Review, save_review

SECONDS = 2.0
FRAME_COUNT = 60


def small_clip(folder: Path, name: str = "ines.mp4") -> Path:
    """A clip of 60 frames of 128 x 96 pixels."""
    return make_clip(folder / name, seconds=SECONDS)


def small_review(clip_path: Path) -> Review:
    """An empty review of a clip."""
    with open_clip(clip_path) as clip:
        return start_review(clip)


def note(number: int, start_us: int, end_us: int, **fields: object) -> Note:
    """A plain note on the knees."""
    usual = {"region": "knees", "kind": "seen", "text": f"Note {number}."}
    return Note(id=f"n{number}", start_us=start_us, end_us=end_us, **{**usual, **fields})


def saved_review(clip_path: Path, *notes: Note, **fields: object) -> Path:
    """A review with notes, in its file beside the clip."""
    import msgspec

    review = msgspec.structs.replace(small_review(clip_path), notes=notes, **fields)
    return save_review(review, review_path_of(clip_path))
