"""A review together with its clip: the two rooms don't know each other, their callers need both."""

from __future__ import annotations

from pathlib import Path

from cliptag.clip import Clip, digest_of, open_clip
from cliptag.review import SUFFIX, ClipRef, Review, find_clip, load_review, path_for_review


def open_reviewed_clip(review_path: str | Path) -> tuple[Review, Clip]:
    """Load a review and open its clip, also where the clip was moved; close the clip yourself.

    Raises ReviewError or ClipError.
    """
    review_path = Path(review_path)
    review = load_review(review_path)
    return review, open_clip(find_clip(review.clip, review_path, digest_of))


def start_review(clip: Clip, review_path: str | Path | None = None) -> Review:
    """An empty review of an open clip, to be saved at ``review_path`` (see ``review_path_of``)."""
    review_path = review_path_of(clip.path) if review_path is None else Path(review_path)
    info = clip.info
    reference = ClipRef(
        path=path_for_review(clip.path, review_path),
        size_bytes=info.size_bytes,
        duration_us=clip.duration_us,
        digest=clip.digest,
        width=info.width,
        height=info.height,
    )
    recorded_on = None if info.recorded_at is None else info.recorded_at.date()
    return Review(clip=reference, recorded_on=recorded_on)


def review_path_of(clip_path: str | Path) -> Path:
    """Where the review of a clip is kept unless one chooses otherwise: beside the clip."""
    clip_path = Path(clip_path)
    return clip_path.with_name(clip_path.stem + SUFFIX)
