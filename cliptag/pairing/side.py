"""One of the reviews that are compared, opened with its clip and measured."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from cliptag.clip import Clip
from cliptag.errors import MeasureError
from cliptag.export import one_line
from cliptag.measure import (
    Camera,
    MovementReport,
    Tracks,
    TrackStore,
    camera_of,
    follow_points,
    movement_of,
)
from cliptag.opening import open_reviewed_clip
from cliptag.paint import day_words
from cliptag.pairing.showing import Showing, shown_to_coach
from cliptag.review import Facing, Review
from cliptag.words import ENGLISH, Words

Places = NDArray[np.float64]


@dataclass(eq=False)
class Side:
    """A review, its clip, and what was measured in it.

    ``tracks`` is None without tracked points; ``report`` is None where the movement can't be told,
    and ``trouble`` then says why in a sentence. ``whose`` is the client's name also where the
    review that is shown leaves it out.
    """

    path: Path
    review: Review
    clip: Clip
    tracks: Tracks | None = None
    report: MovementReport | None = None
    trouble: str = ""
    whose: str = ""
    _apart: str = field(default="", repr=False)

    @cached_property
    def camera(self) -> Camera:
        """Roll and scale as the review tells them."""
        return camera_of(self.review)

    @property
    def words(self) -> str:
        """What it is called in English."""
        return self.name_in(ENGLISH)

    def name_in(self, words: Words) -> str:
        """What it is called: its week, else its date, else its file's name."""
        if self.review.week is not None:
            name = words.say("Week {week}", week=self.review.week)
        elif self.review.recorded_on is not None:
            name = day_words(self.review.recorded_on, words.language)
        else:
            name = one_line(self.path.name.removesuffix(".review.json"))
        return f"{name} ({self._apart})" if self._apart else name

    @property
    def facing(self) -> Facing | None:
        """Which way the client faces, as the review tells."""
        return self.review.facing

    def places(self, name: str) -> Places | None:
        """Where a tracked point is on each frame, (N, 2) pixels, smoothed where it could be."""
        if self.report is not None and name in self.report.smoothed.points:
            return self.report.smoothed.points[name].places
        if self.tracks is not None and name in self.tracks.points:
            return self.tracks.points[name]
        return None

    def told_apart(self, by: str) -> Side:
        """The same with an addition to its name, where two would be called alike."""
        return replace(self, _apart=by)


def open_side(
    review_path: str | Path,
    progress: Callable[[float, float], None] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
    showing: Showing = shown_to_coach,
) -> Side:
    """Open a review with its clip, measure it, and hide what isn't to be shown; close the clip
    yourself.

    Raises ReviewError, ClipError, TrackingCancelled when ``is_cancelled`` said so, and what
    ``showing`` raises.
    """
    path = Path(review_path)
    review, clip = open_reviewed_clip(path)
    try:
        side = measured_side(path, review, clip, progress, is_cancelled)
        side.whose = review.client
        side.review, side.clip = showing(path, review, clip)
        return side
    except BaseException:
        clip.close()
        raise


def measured_side(
    path: Path,
    review: Review,
    clip: Clip,
    progress: Callable[[float, float], None] | None = None,
    is_cancelled: Callable[[], bool] | None = None,
) -> Side:
    """A review and its open clip with everything that can be measured."""
    if not review.tracked:
        return Side(path, review, clip)
    tracks = follow_points(
        review, clip, store=TrackStore(), progress=progress, is_cancelled=is_cancelled
    )
    try:
        return Side(path, review, clip, tracks, movement_of(review, tracks))
    except MeasureError as error:
        return Side(path, review, clip, tracks, None, str(error))
