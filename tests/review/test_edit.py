"""Edits are functions from a review to a review; what isn't touched is shared."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import reviews as made

from cliptag.errors import ReviewError
from cliptag.review import Arrow, Mark, Number, Point, Review, edit, points_of


@pytest.fixture
def review() -> Review:
    notes = (made.note(1, marks=made.every_mark()), made.note(2))
    return Review(clip=made.clip_ref(), movement="sit_to_stand", notes=notes)


def test_an_edit_leaves_the_review_it_started_from(review: Review):
    before = repr(review)
    edit.with_note_fields(review, "n1", text="Other words.")
    edit.without_note(review, "n2")
    assert repr(review) == before


def test_notes_that_are_not_edited_are_shared(review: Review):
    changed = edit.with_note_fields(review, "n1", text="Other words.")
    assert changed.notes[1] is review.notes[1]


@pytest.mark.parametrize("mark", made.every_mark(), ids=lambda mark: mark.id)
def test_every_point_of_every_mark_can_be_moved(review: Review, mark: Mark):
    for which in range(len(points_of(mark))):
        moved = edit.with_point(review, "n1", mark.id, which, Point(11.5, 12.25))
        now = points_of(edit.mark_of(moved, "n1", mark.id))
        was = points_of(mark)
        assert now[which] == Point(11.5, 12.25)
        assert [*now[:which], *now[which + 1 :]] == [*was[:which], *was[which + 1 :]]


@given(mark=made.marks, by_x=made.coordinates, by_y=made.coordinates)
@settings(deadline=None)
def test_moving_a_mark_moves_all_its_points_alike(mark: Mark, by_x: float, by_y: float):
    review = Review(clip=made.clip_ref(), notes=(made.note(1, marks=(mark,)),))
    moved = edit.mark_of(edit.with_mark_moved(review, "n1", mark.id, by_x, by_y), "n1", mark.id)
    expected = [Point(point.x + by_x, point.y + by_y) for point in points_of(mark)]
    assert list(points_of(moved)) == expected


def test_a_copied_mark_has_an_id_of_its_own(review: Review):
    copied = edit.with_mark_copied(review, "n1", "joint", "n2")
    (mark,) = edit.note_of(copied, "n2").marks
    assert mark.id != "joint"
    assert points_of(mark) == points_of(edit.mark_of(review, "n1", "joint"))


def test_a_mark_with_a_known_id_takes_the_place_of_the_old_one(review: Review):
    ring = edit.mark_of(review, "n1", "ring")
    again = edit.with_mark(review, "n1", edit.with_points(ring, [Point(1.0, 2.0)]))
    assert [m.id for m in again.notes[0].marks] == [m.id for m in review.notes[0].marks]


@given(by_us=st.integers(-20_000_000, 20_000_000))
def test_a_shifted_note_keeps_its_length_and_stays_in_the_clip(by_us: int):
    review = Review(clip=made.clip_ref(duration_us=10_000_000), notes=(made.note(1),))
    moved = edit.with_note_moved(review, "n1", by_us).notes[0]
    assert moved.end_us - moved.start_us == 800_000
    assert moved.start_us >= 0
    assert moved.end_us <= 10_000_000


def test_moments_stay_in_time_order_and_are_replaced(review: Review):
    review = edit.with_moment(review, "upright", 5_000_000)
    review = edit.with_moment(review, "seat_off", 3_000_000)
    review = edit.with_moment(review, "upright", 4_000_000)
    assert [(m.name, m.at_us) for m in review.moments] == [
        ("seat_off", 3_000_000),
        ("upright", 4_000_000),
    ]


def test_another_movement_drops_the_moments_it_does_not_have(review: Review):
    review = edit.with_moment(review, "seat_off", 1)
    review = edit.with_moment(review, "upright", 2)
    assert [m.name for m in edit.with_movement(review, "lift").moments] == ["upright"]


def test_looked_at_regions_keep_the_order_of_the_climb(review: Review):
    for region in ("head", "feet", "seat"):
        review = edit.with_looked_at(review, region, True)
    review = edit.with_looked_at(review, "feet", True)
    assert review.looked_at == ("feet", "head", "seat")
    assert edit.with_looked_at(review, "head", False).looked_at == ("feet", "seat")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda r: edit.with_note_fields(r, "n9", text="x"), "There is no note 'n9'"),
        (lambda r: edit.without_mark(r, "n1", "none"), "There is no mark 'none'"),
        (lambda r: edit.with_point(r, "n1", "ring", 4, Point(1, 1)), "no point number 4"),
        (lambda r: edit.with_note_fields(r, "n1", end_us=1), "ends before it starts"),
        (lambda r: edit.with_note_fields(r, "n1", region="nose"), "Invalid enum value 'nose'"),
        (lambda r: edit.with_note_fields(r, "n1", colour="red"), "would break the review"),
        (lambda r: edit.with_note(r, made.note(3, slow_by=0)), "Expected `int` >= 1"),
        (lambda r: edit.with_fields(r, week=-1), "Expected `int` >= 0"),
        (lambda r: edit.with_moment(r, "deepest", 1), "no moment called deepest"),
        (lambda r: edit.with_note_order(r, ["n1"]), "each note once"),
    ],
)
def test_a_change_that_would_break_the_review_is_refused(review: Review, change, said: str):
    with pytest.raises(ReviewError, match=said):
        change(review)


@pytest.mark.parametrize("bad", [float("nan"), float("inf"), float("-inf")])
def test_a_point_is_two_finite_numbers(bad: float):
    with pytest.raises(ValueError, match="finite"):
        Point(1.0, bad)


def test_a_tracked_point_keeps_its_placements_in_time_order(review: Review):
    for at_us, x in ((900, 3.0), (100, 1.0), (500, 2.0), (500, 2.5)):
        review = edit.with_tracked_point(review, "hip", at_us, Point(x, 0.0))
    review = edit.with_tracked_point(review, "knee", 100, Point(9.0, 9.0), sd_px=0.5)
    hip, knee = review.tracked
    assert [(key.at_us, key.place.x) for key in hip.keys] == [(100, 1.0), (500, 2.5), (900, 3.0)]
    assert knee.keys[0].sd_px == 0.5


def test_the_last_placement_takes_the_tracked_point_with_it(review: Review):
    review = edit.with_tracked_point(review, "hip", 100, Point(1.0, 1.0))
    review = edit.with_tracked_point(review, "hip", 200, Point(1.0, 1.0))
    review = edit.without_tracked_key(review, "hip", 100)
    assert [key.at_us for key in review.tracked[0].keys] == [200]
    assert edit.without_tracked_key(review, "hip", 200).tracked == ()
    assert edit.without_tracked_point(review, "hip").tracked == ()


def test_a_moment_is_set_once_in_each_repetition(review: Review):
    review = edit.with_movement(review, "bend")
    review = edit.with_moment(review, "deepest", 1_000_000)
    review = edit.with_moment(review, "deepest", 4_000_000, repetition=2)
    review = edit.with_moment(review, "deepest", 1_200_000)
    assert [(m.at_us, m.repetition) for m in review.moments] == [(1_200_000, 1), (4_000_000, 2)]
    assert [m.repetition for m in edit.without_moment(review, "deepest").moments] == [2]


def test_a_number_that_is_put_into_a_note_again_takes_its_own_place(review: Review):
    lean = Number(name="trunk_tilt", words="Trunk tilt", value=40.0, sd=1.0, unit="°", at_us=5)
    knee = msgspec.structs.replace(lean, name="knee_flexion")
    for number in (lean, knee, msgspec.structs.replace(lean, value=41.0)):
        review = edit.with_number(review, "n1", number)
    assert [(n.name, n.value) for n in review.notes[0].numbers] == [
        ("trunk_tilt", 41.0),
        ("knee_flexion", 40.0),
    ]
    assert [n.name for n in edit.without_number(review, "n1", 0).notes[0].numbers] == [
        "knee_flexion"
    ]
    with pytest.raises(ReviewError, match="no number 2"):
        edit.without_number(review, "n1", 2)


def test_a_mark_follows_as_many_points_as_it_has():
    arrow = Arrow(id="a", tail=Point(0, 0), head=Point(9, 9), follows=("hip", "knee"))
    moved = edit.with_points(arrow, (Point(1, 1), Point(2, 2)))
    assert (moved.tail, moved.follows) == (Point(1, 1), ("hip", "knee"))
    with pytest.raises(ValueError, match="2 points must follow as many"):
        msgspec.structs.replace(arrow, follows=("hip",))
