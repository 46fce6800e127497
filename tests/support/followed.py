"""A movement that was followed already, the drawn lift's, and a desk that knows of it."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
from PyQt6.QtCore import QObject, pyqtSignal
from support.fake_clip import FakeClip, put_on_desk
from support.reviews import clip_ref
from support.trajectories import placed
from support.truth import read_truth

from cliptag.desk.following import Followed
from cliptag.desk.state import DeskState
from cliptag.measure import MovementReport, State, Tracks
from cliptag.measure.movement import measure_movement
from cliptag.review import Moment, Point, PointKey, Review, TrackedPoint

HIDDEN = slice(200, 240)
"""Frames on which the knee is hidden."""


class FakeFollowing(QObject):
    """What ``Following`` tells, as a test wants it."""

    changed = pyqtSignal()
    progressed = pyqtSignal(float)

    def __init__(self, followed: Followed | None, *, is_running: bool = False) -> None:
        super().__init__()
        self.followed = followed
        self.is_running, self.is_stopped = is_running, False

    @property
    def report(self) -> MovementReport | None:
        return self.followed.report if self.followed else None

    @property
    def tracks(self) -> Tracks | None:
        return self.followed.tracks if self.followed else None

    def stop(self) -> None:
        self.is_stopped, self.is_running = True, False
        self.changed.emit()

    def resume(self) -> None:
        self.is_stopped, self.is_running = False, True
        self.changed.emit()

    def close(self) -> None:
        pass


@cache
def followed_lift(confirmed: tuple[Moment, ...] = (), cutoff_hz: float | None = None) -> Followed:
    """The drawn lift; ``confirmed`` moments are the coach's."""
    truth = read_truth("lift_week01")
    trajectories = placed(truth, seed=5)
    knee = trajectories.points["knee"].copy()
    knee[HIDDEN] = np.nan
    trajectories = replace(trajectories, points={**trajectories.points, "knee": knee})
    report = measure_movement(trajectories, "lift", cutoff_hz, confirmed=confirmed)
    states = {}
    for name, places in trajectories.points.items():
        known = np.isfinite(places[:, 0])
        states[name] = np.where(known, State.FOLLOWED, State.HIDDEN).astype(np.uint8)
    tracks = Tracks(
        times_us=truth.times_us,
        points=trajectories.points,
        sd_px=trajectories.sd_px,
        states=states,
        likeness={name: np.ones(len(truth.times_us)) for name in states},
        keys=dict.fromkeys(states, ()),
    )
    return Followed(lift_review(), tracks, report, "")


def lift_review(**fields: object) -> Review:
    """A review of the drawn lift with points placed on its first frame."""
    truth = read_truth("lift_week01")
    tracked = tuple(
        TrackedPoint(name=name, keys=(PointKey(at_us=0, place=Point(1.0, 1.0)),))
        for name in truth.data["points"]
    )
    usual = {"movement": "lift", "facing": truth.data["facing"], "tracked": tracked}
    clip = clip_ref(duration_us=int(truth.data["times_us"][-1]) + 33_333)
    return Review(clip=clip, **{**usual, **fields})


def put_lift_on_desk(
    state: DeskState, followed: Followed | None, **fields: object
) -> FakeFollowing:
    """The lift without its file, with what is known of its points."""
    review = lift_review(**fields)
    put_on_desk(
        state, FakeClip(read_truth("lift_week01").times_us, review.clip.duration_us), review
    )
    following = FakeFollowing(followed)
    have_followed(state, following)
    return following


def have_followed(state: DeskState, following: FakeFollowing) -> None:
    """Let the desk know of it."""
    state.following = following  # type: ignore[assignment]
    following.changed.connect(state.followed)
    state.followed.emit()
