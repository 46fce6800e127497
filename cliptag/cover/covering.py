"""From a review and its clip to what is covered: the search, kept, and the points tracked."""

from __future__ import annotations

from collections.abc import Callable

from cliptag.clip import Clip
from cliptag.cover.areas import Ellipse
from cliptag.cover.covered import bare
from cliptag.cover.found import HeadSearch
from cliptag.cover.plan import Cover
from cliptag.cover.points import HEAD_POINTS, head_by_points
from cliptag.cover.search import Progress, search_heads
from cliptag.cover.store import SearchStore
from cliptag.errors import CoverCancelled, MeasureError, TrackingCancelled
from cliptag.review import Review

_FOLLOWING_SHARE = 0.4


def face_cover(
    review: Review,
    clip: Clip,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    *,
    store: SearchStore | None = None,
) -> Cover:
    """What is to be covered so that no face is open; see its ``doubts``.

    The clip is looked through for faces, unless that was done before, and tracked points of the
    head are followed. Raises ClipError, CoverError, and CoverCancelled when ``is_cancelled`` said
    so.
    """
    clip = bare(clip)
    tracked = {point.name for point in review.tracked}
    share = _FOLLOWING_SHARE if tracked.intersection(HEAD_POINTS) else 0.0
    search = find_heads(clip, _part(progress, 0.0, 1.0 - share), is_cancelled, store=store)
    heads = (
        _by_points(review, clip, _part(progress, 1.0 - share, 1.0), is_cancelled) if share else []
    )
    return Cover(review, clip.times_us, search, heads)


def find_heads(
    clip: Clip,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    *,
    store: SearchStore | None = None,
) -> HeadSearch:
    """The heads of a clip, from the store where it was looked through before.

    Raises ClipError, CoverError, and CoverCancelled when ``is_cancelled`` said so.
    """
    store = store or SearchStore()
    search = store.load(clip)
    if search is None:
        search = search_heads(clip, None, progress, is_cancelled)
        store.keep(clip, search)
    return search


def cover_of_others(review: Review, clip: Clip) -> Cover:
    """What is to be covered in every video, whoever sees it."""
    return Cover(review, clip.times_us)


def _by_points(
    review: Review,
    clip: Clip,
    progress: Progress | None,
    is_cancelled: Callable[[], bool] | None,
) -> list[Ellipse | None]:
    # Loaded here, since only reviews with tracked points need the second that it takes.
    from cliptag.measure import TrackStore, follow_points

    try:
        tracks = follow_points(
            review, clip, store=TrackStore(), progress=progress, is_cancelled=is_cancelled
        )
    except TrackingCancelled as error:
        raise CoverCancelled("The search for faces was stopped.") from error
    except MeasureError:
        return []
    return head_by_points(tracks.points, tracks.sd_px, clip.info.height)


def _part(progress: Progress | None, start: float, end: float) -> Progress | None:
    if progress is None:
        return None
    tell = progress
    return lambda done, left_s: tell(start + (end - start) * done, left_s)
