"""Where the followed points are on a frame, and which of them are not to be seen there."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, TypeAlias

from cliptag.desk.state import DeskState
from cliptag.review import Point, PointKey, Review
from cliptag.times import frame_at

if TYPE_CHECKING:
    from cliptag.measure import Tracks

Missing: TypeAlias = Literal["hidden", "outside", "disputed"]


@dataclass(frozen=True, slots=True)
class SeenPoint:
    """A point on a frame: the coach placed it on that very frame, or it was followed to there."""

    at: Point
    is_placed: bool


@dataclass(frozen=True, slots=True)
class OnFrame:
    """The points of one frame by name, in the order in which they were first placed."""

    seen: Mapping[str, SeenPoint] = field(default_factory=dict)
    missing: Mapping[str, Missing] = field(default_factory=dict)
    """Points that are not there, and why; one that isn't followed yet is in neither."""


_NOTHING = OnFrame()


class PointsByFrame:
    """Looks the points up; what was found for the last frame is kept."""

    def __init__(self, state: DeskState) -> None:
        self._state = state
        self._keys: dict[str, dict[int, PointKey]] = {}
        self._keys_for: Review | None = None
        self._kept = _NOTHING
        self._kept_for: tuple[object, Tracks | None, int] | None = None

    def at(self, index: int) -> OnFrame:
        """The points on a frame."""
        keys, tracks = self.keys(), self._tracks
        kept = self._kept_for
        if kept is None or kept[0] is not keys or kept[1] is not tracks or kept[2] != index:
            self._kept = self._find(keys, tracks, index)
            self._kept_for = keys, tracks, index
        return self._kept

    def keys(self) -> dict[str, dict[int, PointKey]]:
        """Every placement: by the point's name, then by frame."""
        document, clip = self._state.document, self._state.clip
        review = document.review if document else None
        if review is not self._keys_for:
            before = self._keys_for
            self._keys_for = review
            if review is None or clip is None:
                self._keys = {}
            elif before is None or review.tracked != before.tracked:
                self._keys = {
                    point.name: {frame_at(clip.times_us, key.at_us): key for key in point.keys}
                    for point in review.tracked
                }
        return self._keys

    @property
    def _tracks(self) -> Tracks | None:
        following = self._state.following
        return following.tracks if following else None

    @staticmethod
    def _find(keys: dict[str, dict[int, PointKey]], tracks: Tracks | None, index: int) -> OnFrame:
        seen: dict[str, SeenPoint] = {}
        missing: dict[str, Missing] = {}
        for name, by_frame in keys.items():
            if index in by_frame:
                seen[name] = SeenPoint(by_frame[index].place, True)
            elif tracks is not None and name in tracks.points:
                why = _why_missing(int(tracks.states[name][index]))
                if why is None:
                    x, y = (float(value) for value in tracks.points[name][index])
                    seen[name] = SeenPoint(Point(x, y), False)
                else:
                    missing[name] = why
        return OnFrame(seen, missing)


def _why_missing(state: int) -> Missing | None:
    # There are tracks, so what this loads is loaded already.
    from cliptag.measure import State

    reasons: dict[int, Missing] = {
        State.HIDDEN: "hidden",
        State.OUTSIDE: "outside",
        State.DISPUTED: "disputed",
    }
    return reasons.get(state)
