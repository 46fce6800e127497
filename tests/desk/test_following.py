"""Tracked points are followed behind the coach's back, and the newest wish wins."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from cliptag.desk.state import DeskState
from cliptag.review import Point, edit

DEMO = Path(__file__).parents[2] / "demo_media"


@pytest.fixture
def lift(tmp_path, qtbot, monkeypatch):
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    for name in ("lift_week01.mp4", "lift_week01.review.json"):
        shutil.copy(DEMO / name, tmp_path)
    state = DeskState()
    assert state.open(tmp_path / "lift_week01.review.json")
    yield state
    state.close()


def done(state: DeskState) -> bool:
    return state.following is not None and not state.following.is_running


def test_a_review_with_tracked_points_gets_its_movement_measured(lift, qtbot):
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    report = lift.following.report
    assert {"knee_flexion", "trunk_tilt"} <= set(report.curves)
    assert [moment.name for moment in report.proposals][:2] == ["grip", "load_off"]


def test_a_corrected_point_is_where_it_was_put_and_followed_anew_from_there(lift, qtbot):
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    before = lift.following.tracks.points["knee"]
    at = 40
    place = Point(float(before[at, 0]) + 6.0, float(before[at, 1]))
    review = edit.with_tracked_point(
        lift.document.review, "knee", int(lift.clip.times_us[at]), place
    )
    lift.document.do(review, "correct the knee")
    assert lift.following.is_running
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    after = lift.following.tracks.points["knee"]
    assert tuple(after[at]) == (place.x, place.y)
    assert after[at + 1, 0] - before[at + 1, 0] > 2.0


def test_words_alone_start_nothing(lift, qtbot):
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    followed = lift.following.followed
    lift.document.do(edit.with_fields(lift.document.review, impression="Calm."), "write")
    assert not lift.following.is_running
    assert lift.following.followed is followed


def test_without_a_facing_the_points_are_known_and_the_trouble_is_told(lift, qtbot):
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    lift.document.do(edit.with_fields(lift.document.review, facing=None), "forget the facing")
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    assert lift.following.report is None
    assert "which way the client faces" in lift.following.followed.trouble
    assert "knee" in lift.following.tracks.points


def test_it_can_be_stopped_and_goes_on_when_asked(lift, qtbot):
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    lift.document.do(edit.with_movement(lift.document.review, "bend"), "call it a bend")
    lift.following.stop()
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    assert lift.following.followed.review.movement == "lift"
    lift.following.resume()
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    assert lift.following.followed.review.movement == "bend"


def test_without_points_there_is_nothing_to_follow(lift, qtbot):
    qtbot.waitUntil(lambda: done(lift), timeout=60_000)
    lift.document.do(edit.with_fields(lift.document.review, tracked=()), "forget the points")
    assert lift.following.followed is None
    assert done(lift)
