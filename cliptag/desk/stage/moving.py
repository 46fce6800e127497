"""The marks that follow points, wherever these are."""

from __future__ import annotations

from typing import TYPE_CHECKING

from cliptag.desk.following import Followed
from cliptag.desk.state import DeskState
from cliptag.errors import MeasureError
from cliptag.review import Review

if TYPE_CHECKING:
    from cliptag.measure import MovingMarks


class Moving:
    """Where such marks are, from what was followed last; made once for each result."""

    def __init__(self, state: DeskState) -> None:
        self._state = state
        self._made: MovingMarks | None = None
        self._made_for: Followed | None = None

    def of(self, review: Review) -> MovingMarks | None:
        """None where no mark follows anything, and where nothing is known of the points (yet)."""
        if not any(mark.follows for note in review.notes for mark in note.marks):
            return None
        following = self._state.following
        followed = following.followed if following else None
        if followed is not self._made_for:
            self._made, self._made_for = None, followed
            if followed is not None:
                self._made = _made_from(followed)
        return self._made


def _made_from(followed: Followed) -> MovingMarks | None:
    # Points were followed, so what this loads is loaded already.
    from cliptag.measure import MovingMarks

    try:
        return MovingMarks(followed.review, followed.tracks, followed.report)
    except MeasureError:
        return None
