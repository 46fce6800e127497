"""A review and its clip as those may see them whom an export is for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from cliptag.clip import Clip
from cliptag.cover import Cover, CoveredClip, cover_of_others, face_cover
from cliptag.errors import CoverCancelled, ExportCancelled, UncoveredError
from cliptag.export.video import Progress
from cliptag.review import Review, edit

if TYPE_CHECKING:
    from cliptag.export.take_home import ExportOptions

_MOST_NAMED = 3


def clip_to_show(
    review: Review,
    clip: Clip,
    options: ExportOptions,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> Clip:
    """The clip with all destroyed that isn't to be seen, mute if that is wished.

    What was placed by hand to be seen by nobody always is; faces where the options say so, and
    then the clip is looked through first, unless that was done before. Raises ClipError,
    CoverError, and ExportCancelled when ``is_cancelled`` said so.
    """
    if options.shown_for == "face_covered":
        try:
            cover = face_cover(review, clip, progress, is_cancelled)
        except CoverCancelled as error:
            raise ExportCancelled("The export was stopped; nothing was left behind.") from error
    else:
        cover = cover_of_others(review, clip)
    if cover.is_empty and not options.mute and options.shown_for != "face_covered":
        return clip
    return CoveredClip(clip, cover, options.cover_style, is_mute=options.mute)


def review_to_show(review: Review, options: ExportOptions) -> Review:
    """The review without the client's name where the face is covered."""
    if options.shown_for != "face_covered":
        return review
    return edit.with_fields(review, client="")


def refuse_open_faces(clip: Clip) -> None:
    """Raise UncoveredError where it is in doubt whether a face is open in a clip to be shown."""
    if not isinstance(clip, CoveredClip) or not clip.cover.doubts:
        return
    raise UncoveredError(doubtful_sentence(clip.cover))


def doubtful_sentence(cover: Cover) -> str:
    """Where to look, and what to do there."""
    doubts = cover.doubts
    named = "; ".join(doubt.sentence for doubt in doubts[:_MOST_NAMED])
    more = len(doubts) - _MOST_NAMED
    rest = f"; and {more} more" if more > 0 else ""
    return (
        f"A face may be open at {named}{rest}. Look there: place an area to cover, or tell that "
        "it is fine, on the desk's page Cover (or see cliptag cover --help)."
    )


def telling_words(review: Review) -> tuple[str, ...]:
    """Advice about the coach's own words that name the client whose face is covered."""
    name = review.client.strip().casefold()
    said = [review.impression, *(note.text for note in review.notes)]
    if name and any(name in text.casefold() for text in said):
        return (
            f"The face is covered, but your words name {review.client.strip()}: captions, page "
            "and summary tell who it is.",
        )
    return ()
