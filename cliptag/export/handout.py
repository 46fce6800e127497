"""What the client reads beside the video: the watch page and the summary, with their pictures."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Final

from cliptag.clip import Clip
from cliptag.export.account import account_of
from cliptag.export.cards import title_picture
from cliptag.export.page import PagePicture, Watching, watch_page
from cliptag.export.scene import Scene
from cliptag.export.stills import Rgb, smaller, stills_of, webp_of
from cliptag.review import Review

if TYPE_CHECKING:
    from cliptag.export.take_home import Plan

PAGE: Final = "index.html"

_PAGE_PICTURE: Final = 480


def write_handouts(
    folder: Path,
    review: Review,
    clip: Clip,
    plan: Plan,
    video: str,
    files: Sequence[str] = (),
    *,
    has_burned_captions: bool = True,
) -> tuple[str, ...]:
    """Write the watch page for a video in the same folder; gives the names of what was written.

    ``files`` are those that the page points to. Raises OSError, and ClipError when the clip can't
    be decoded.
    """
    account = account_of(review, plan.timeline, plan.measured, plan.readings, plan.words)
    scene = Scene(review, plan.timeline, (), plan.readings, plan.words, plan.moving)
    told = {finding.note_id for finding in account.findings}
    stills = stills_of([note for note in review.notes if note.id in told], clip, scene)
    watching = Watching(
        video=video,
        size=plan.size,
        chapters=plan.chapters,
        cues=plan.cues,
        has_burned_captions=has_burned_captions,
        poster=_for_page(title_picture(review, plan.size, plan.words)[..., :3]),
        stills={note_id: _for_page(still) for note_id, still in stills.items()},
        files=files,
    )
    (folder / PAGE).write_text(watch_page(account, review, watching), "utf-8", newline="\n")
    return (PAGE,)


def _for_page(rgb: Rgb) -> PagePicture:
    small = smaller(rgb, _PAGE_PICTURE)
    return PagePicture(webp_of(small), small.shape[1], small.shape[0])
