"""A review's tracked points, followed through its clip, and the movement measured from them."""

from __future__ import annotations

from collections.abc import Callable

from cliptag.errors import MeasureError
from cliptag.measure.camera import camera_of
from cliptag.measure.movement import MovementReport, measure_movement
from cliptag.measure.tracking import Film, Placement, Progress, Tracks, TrackStore, track
from cliptag.review import Facing, Review
from cliptag.times import frame_at


def placements_of(review: Review, film: Film) -> dict[str, list[Placement]]:
    """Where the review's tracked points were placed, by name, on the frames of its clip."""
    return {
        point.name: [
            Placement(frame_at(film.times_us, key.at_us), key.place.x, key.place.y, key.sd_px)
            for key in point.keys
        ]
        for point in review.tracked
    }


def follow_points(
    review: Review,
    film: Film,
    *,
    previous: Tracks | None = None,
    store: TrackStore | None = None,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> Tracks:
    """Where a review's tracked points are on every frame of its clip; see ``track``.

    Raises MeasureError when no point is tracked, TrackingCancelled when ``is_cancelled`` said so.
    """
    if not review.tracked:
        raise MeasureError("No point is tracked in this review: place some on one frame first.")
    return track(
        film,
        placements_of(review, film),
        previous=previous,
        store=store,
        progress=progress,
        is_cancelled=is_cancelled,
    )


def known_facing(review: Review) -> Facing:
    """Which way the client faces. Raises MeasureError where it isn't told."""
    if review.facing is None:
        raise MeasureError("Tell first which way the client faces, left or right.")
    return review.facing


def movement_of(review: Review, tracks: Tracks) -> MovementReport:
    """The movement, measured from where the points are.

    The moments that the coach has set stand in place of those that the curves propose.

    Raises MeasureError where nothing can be told, such as when the client's facing isn't known.
    """
    trajectories = tracks.trajectories(camera_of(review), known_facing(review))
    return measure_movement(
        trajectories, review.movement, review.cutoff_hz, confirmed=review.moments
    )


def follow_movement(
    review: Review,
    film: Film,
    *,
    store: TrackStore | None = None,
    progress: Progress | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> MovementReport:
    """Follow a review's tracked points through its clip and measure the movement.

    Raises MeasureError when no point is tracked or the client's facing isn't told, and
    TrackingCancelled when ``is_cancelled`` turned true.
    """
    known_facing(review)
    tracks = follow_points(review, film, store=store, progress=progress, is_cancelled=is_cancelled)
    return movement_of(review, tracks)
