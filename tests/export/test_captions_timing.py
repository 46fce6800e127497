"""When captions are on: in their note's window, one after the other, long enough to read."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support import reviews as made
from support.words import HOSTILE, PROSE, SCRIPTS, at_most

from cliptag.errors import ExportError
from cliptag.export.captions import CaptionRules, make_cues, reading_times, split_text
from cliptag.export.cues import Cue
from cliptag.export.splitting import FLICKER_US
from cliptag.export.timeline import IMPRESSION_ID, Timeline, build_timeline
from cliptag.review import Part, Review

DURATION_US = 10_000_000
STEADY = np.arange(0, DURATION_US, 33_333, dtype=np.int64)
FITS = at_most(34)

thorough = settings(max_examples=40, deadline=None)


@st.composite
def frame_times(draw: st.DrawFn) -> np.ndarray:
    steps = draw(st.lists(st.integers(0, 400_000), min_size=1, max_size=60))
    times = np.concatenate([[0], np.cumsum(steps)])
    return times[times < DURATION_US].astype(np.int64)


@st.composite
def cases(draw: st.DrawFn) -> tuple[Review, Timeline, tuple[Cue, ...], CaptionRules]:
    review = draw(made.reviews(DURATION_US))
    rules = CaptionRules(
        max_cps=draw(st.sampled_from([8.0, 13.5, 17.0])),
        max_cue_us=draw(st.sampled_from([1_000_000, 2_000_500, 7_000_000])),
        max_lines=draw(st.sampled_from([1, 2])),
    )
    fits = at_most(draw(st.integers(8, 50)))
    timeline = build_timeline(
        review, draw(frame_times()), DURATION_US, reading_times(review, fits, rules)
    )
    return review, timeline, make_cues(review, timeline, fits, rules), rules


def plan(review: Review, fits=FITS) -> tuple[Timeline, tuple[Cue, ...]]:
    timeline = build_timeline(review, STEADY, DURATION_US, reading_times(review, fits))
    return timeline, make_cues(review, timeline, fits)


def length_us(cue: Cue) -> int:
    return cue.end_us - cue.start_us


@given(case=cases())
@thorough
def test_cues_are_in_order_and_never_overlap(case):
    _, _, cues, _ = case
    for cue in cues:
        assert cue.start_us < cue.end_us
    for before, after in pairwise(cues):
        assert before.end_us <= after.start_us


@given(case=cases())
@thorough
def test_every_cue_can_be_read_in_its_time(case):
    _, _, cues, rules = case
    for cue in cues:
        assert length_us(cue) >= rules.reading_us(cue.lines)


@given(case=cases())
@thorough
def test_cues_start_and_end_on_whole_milliseconds_within_their_window(case):
    _, timeline, cues, _ = case
    for cue in cues:
        window = timeline.window_of(cue.note_id)
        assert window is not None
        assert cue.start_us % 1000 == cue.end_us % 1000 == 0
        assert window.start_us - 1000 < cue.start_us
        others = [other.start_us for other in cues if other.start_us >= cue.end_us]
        assert cue.end_us <= window.end_us or cue.end_us in others
        assert cue.end_us < window.end_us + FLICKER_US


@given(case=cases())
@thorough
def test_cues_fill_their_window_unless_they_would_stand_too_long(case):
    _, timeline, cues, rules = case
    for window in timeline.windows:
        own = [cue for cue in cues if cue.note_id == window.note_id]
        if not own:
            continue
        longest = [max(rules.max_cue_us, rules.reading_us(cue.lines)) for cue in own]
        assert all(
            length_us(cue) < most + FLICKER_US for cue, most in zip(own, longest, strict=True)
        )
        free_us = window.end_us - own[-1].end_us
        assert free_us < 1000 or all(
            most - length_us(cue) < 1000 for cue, most in zip(own, longest, strict=True)
        )


@given(case=cases())
@thorough
def test_every_page_of_every_note_that_is_sent_has_its_cue(case):
    review, timeline, cues, _ = case
    texts = {note.id: note.text for note in review.notes} | {IMPRESSION_ID: review.impression}
    for window in timeline.windows:
        own = [cue for cue in cues if cue.note_id == window.note_id]
        expected = split_text(texts[window.note_id], lambda _: True)
        assert bool(own) == bool(expected)
        assert [number for number, cue in enumerate(own) if cue.is_first] == [0][: len(own)]


def test_time_is_shared_in_proportion_to_what_there_is_to_read():
    review = Review(clip=made.clip_ref(), notes=(made.note(text=PROSE, hold_us=12_000_000),))
    _, cues = plan(review)
    rates = [length_us(cue) / CaptionRules().reading_us(cue.lines) for cue in cues]
    assert len(cues) > 2
    assert max(rates) / min(rates) == pytest.approx(1, abs=0.002)
    assert min(rates) > 1.2


def test_a_short_text_in_a_long_window_stands_seven_seconds():
    """Netflix, Timed Text Style Guide: General Requirements: 7 s at most."""
    review = Review(clip=made.clip_ref(), notes=(made.note(text="Good.", hold_us=20_000_000),))
    _, (cue,) = plan(review)
    assert length_us(cue) == 7_000_000


@given(case=cases())
@thorough
def test_captions_touch_or_leave_a_gap_that_can_be_seen(case):
    """Netflix, Timed Text Style Guide: General Requirements: no gap under two frames, but none."""
    _, _, cues, _ = case
    for before, after in pairwise(cues):
        gap_us = after.start_us - before.end_us
        assert gap_us == 0 or gap_us >= 83_333


def test_notes_one_frame_apart_have_captions_that_touch():
    first = made.note(1, end_us=1_990_000)
    second = made.note(2, start_us=2_010_000)
    _, cues = plan(Review(clip=made.clip_ref(), notes=(first, second)))
    assert cues[0].end_us == cues[1].start_us


def test_the_impression_comes_first_and_has_no_kind():
    review = Review(clip=made.clip_ref(), impression=PROSE, notes=(made.note(text="Good."),))
    _, cues = plan(review)
    own = [cue for cue in cues if cue.note_id == IMPRESSION_ID]
    assert own == list(cues[: len(own)])
    assert {(cue.kind, cue.region, cue.place) for cue in own} == {(None, "whole", "bottom")}
    assert cues[-1].kind == "seen"


def test_notes_without_words_need_no_reading_time():
    review = Review(clip=made.clip_ref(), notes=(made.note(1, text=" \n"), made.note(2)))
    assert set(reading_times(review, FITS)) == {"n2"}


def test_notes_outside_the_part_that_is_sent_have_no_captions():
    part = Part(start_us=0, end_us=3_000_000)
    review = Review(clip=made.clip_ref(), part=part, notes=(made.note(1), made.note(9)))
    _, cues = plan(review)
    assert {cue.note_id for cue in cues} == {"n1"}


def test_a_timeline_laid_out_for_other_captions_is_refused():
    review = Review(clip=made.clip_ref(), notes=(made.note(text=PROSE * 3),))
    timeline = build_timeline(review, STEADY, DURATION_US, {"n1": 2_000_000})
    with pytest.raises(ExportError, match="reading times"):
        make_cues(review, timeline, FITS)


@pytest.mark.parametrize("text", [*HOSTILE.values(), *SCRIPTS.values()], ids=[*HOSTILE, *SCRIPTS])
def test_any_text_in_every_field_gives_cues_that_can_be_read(text):
    fields = {"text": text, "repetitions": text[:200]}
    review = Review(
        clip=made.clip_ref(),
        client=text[:200],
        coach=text[:200],
        impression=text,
        notes=(made.note(1, **fields), made.note(2, kind="exercise", **fields)),
    )
    _, cues = plan(review)
    rules = CaptionRules()
    assert {cue.note_id for cue in cues} == {IMPRESSION_ID, "n1", "n2"}
    assert all(length_us(cue) >= rules.reading_us(cue.lines) for cue in cues)
    assert all("\n" not in line and "\0" not in line for cue in cues for line in cue.lines)
