"""The strip's sums: the axis, its ticks, times in words, lanes, flags."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.reviews import note

from cliptag.desk.strip import FrameTimes, parse_time, time_words
from cliptag.desk.strip.axis import TimeAxis
from cliptag.desk.strip.flags import place_flags
from cliptag.desk.strip.layout import lay_out
from cliptag.desk.strip.ticks import ticks_of
from cliptag.review import Moment

durations = st.integers(1, 4 * 3_600_000_000)
axes = st.builds(
    lambda duration, left, width, zooms: _zoomed(TimeAxis(duration).laid(left, width), zooms),
    durations,
    st.floats(0, 50),
    st.floats(50, 4000),
    st.lists(st.tuples(st.floats(0.2, 5.0), st.floats(0, 1)), max_size=6),
)


def _zoomed(axis: TimeAxis, zooms: list[tuple[float, float]]) -> TimeAxis:
    for factor, share in zooms:
        axis = axis.zoomed(factor, axis.left + share * axis.width)
    return axis


@given(axes, st.floats(0, 1))
def test_a_time_and_its_place_belong_together(axis, share):
    time_us = axis.start_us + share * axis.length_us
    assert axis.free_us_at(axis.x_of(time_us)) == pytest.approx(time_us, abs=1e-3 + 1e-9 * time_us)


@given(axes, st.floats(-5000, 5000))
def test_the_axis_never_leaves_the_clip(axis, by_px):
    for moved in (axis, axis.scrolled_px(by_px), axis.zoomed(1.3, by_px), axis.with_seen(0)):
        assert moved.start_us >= 0.0
        assert moved.end_us <= moved.duration_us + 1e-3
        assert 0 <= moved.us_at(by_px) <= moved.duration_us


@given(axes, st.floats(1.05, 8.0), st.floats(0.0, 1.0))
def test_zooming_in_keeps_the_time_under_the_pointer(axis, factor, share):
    x = axis.left + share * axis.width
    closer = axis.zoomed(factor, x)
    if not closer.shows_all:
        assert closer.free_us_at(x) == pytest.approx(axis.free_us_at(x), abs=2.0)
        assert closer.length_us <= axis.length_us


@given(axes, st.floats(0, 1))
def test_what_is_to_be_seen_is_seen(axis, share):
    time_us = share * axis.duration_us
    shown = axis.with_seen(time_us)
    assert shown.start_us - 1e-3 <= time_us <= shown.end_us + 1e-3
    assert shown.length_us == axis.length_us


@given(axes, st.floats(20, 150))
def test_written_times_are_round_and_never_crowded(axis, widest):
    ticks = ticks_of(axis, widest)
    xs = [axis.x_of(tick.at_us) for tick in ticks if tick.words]
    assert all(b - a >= widest - 1e-6 for a, b in itertools.pairwise(xs))
    assert len({tick.words for tick in ticks if tick.words}) == len(xs)
    assert all(axis.left - 1e-6 <= x <= axis.left + axis.width + 1e-6 for x in xs)
    for tick in ticks:
        if tick.words:
            assert abs(parse_time(tick.words) - tick.at_us) < 1


def test_a_usual_clip_has_a_time_at_every_second_or_so():
    axis = TimeAxis(8_000_000).laid(0, 1000)
    words = [tick.words for tick in ticks_of(axis, 90) if tick.words]
    assert words == [f"0:0{second}" for second in range(9)]


@given(st.integers(0, 10**12))
def test_a_shown_time_is_read_back_to_the_millisecond(time_us):
    assert parse_time(time_words(time_us)) == time_us // 1000 * 1000
    assert parse_time(time_words(time_us, 6)) == time_us


@pytest.mark.parametrize(
    ("text", "time_us"),
    [
        ("3", 3_000_000),
        ("3.5", 3_500_000),
        ("3,467 s", 3_467_000),
        ("0:03.467", 3_467_000),
        ("1:02:03", 3_723_000_000),
        ("75", 75_000_000),
        ("90:00", 5_400_000_000),
        ("0.0000001", None),
        ("1:75", None),
        ("1:61:00", None),
        ("-1", None),
        ("3.", None),
        ("", None),
        ("three", None),
        ("٣", None),
    ],
)
def test_times_are_typed_in_the_usual_ways(text, time_us):
    assert parse_time(text) == time_us


def test_times_are_shown_with_hours_only_when_there_are_any():
    assert time_words(3_467_890) == "0:03.467"
    assert time_words(3_723_000_000, 1) == "1:02:03.0"
    assert time_words(59_999_999, 0) == "0:59"


TIMES = FrameTimes(np.array([0, 33_000, 70_000, 400_000, 433_000, 900_000], np.int64), 1_000_000)


@pytest.mark.parametrize(
    ("time_us", "start_us", "end_us"),
    [
        (-5, 0, 0),
        (50_000, 33_000, 33_000),
        (52_000, 70_000, 70_000),
        (949_000, 900_000, 900_000),
        (951_000, 900_000, 1_000_000),
        (10**9, 900_000, 1_000_000),
    ],
)
def test_starts_land_on_frames_and_ends_also_on_the_clips_end(time_us, start_us, end_us):
    assert TIMES.start_near(time_us) == start_us
    assert TIMES.end_near(time_us) == end_us


intervals = st.lists(
    st.tuples(st.integers(0, 10_000), st.integers(0, 3000)).map(lambda t: (t[0], t[0] + t[1])),
    max_size=60,
)


def _notes(spans):
    return tuple(
        note(number, start_us=start, end_us=end) for number, (start, end) in enumerate(spans)
    )


BARE_US = 100


def _laid(spans, worded_us: int, most: int, frozen=None):
    notes = _notes(spans)
    return lay_out(notes, BARE_US, [worded_us] * len(notes), most, frozen)


def _until(note, least_us: int) -> int:
    return max(note.end_us, note.start_us + least_us)


def _bars(layout):
    return list(zip(layout.notes, layout.lanes.tolist(), strict=True))


@given(intervals)
def test_with_lanes_enough_no_bars_overlap_and_no_lane_is_wasted(spans):
    layout = _laid(spans, 400, 1000)
    for place, (note_, lane) in enumerate(_bars(layout)):
        for other, its_lane in _bars(layout)[place + 1 :]:
            if its_lane == lane:
                assert other.start_us >= _until(note_, 400)
    busiest = max(
        (
            sum(n.start_us <= at.start_us < _until(n, 400) for n in layout.notes)
            for at in layout.notes
        ),
        default=0,
    )
    assert layout.lane_count == busiest


@given(intervals, st.integers(1, 5))
def test_no_more_lanes_are_used_than_there_are(spans, most):
    layout = _laid(spans, 400, most)
    assert layout.lane_count <= most
    assert all(0 <= lane < most for lane in layout.lanes)


@given(intervals, st.integers(1, 5))
def test_bars_hide_each_other_only_when_every_lane_is_full(spans, most):
    layout = _laid(spans, 400, most)
    for place, (note_, lane) in enumerate(_bars(layout)):
        before = _bars(layout)[:place]
        if any(its == lane and _until(n, BARE_US) > note_.start_us for n, its in before):
            full = {its for n, its in before if _until(n, BARE_US) > note_.start_us}
            assert full == set(range(most))


@given(intervals, st.integers(1, 5))
def test_each_bar_knows_how_much_room_it_has(spans, most):
    layout = _laid(spans, BARE_US, most)
    for place, (note_, lane) in enumerate(_bars(layout)):
        rest = [other.start_us for other, its in _bars(layout)[place + 1 :] if its == lane]
        assert layout.room_us[place] == (rest[0] - note_.start_us if rest else math.inf)


@given(intervals, st.integers(0, 12_000), st.integers(0, 4000))
def test_every_bar_that_is_seen_is_painted(spans, start, length):
    layout = _laid(spans, 400, 3)
    found = set(layout.between(start, start + length))
    for place, note_ in enumerate(layout.notes):
        if note_.start_us <= start + length and _until(note_, 400) > start:
            assert place in found


def test_notes_that_start_together_lie_in_the_documents_order():
    notes = _notes([(500, 600)] * 3)
    layout = lay_out((notes[2], notes[0], notes[1]), BARE_US, [150] * 3, 9)
    assert [note_.id for note_ in layout.notes] == ["n2", "n0", "n1"]
    assert layout.lanes.tolist() == [0, 1, 2]


def test_words_are_hidden_only_when_no_lane_is_left():
    # Bars of 400 with words, 100 without; the third has no lane of its own.
    assert _laid([(0, 10), (50, 60), (120, 130)], 400, 2).lanes.tolist() == [0, 1, 0]
    assert _laid([(0, 10), (50, 60), (120, 130)], 400, 3).lanes.tolist() == [0, 1, 2]
    assert _laid([(0, 10), (50, 60), (450, 460)], 400, 3).lanes.tolist() == [0, 1, 0]


def test_a_frozen_lane_is_kept():
    layout = _laid([(0, 100), (500, 600)], BARE_US, 5, {"n1": 3})
    assert layout.lanes_by_id() == {"n0": 0, "n1": 3}


def test_flags_fly_to_the_side_where_their_words_fit():
    moments = [
        Moment(name=name, at_us=0) for name in ("first_lean", "seat_off", "upright", "settled")
    ]
    flags = place_flags(moments, [100, 140, 150, 400], [60, 50, 50, 50], gap=4, bare=10)
    assert [(flag.has_words, flag.tip) for flag in flags] == [
        (True, 40),
        (False, 150),
        (True, 200),
        (True, 450),
    ]


def test_a_flag_at_the_end_of_the_strip_flies_back_into_it():
    moment = Moment(name="settled", at_us=0)
    (flag,) = place_flags([moment], [980], [50], gap=4, bare=10, end=1000)
    assert (flag.has_words, flag.tip) == (True, 930)


@given(st.lists(st.tuples(st.floats(0, 1000), st.floats(20, 90)), max_size=8))
def test_flags_with_words_never_cover_each_other(places):
    places.sort()
    moments = [Moment(name="start", at_us=0)] * len(places)
    flags = place_flags(moments, [x for x, _ in places], [w for _, w in places], 4, 10)
    spans = sorted(sorted((flag.x, flag.tip)) for flag in flags if flag.has_words)
    for before, after in itertools.pairwise(spans):
        assert before[1] <= after[0]
