"""What ``cliptag cover`` does."""

from __future__ import annotations

import sys
from argparse import Namespace
from pathlib import Path

from PIL import Image

from cliptag.cover import Cover, CoveredClip, Doubt, face_cover
from cliptag.opening import open_reviewed_clip
from cliptag.printing import print_json
from cliptag.review import Review, edit, save_review
from cliptag.working import working

DONE, COULD_NOT = 0, 1


def cover(options: Namespace) -> int:
    """Tell on which frames a face may be open; with ``--check`` 1 when there are any."""
    review, clip = open_reviewed_clip(options.review)
    with clip:
        checked = _checked(review, clip.duration_us, options.fine)
        with working("Looking for faces") as work:
            found = face_cover(checked, clip, work.advance, work.is_stopped)
        if checked != review:
            save_review(checked, options.review)
        if options.pictures is not None:
            _write_pictures(CoveredClip(clip, found), options.pictures)
        _tell(found, len(clip), options.json)
    return COULD_NOT if options.check and found.doubts else DONE


def _checked(review: Review, duration_us: int, fine: list[tuple[int, int]]) -> Review:
    for start_us, end_us in fine:
        review = edit.with_cover_checked(review, start_us, min(end_us, duration_us))
    return review


def _tell(found: Cover, frame_count: int, as_json: bool) -> None:
    if as_json:
        print_json(
            {
                "frame_count": frame_count,
                "covered_frames": sum(bool(found.at(index)) for index in range(frame_count)),
                "doubts": [_facts(doubt) for doubt in found.doubts],
            }
        )
        return
    for doubt in found.doubts:
        print(doubt.sentence)
    if found.doubts:
        print(
            "cliptag: look there; place an area on the desk's page Cover, or tell that it is fine "
            "with --fine START-END.",
            file=sys.stderr,
        )
    else:
        print("Every frame is covered, or was looked at.")


def _facts(doubt: Doubt) -> dict[str, object]:
    return {
        "first_frame": doubt.first,
        "last_frame": doubt.last,
        "start_us": doubt.start_us,
        "end_us": doubt.end_us,
        "why": doubt.why,
    }


def _write_pictures(clip: CoveredClip, folder: Path) -> None:
    """The first, middle and last frame of each stretch as it would be shown."""
    folder.mkdir(parents=True, exist_ok=True)
    for number, doubt in enumerate(clip.cover.doubts, 1):
        for index in sorted({doubt.first, (doubt.first + doubt.last) // 2, doubt.last}):
            picture = Image.fromarray(clip.frame(index).rgb)
            picture.save(folder / f"{number:02}-frame-{index}.jpg", quality=88)
