"""The points that a review's marks follow, followed through its clip for the export."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from cliptag.clip import Clip
from cliptag.cover import bare
from cliptag.errors import ExportCancelled, MeasureError, TrackingCancelled
from cliptag.export.video import Progress
from cliptag.review import Review

if TYPE_CHECKING:
    from cliptag.measure import MovingMarks


def has_moving_marks(review: Review) -> bool:
    """Whether a mark of a note follows points that are tracked."""
    tracked = {point.name for point in review.tracked}
    return any(
        mark.follows and tracked.issuperset(mark.follows)
        for note in review.notes
        for mark in note.marks
    )


def moving_marks_of(
    review: Review,
    clip: Clip,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> MovingMarks | None:
    """The marks that move; None where there are none, or nothing that moves (a photo).

    What was followed before is taken from the store. Raises ClipError, and ExportCancelled when
    ``is_cancelled`` said so.
    """
    if not has_moving_marks(review):
        return None
    # Loaded here, since only reviews with tracked points need the second that it takes.
    from cliptag.measure import MovingMarks, TrackStore, follow_points

    try:
        tracks = follow_points(
            review, bare(clip), store=TrackStore(), progress=progress, is_cancelled=is_cancelled
        )
        return MovingMarks(review, tracks)
    except TrackingCancelled as error:
        raise ExportCancelled("The export was stopped; nothing was left behind.") from error
    except MeasureError:
        return None


def share_of(progress: Progress | None, start: float, end: float) -> Progress | None:
    """Tells of one part of a longer work, which goes from ``start`` to ``end`` (0 to 1) of it."""
    if progress is None:
        return None
    tell = progress
    return lambda done, left_s: tell(start + (end - start) * done, left_s if end >= 1.0 else None)
