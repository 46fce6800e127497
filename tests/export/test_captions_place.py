"""Where captions stand: at the end of the picture where they cover less of what is spoken of."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from support import reviews as made

from cliptag.export.captions import caption_place, make_cues, reading_times
from cliptag.export.timeline import build_timeline
from cliptag.measure import MovingMarks, Tracks
from cliptag.review import CLIMB, Arrow, Joint, Plumb, Point, Review, Ring, Shade, Stroke

HEIGHT = 1920


def place(*marks, region="whole"):
    return caption_place(made.note(region=region, marks=marks), HEIGHT)


def arrow(y: float, tail_y: float | None = None) -> Arrow:
    tail = Point(10.0, y if tail_y is None else tail_y)
    return Arrow(id=f"a{y}", tail=tail, head=Point(500.0, y))


def ring(y: float, radius: float) -> Ring:
    return Ring(id=f"r{y}", centre=Point(500.0, y), radius_x=radius, radius_y=radius)


@pytest.mark.parametrize("region", ["feet", "ankles", "floor", "footwear", "load"])
def test_without_marks_what_is_low_has_its_caption_at_the_top(region):
    assert place(region=region) == "top"


@pytest.mark.parametrize("region", ["head", "neck", "gaze", "shoulders", "screen", "whole"])
def test_without_marks_what_is_high_has_its_caption_at_the_bottom(region):
    assert place(region=region) == "bottom"


def test_marks_at_the_bottom_send_the_caption_to_the_top():
    assert place(arrow(1800.0), region="head") == "top"
    knee = Joint(id="j", proximal=Point(1, 900), vertex=Point(1, 1400), distal=Point(1, 1850))
    assert place(knee, region="whole") == "top"


def test_marks_at_the_top_keep_the_caption_at_the_bottom():
    assert place(arrow(100.0), region="feet") == "bottom"


def test_marks_in_the_middle_leave_the_caption_at_the_bottom():
    assert place(arrow(960.0), region="feet") == "bottom"


def test_the_plumb_line_counts_where_it_was_placed():
    assert place(Plumb(id="p", through=Point(500.0, 1800.0))) == "top"


def test_a_moving_mark_counts_wherever_it_goes_while_its_note_is_on():
    """It was placed at the bottom, but most of the time it is at the top."""
    mark = Joint(
        id="j", proximal=Point(1, 1800), vertex=Point(1, 1850), distal=Point(1, 1900),
        follows=("a", "b", "c"),
    )  # fmt: skip
    standing = Arrow(id="a", tail=Point(1, 1800), head=Point(1, 1850))
    times_us = np.arange(0, 2_000_000, 40_000, dtype=np.int64)
    text = "Let the arm come up by itself."
    notes = (
        made.note(1, start_us=0, end_us=1_900_000, marks=(mark,), text=text),
        made.note(2, start_us=1_900_000, end_us=2_000_000, marks=(standing,), text=text),
    )
    height_px = np.where(np.arange(len(times_us)) < 5, 1800.0, 100.0)
    nothing = np.zeros(len(times_us))
    tracks = Tracks(
        times_us,
        dict.fromkeys("abc", np.c_[height_px, height_px]),
        dict.fromkeys("abc", nothing),
        dict.fromkeys("abc", nothing.astype(np.uint8)),
        dict.fromkeys("abc", nothing),
        dict.fromkeys("abc", ()),
    )
    review = Review(clip=made.clip_ref(), notes=notes)

    def fits(line: str) -> bool:
        return True

    timeline = build_timeline(review, times_us, 2_000_000, reading_times(review, fits))
    where = [cue.place for cue in make_cues(review, timeline, fits)]
    assert set(where) == {"top"}
    moving = MovingMarks(review, tracks)
    assert {cue.note_id: cue.place for cue in make_cues(review, timeline, fits, moving=moving)} == {
        "n1": "bottom",
        "n2": "top",
    }


def test_the_whole_ring_counts_and_not_only_its_centre():
    assert place(ring(1300.0, 400.0)) == "top"
    assert place(ring(1300.0, 40.0)) == "bottom"


def test_a_long_stroke_counts_no_more_than_any_other_mark():
    stroke = Stroke(id="s", points=tuple(Point(float(x), 100.0) for x in range(1000)))
    assert place(stroke, arrow(1850.0), ring(1800.0, 20.0)) == "top"


def test_equal_marks_at_both_ends_leave_the_caption_at_the_bottom():
    corners = (Point(0, 0), Point(900, 0), Point(900, 1900), Point(0, 1900))
    assert place(Shade(id="s", corners=corners), region="feet") == "bottom"


def test_a_line_through_the_picture_has_its_caption_where_it_ends_farther_from_the_edge():
    assert place(arrow(1750.0, tail_y=500.0)) == "top"
    assert place(arrow(1500.0, tail_y=100.0)) == "bottom"


@given(y=st.floats(0, HEIGHT), region=st.sampled_from(CLIMB))
def test_a_caption_never_lies_over_a_mark_that_points_at_one_place(y, region):
    where = place(arrow(y), region=region)
    band = (0, 0.28 * HEIGHT) if where == "top" else (0.72 * HEIGHT, HEIGHT)
    assert not band[0] <= y <= band[1]


def test_all_cues_of_a_note_stand_at_the_same_end():
    words = "Put your feet flat on the floor. " * 6
    review = Review(clip=made.clip_ref(), notes=(made.note(region="feet", text=words),))
    times = np.arange(0, 10_000_000, 40_000, dtype=np.int64)

    def fits(line: str) -> bool:
        return len(line) <= 30

    timeline = build_timeline(review, times, 10_000_000, reading_times(review, fits))
    cues = make_cues(review, timeline, fits)
    assert len(cues) > 2
    assert {cue.place for cue in cues} == {"top"}
