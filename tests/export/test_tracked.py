"""Points are followed for an export only where a mark needs it, and that can be stopped."""

from __future__ import annotations

import msgspec
import pytest
from support.truth import FOLDER

from cliptag.clip import open_clip
from cliptag.errors import ExportCancelled
from cliptag.export.tracked import has_moving_marks, moving_marks_of, share_of
from cliptag.opening import open_reviewed_clip, start_review
from cliptag.review import Line, Note, Point, PointKey, Review, TrackedPoint, load_review

LIFT = load_review(FOLDER / "lift_week01.review.json")
LINE = Line(id="l", a=Point(10, 10), b=Point(20, 20), follows=("hip", "knee"))


def with_line(review: Review, *names: str) -> Review:
    one = Note(id="n", region="hips", kind="seen", start_us=0, end_us=0, marks=(LINE,))
    places = (PointKey(at_us=0, place=Point(400, 400), sd_px=1.0),)
    tracked = tuple(TrackedPoint(name=name, keys=places) for name in names)
    return msgspec.structs.replace(review, notes=(one,), tracked=tracked)


def test_only_marks_whose_points_are_all_tracked_move():
    assert has_moving_marks(LIFT)
    assert has_moving_marks(with_line(LIFT, "hip", "knee"))
    assert not has_moving_marks(with_line(LIFT, "hip"))
    assert not has_moving_marks(msgspec.structs.replace(LIFT, notes=()))


def test_without_them_the_clip_is_not_even_looked_at():
    assert moving_marks_of(with_line(LIFT, "hip"), None) is None  # type: ignore[arg-type]


def test_following_stops_when_it_shall_and_says_that_nothing_is_left(tmp_path, monkeypatch):
    # A cache of its own: what another test has followed would need no following here.
    monkeypatch.setattr(
        "cliptag.measure.tracking.kept.platformdirs.user_cache_path", lambda *_, **__: tmp_path
    )
    review, clip = open_reviewed_clip(FOLDER / "lift_week01.review.json")
    with clip, pytest.raises(ExportCancelled, match="nothing was left behind"):
        moving_marks_of(review, clip, is_cancelled=lambda: True)


def test_on_a_photo_a_following_mark_stays_where_it_was_placed():
    with open_clip(FOLDER / "standing_week01.jpg") as photo:
        review = with_line(start_review(photo), "hip", "knee")
        assert moving_marks_of(review, photo) is None


def test_a_part_of_the_work_is_told_as_its_share():
    told: list[tuple[float, float | None]] = []
    first = share_of(lambda done, left_s: told.append((done, left_s)), 0.0, 0.25)
    rest = share_of(lambda done, left_s: told.append((done, left_s)), 0.25, 1.0)
    first(0.5, 4.0)
    rest(0.5, 4.0)
    assert told == [(0.125, None), (0.625, 4.0)]
    assert share_of(None, 0.0, 1.0) is None
