"""The timeline: without gaps, invertible where the clip plays, and long enough to read."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import reviews as made

from cliptag.errors import ExportError
from cliptag.export.timeline import (
    IMPRESSION_ID,
    LEAST_STEP_US,
    MEASURE_LOOK_US,
    STILL_STEP_US,
    TITLE_CARD_US,
    Card,
    Hold,
    Play,
    Timeline,
    build_timeline,
    notes_in_order,
)
from cliptag.review import Joint, Part, Point, Review

DURATION_US = 10_000_000
STEADY = np.arange(0, DURATION_US, 33_333, dtype=np.int64)


@st.composite
def frame_times(draw: st.DrawFn) -> np.ndarray:
    """Frame times as phones make them: uneven, at times twice the same."""
    steps = draw(st.lists(st.integers(0, 400_000), min_size=1, max_size=60))
    times = np.concatenate([[0], np.cumsum(steps)])
    return times[times < DURATION_US].astype(np.int64)


@st.composite
def cases(draw: st.DrawFn) -> tuple[Review, np.ndarray, dict[str, int], Timeline]:
    review = draw(made.reviews(DURATION_US))
    times_us = draw(frame_times())
    reading_us = {
        note.id: draw(st.integers(1_000_000, 9_000_000)) for note in review.notes if note.text
    }
    if draw(st.booleans()):
        reading_us[IMPRESSION_ID] = draw(st.integers(1_000_000, 9_000_000))
    timeline = build_timeline(
        review,
        times_us,
        DURATION_US,
        reading_us,
        title_card=draw(st.booleans()),
        closing_cards_us=draw(st.sampled_from([(), (4_000_000,), (5_000_000, 4_000_000)])),
    )
    return review, times_us, reading_us, timeline


any_case = given(case=cases())
thorough = settings(max_examples=60, deadline=None)


@any_case
@thorough
def test_spans_follow_each_other_without_gaps_and_add_up(case):
    _, _, _, timeline = case
    clock_us = 0
    for span in timeline.spans:
        assert span.out_start_us == clock_us
        assert span.out_end_us > span.out_start_us
        clock_us = span.out_end_us
    assert timeline.duration_us == clock_us


@any_case
@thorough
def test_the_clip_is_played_whole_once_and_in_order(case):
    _, times_us, _, timeline = case
    played = [span for span in timeline.spans if isinstance(span, Play)]
    if len(times_us) == 1:
        assert not played
        return
    cursor_us = 0
    for span in played:
        assert span.source_start_us == cursor_us
        cursor_us = span.source_end_us
    assert cursor_us == DURATION_US


@any_case
@thorough
def test_source_time_is_found_again_where_the_clip_plays(case):
    _, _, _, timeline = case
    last_out_us = -1
    for source_us in range(0, DURATION_US, 97_001):
        out_us = timeline.to_out_us(source_us)
        if out_us is None:
            continue
        assert timeline.to_source_us(out_us) == source_us
        assert out_us > last_out_us
        last_out_us = out_us


@any_case
@thorough
def test_output_time_never_runs_backwards_in_the_clip(case):
    _, _, _, timeline = case
    sources = [
        source_us
        for out_us in range(0, timeline.duration_us, 50_000)
        if (source_us := timeline.to_source_us(out_us)) is not None
    ]
    assert sources == sorted(sources)


@any_case
@thorough
def test_frames_rise_and_show_what_the_source_time_says(case):
    _, times_us, _, timeline = case
    last_us = -LEAST_STEP_US
    for frame in timeline.frames(times_us):
        assert frame.out_us - last_us >= LEAST_STEP_US
        last_us = frame.out_us
        assert frame.span == timeline.span_at(frame.out_us)
        source_us = timeline.to_source_us(frame.out_us)
        if frame.index is None:
            assert isinstance(frame.span, Card)
        else:
            assert source_us is not None
            assert frame.index == np.searchsorted(times_us, source_us, side="right") - 1


@any_case
@thorough
def test_every_frame_that_is_seen_is_sent(case):
    _, times_us, _, timeline = case
    sent = {frame.index for frame in timeline.frames(times_us)} - {None}
    gaps = np.diff(np.append(times_us, DURATION_US))
    seen = {index for index, gap in enumerate(gaps) if gap >= LEAST_STEP_US}
    assert sent >= seen


@any_case
@thorough
def test_windows_are_long_enough_to_read_and_never_overlap(case):
    review, _, reading_us, timeline = case
    for before, after in zip(timeline.windows, timeline.windows[1:], strict=False):
        assert before.end_us <= after.start_us
    for note_id, need_us in reading_us.items():
        window = timeline.window_of(note_id)
        assert window is not None
        assert window.end_us - window.start_us >= need_us
    shown = [window.note_id for window in timeline.windows if window.note_id != IMPRESSION_ID]
    order = [note.id for note in notes_in_order(review) if note.id in shown]
    assert shown == order


@any_case
@thorough
def test_a_measured_note_stands_still_on_its_own_frame(case):
    review, times_us, _, timeline = case
    for note in review.notes:
        if not note.is_measured or note.hold_us is not None:
            continue
        holds = [s for s in timeline.spans if isinstance(s, Hold) and s.note_id == note.id]
        (hold,) = holds
        assert hold.out_end_us - hold.out_start_us >= MEASURE_LOOK_US
        index = int(np.searchsorted(times_us, note.start_us, side="right")) - 1
        assert hold.source_us == times_us[index]


@pytest.mark.parametrize(("asked_us", "held_us"), [(0, 1_500_000), (2_000_000, 2_000_000)])
def test_a_number_can_be_read_even_where_no_standing_still_is_asked_for(asked_us, held_us):
    knee = Joint(id="k", proximal=Point(1, 1), vertex=Point(9, 9), distal=Point(1, 20))
    note = made.note(1, marks=(knee,), hold_us=asked_us)
    timeline = build_timeline(
        Review(clip=made.clip_ref(), notes=(note,)), STEADY, DURATION_US, {}, title_card=False
    )
    (hold,) = [span for span in timeline.spans if isinstance(span, Hold)]
    assert hold.out_end_us - hold.out_start_us == held_us


def test_a_number_that_goes_along_needs_no_standing_still():
    point = Point(1.0, 1.0)
    knee = Joint(id="k", proximal=point, vertex=point, distal=point, follows=("a", "b", "c"))
    note = made.note(1, marks=(knee,), hold_us=0)
    timeline = build_timeline(
        Review(clip=made.clip_ref(), notes=(note,)), STEADY, DURATION_US, {}, title_card=False
    )
    assert not any(isinstance(span, Hold) for span in timeline.spans)


def test_a_hold_lasts_as_long_as_the_note_lacks_time():
    review = Review(clip=made.clip_ref(), notes=(made.note(2),))
    timeline = build_timeline(review, STEADY, DURATION_US, {"n2": 3_000_000}, title_card=False)
    play, hold, read, rest = timeline.spans
    assert isinstance(play, Play)
    assert isinstance(hold, Hold)
    assert isinstance(read, Play)
    assert (hold.out_end_us - hold.out_start_us) + (
        read.out_end_us - read.out_start_us
    ) == 3_000_000
    assert hold.source_us == play.source_end_us == read.source_start_us == 1_999_980
    assert rest.out_end_us == timeline.duration_us


def test_slow_motion_stretches_the_notes_interval_only():
    review = Review(clip=made.clip_ref(), notes=(made.note(3, slow_by=4),))
    timeline = build_timeline(review, STEADY, DURATION_US, {}, title_card=False)
    assert [span.slow_by for span in timeline.spans] == [1, 4, 1]
    slow = timeline.spans[1]
    frames = [f.out_us for f in timeline.frames(STEADY) if f.span == slow]
    assert set(np.diff(frames)) == {4 * 33_333}


def test_a_standing_picture_turns_over_exactly_at_a_cut():
    review = Review(clip=made.clip_ref(), notes=(made.note(2),))
    timeline = build_timeline(review, STEADY, DURATION_US, {"n2": 4_000_000})
    hold = next(span for span in timeline.spans if isinstance(span, Hold))
    near = hold.out_start_us + STILL_STEP_US + 400
    cuts = (hold.out_start_us + 50_000, near)
    out = [frame.out_us for frame in timeline.frames(STEADY, cuts)]
    assert set(cuts) <= set(out)
    assert near - 400 not in out


def test_a_photo_stands_for_each_note_in_order():
    review = Review(clip=made.clip_ref(duration_us=0), notes=(made.note(1), made.note(2)))
    one = np.zeros(1, np.int64)
    timeline = build_timeline(review, one, 0, {"n1": 2_000_000, "n2": 3_000_000})
    assert [type(span) for span in timeline.spans] == [Card, Hold, Hold]
    assert timeline.duration_us == TITLE_CARD_US + 5_000_000


def test_a_photo_without_notes_is_shown_all_the_same():
    review = Review(clip=made.clip_ref(duration_us=0))
    timeline = build_timeline(review, np.zeros(1, np.int64), 0, {}, title_card=False)
    assert [type(span) for span in timeline.spans] == [Hold]


def test_only_the_part_that_is_asked_for_is_sent():
    part = Part(start_us=2_500_000, end_us=5_000_000)
    review = Review(clip=made.clip_ref(), part=part, notes=tuple(made.note(n) for n in range(1, 9)))
    timeline = build_timeline(review, STEADY, DURATION_US, {}, title_card=False)
    assert timeline.to_out_us(2_400_000) is None
    assert timeline.to_out_us(5_000_000) is None
    assert [window.note_id for window in timeline.windows] == ["n2", "n3", "n4"]
    assert timeline.to_source_us(0) == STEADY[75]


def test_a_part_behind_the_clips_end_is_refused():
    part = Part(start_us=20_000_000, end_us=30_000_000)
    review = Review(clip=made.clip_ref(), part=part)
    with pytest.raises(ExportError, match="choose an earlier part"):
        build_timeline(review, STEADY, DURATION_US, {})


def test_the_name_of_the_impressions_window_is_not_free():
    review = Review(clip=made.clip_ref(), notes=(made.note(1, id=IMPRESSION_ID),))
    with pytest.raises(ExportError, match="another id"):
        build_timeline(review, STEADY, DURATION_US, {})
