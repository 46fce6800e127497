"""What the coach places by hand and looks at, beside what was found."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.reviews import clip_ref

from cliptag.cover import Cover, Ellipse, ellipse_at
from cliptag.cover.found import Head, HeadSearch, Spot
from cliptag.cover.points import body_height_px, head_by_points
from cliptag.errors import ReviewError
from cliptag.review import CoverArea, CoverKey, Part, Point, Review, edit

TIMES_US = np.arange(0, 3_000_000, 100_000)
SAMPLES = tuple(range(len(TIMES_US)))


def key(at_us: int, x: float, y: float = 50.0, radius: float = 10.0) -> CoverKey:
    return CoverKey(at_us=at_us, centre=Point(x, y), radius_x=radius, radius_y=radius)


def review(**fields: object) -> Review:
    return Review(clip=clip_ref(duration_us=3_000_000), **fields)  # type: ignore[arg-type]


def search(seen: range, at: Ellipse, *, is_brief: bool = False) -> HeadSearch:
    """One head that stands still and is seen in some pictures only."""
    spots = tuple(
        Spot((at,), "seen" if s in seen else "held", 0 if s in seen else _far(s, seen))
        for s in SAMPLES
    )
    return HeadSearch(samples=SAMPLES, heads=(Head(first=0, spots=spots, is_brief=is_brief),))


def _far(sample: int, seen: range) -> int:
    return min(abs(sample - s) for s in seen) * 100_000


HEAD = Ellipse(100.0, 50.0, 20.0, 20.0)


def test_far_from_where_it_was_seen_a_head_is_covered_but_in_doubt():
    cover = Cover(review(), TIMES_US, search(range(10, 20), HEAD))
    assert [(d.first, d.last, d.why) for d in cover.doubts] == [(0, 6, "lost"), (23, 29, "lost")]
    assert all(HEAD in cover.at(index) for index in SAMPLES)
    assert cover.doubts[0].sentence == (
        "0.0 to 0.6 s (frames 0 to 6): the face was lost from sight"
    )


def test_what_the_coach_looked_at_is_in_doubt_no_longer_but_covered_still():
    checked = edit.with_cover_checked(review(), 0, 650_000)
    cover = Cover(checked, TIMES_US, search(range(10, 20), HEAD))
    assert [(d.first, d.last) for d in cover.doubts] == [(23, 29)]
    assert HEAD in cover.at(0)


def test_an_area_by_hand_settles_the_frames_round_it():
    area = CoverArea(id="a", keys=(key(0, 100), key(500_000, 110)))
    cover = Cover(review(covers=(area,)), TIMES_US, search(range(10, 20), HEAD))
    assert [d.first for d in cover.doubts] == [23]


def test_near_a_placing_by_hand_the_coachs_area_replaces_what_was_found_of_that_head():
    area = CoverArea(id="a", keys=(key(1_000_000, 104),))
    cover = Cover(review(covers=(area,)), TIMES_US, search(range(30), HEAD))
    assert cover.at(10) == (Ellipse(104.0, 50.0, 10.0, 10.0),)
    assert HEAD in cover.at(25)


def test_a_placing_by_hand_takes_no_cover_from_somebody_else():
    area = CoverArea(id="a", keys=(key(1_000_000, 160),))
    cover = Cover(review(covers=(area,)), TIMES_US, search(range(30), HEAD))
    assert HEAD in cover.at(10)


def test_only_what_is_sent_is_asked_about():
    part = Part(start_us=1_000_000, end_us=1_900_000)
    assert Cover(review(part=part), TIMES_US, search(range(10, 20), HEAD)).doubts == ()


def test_something_seen_only_briefly_is_covered_and_asked_about():
    brief = search(range(10, 11), HEAD, is_brief=True)
    cover = Cover(review(), TIMES_US, brief)
    assert {d.why for d in cover.doubts} == {"brief"}
    assert HEAD in cover.at(10)


def test_a_head_known_by_tracked_points_is_not_in_doubt():
    by_points = [Ellipse(104.0, 52.0, 30.0, 30.0)] * len(TIMES_US)
    cover = Cover(review(), TIMES_US, search(range(10, 20), HEAD), by_points)
    assert cover.doubts == ()
    assert by_points[0] in cover.at(3)


def test_what_nobody_shall_see_is_covered_without_a_search_and_heads_are_not():
    areas = (
        CoverArea(id="tattoo", what="other", keys=(key(0, 30),)),
        CoverArea(id="head", keys=(key(0, 100),)),
    )
    cover = Cover(review(covers=areas), TIMES_US)
    assert cover.at(7) == (Ellipse(30.0, 50.0, 10.0, 10.0),)
    assert cover.doubts == ()


def test_an_area_is_on_only_between_its_start_and_its_end():
    passer_by = CoverArea(
        id="p", what="other", keys=(key(0, 30),), start_us=500_000, end_us=1_000_000
    )
    cover = Cover(review(covers=(passer_by,)), TIMES_US)
    assert [index for index in SAMPLES if cover.at(index)] == [5, 6, 7, 8, 9, 10]


@given(st.lists(st.integers(0, 2_000_000), min_size=2, max_size=6, unique=True), st.data())
def test_an_area_goes_straight_from_key_to_key_and_stands_still_outside(times, data):
    times.sort()
    xs = [data.draw(st.floats(0, 500)) for _ in times]
    area = CoverArea(id="a", keys=tuple(key(t, x) for t, x in zip(times, xs, strict=True)))
    at_us = data.draw(st.integers(0, 3_000_000))
    expected = np.interp(at_us, times, xs)
    assert ellipse_at(area, at_us).x == pytest.approx(expected, abs=1e-6)


def test_edits_place_correct_and_take_back_an_area():
    area = CoverArea(id="a", keys=(key(500_000, 10),))
    placed = edit.with_cover(review(), area)
    placed = edit.with_cover_key(placed, "a", key(0, 5))
    assert [k.at_us for k in placed.covers[0].keys] == [0, 500_000]
    placed = edit.with_cover_key(placed, "a", key(0, 7))
    assert placed.covers[0].keys[0].centre.x == 7
    placed = edit.without_cover_key(placed, "a", 0)
    assert edit.without_cover_key(placed, "a", 500_000).covers == ()
    with pytest.raises(ReviewError, match="no covered area"):
        edit.with_cover_key(review(), "a", key(0, 5))


@given(st.lists(st.tuples(st.integers(0, 100), st.integers(0, 100)), max_size=8))
def test_stretches_looked_at_join_and_lose_nothing(stretches):
    checked = review()
    for a, b in stretches:
        checked = edit.with_cover_checked(checked, min(a, b), max(a, b))
    for time in range(101):
        wanted = any(min(a, b) <= time <= max(a, b) for a, b in stretches)
        assert any(c.start_us <= time <= c.end_us for c in checked.cover_checked) == wanted
    starts = [c.start_us for c in checked.cover_checked]
    assert starts == sorted(set(starts))


def test_a_head_by_points_reaches_from_the_crown_to_the_chin_of_a_grown_person():
    # A person 1000 px tall; head height 0.130 of it (Drillis & Contini 1966, from memory).
    count, height = 4, 1000.0
    places = {
        "ear": np.full((count, 2), (300.0, 80.0)),
        "hip": np.full((count, 2), (300.0, 500.0)),
        "knee": np.full((count, 2), (300.0, 500.0 + 0.245 * height)),
        "ankle": np.full((count, 2), (300.0, 500.0 + (0.245 + 0.246) * height)),
    }
    places["ear"][2] = np.nan
    sd = {name: np.full(count, 2.0) for name in places}
    sd["ear"][3] = 60.0
    assert body_height_px(places) == pytest.approx(height)
    heads = head_by_points(places, sd, 1920)
    first = heads[0]
    assert first is not None and 2 * first.radius_y > 1.3 * 0.130 * height
    assert heads[2] is None and heads[3] is None
