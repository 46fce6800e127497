"""Pairs of reviews for tests: the demo's, and clips made over with their reviews."""

from __future__ import annotations

from pathlib import Path

import msgspec
from support.media import ffmpeg
from support.truth import FOLDER

from cliptag.clip import open_clip
from cliptag.opening import review_path_of, start_review
from cliptag.pairing import Pairing
from cliptag.review import (
    Mark,
    Note,
    Point,
    Review,
    Ring,
    TrackedPoint,
    edit,
    load_review,
    points_of,
    save_review,
)


def demo_pairing(movement: str, **fields: object) -> Pairing:
    """Weeks 1 and 10 of a demo movement."""
    paths = tuple(str(FOLDER / f"{movement}_week{week}.review.json") for week in ("01", "10"))
    return Pairing(reviews=paths, **fields)  # type: ignore[arg-type]


def made_over(
    review_path: Path,
    folder: Path,
    *,
    scale: float = 1.0,
    mirrored: bool = False,
    fps: float | None = None,
    crf: int = 20,
) -> Path:
    """The same clip encoded anew by ffmpeg, and its review with every point moved along."""
    review = load_review(review_path)
    source = review_path.parent / review.clip.path
    target = folder / f"made_over_{source.name}"
    shape = review.clip.width, review.clip.height
    width, height = (round(side * scale / 2) * 2 for side in shape)
    filters = [f"scale={width}:{height}"]
    if mirrored:
        filters.append("hflip")
    if fps is not None:
        filters.append(f"fps={fps}")
    ffmpeg(
        *("-i", source, "-vf", ",".join(filters), "-an"),
        *("-c:v", "libx264", "-preset", "veryfast", "-crf", str(crf), "-pix_fmt", "yuv420p"),
        target,
    )
    return write_made_over(review, target, width / review.clip.width, mirrored)


def write_made_over(review: Review, clip_path: Path, scale: float, mirrored: bool) -> Path:
    """The review of a clip of another size, maybe mirrored."""
    with open_clip(clip_path) as clip:
        made = start_review(clip)
        width = clip.info.width

    def moved(point: Point) -> Point:
        x, y = point.x * scale, point.y * scale
        return Point(width - x if mirrored else x, y)

    def moved_mark(mark: Mark) -> Mark:
        laid = edit.with_points(mark, [moved(point) for point in points_of(mark)])
        if isinstance(laid, Ring):
            radii = {"radius_x": laid.radius_x * scale, "radius_y": laid.radius_y * scale}
            return msgspec.structs.replace(laid, **radii)
        return laid

    def moved_note(note: Note) -> Note:
        return msgspec.structs.replace(note, marks=tuple(map(moved_mark, note.marks)))

    def moved_track(point: TrackedPoint) -> TrackedPoint:
        keys = tuple(
            msgspec.structs.replace(
                key, place=moved(key.place), sd_px=key.sd_px and key.sd_px * scale
            )
            for key in point.keys
        )
        return msgspec.structs.replace(point, keys=keys)

    facing = review.facing
    if mirrored and facing is not None:
        facing = "left" if facing == "right" else "right"
    ends = {"scale": ("a", "b"), "plumb": ("top", "bottom")}
    lines = {
        name: msgspec.structs.replace(line, **{end: moved(getattr(line, end)) for end in both})
        for name, both in ends.items()
        if (line := getattr(review, name)) is not None
    }
    made = msgspec.structs.replace(
        review,
        clip=made.clip,
        facing=facing,
        notes=tuple(map(moved_note, review.notes)),
        tracked=tuple(map(moved_track, review.tracked)),
        **lines,
    )
    return save_review(made, review_path_of(clip_path))
