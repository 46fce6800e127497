"""The captions in the clip's own time: in order, apart, and with what they speak of."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from support import reviews as made
from support.words import PROSE, at_most

from cliptag.export.captions import CaptionRules, make_cues, reading_times
from cliptag.export.timeline import Window, build_timeline
from cliptag.export.vtt import source_time_cues
from cliptag.review import Review

DURATION_US = 10_000_000
STEADY = np.arange(0, DURATION_US, 33_333, dtype=np.int64)
STILL = np.array([0], dtype=np.int64)
FITS = at_most(34)


def plan(review: Review, times_us=STEADY):
    timeline = build_timeline(review, times_us, DURATION_US, reading_times(review, FITS))
    cues = make_cues(review, timeline, FITS)
    return timeline, cues, source_time_cues(cues, timeline)


@given(
    review=made.reviews(DURATION_US),
    times=st.lists(st.integers(1, 400_000), min_size=1, max_size=40),
)
@settings(max_examples=40, deadline=None)
def test_cues_keep_their_words_and_order_and_never_overlap(review, times):
    _, cues, moved = plan(review, np.concatenate([[0], np.cumsum(times)]).astype(np.int64))
    assert sorted((cue.note_id, cue.lines) for cue in moved) == sorted(
        (cue.note_id, cue.lines) for cue in cues
    )
    assert all(cue.end_us - cue.start_us >= 1000 for cue in moved)
    assert all(before.end_us <= after.start_us for before, after in pairwise(moved))
    for note_id in {cue.note_id for cue in cues}:
        before = [cue.lines for cue in cues if cue.note_id == note_id]
        assert [cue.lines for cue in moved if cue.note_id == note_id] == before


@given(review=made.reviews(DURATION_US))
@settings(max_examples=40, deadline=None)
def test_a_note_starts_when_the_clip_shows_it_unless_others_share_the_frame(review):
    timeline, _, moved = plan(review)

    def shown_us(window: Window) -> int:
        source_us = timeline.to_source_us(window.start_us)
        assert source_us is not None
        return source_us

    first_cues = {cue.note_id: cue for cue in reversed(moved)}
    for window in timeline.windows:
        cue = first_cues.get(window.note_id)
        if cue is None:
            continue
        late_us = cue.start_us - shown_us(window)
        assert late_us > -1000
        if late_us > 0:
            # Cues of at least a millisecond each may push on one that follows within as much.
            at = moved.index(cue)
            assert moved[at - 1].end_us == cue.start_us


def test_a_note_with_time_enough_fills_what_the_clip_shows_of_it():
    notes = (made.note(1, end_us=8_000_000, text="Keep your heels on the floor."),)
    _, _, (cue,) = plan(Review(clip=made.clip_ref(), notes=notes))
    assert abs(cue.start_us - 1_000_000) < 34_000
    assert 6_900_000 <= cue.end_us - cue.start_us <= 7_000_000


def test_a_short_note_borrows_time_until_the_next_one():
    notes = (made.note(1, end_us=1_000_000, text="Keep your heels on the floor."), made.note(6))
    _, _, (first, _) = plan(Review(clip=made.clip_ref(), notes=notes))
    rules = CaptionRules()
    assert first.end_us - first.start_us == rules.reading_us(first.lines)


def test_a_note_without_time_to_borrow_is_on_until_the_next_one():
    notes = (made.note(1, text=PROSE), made.note(2, text="Good."))
    _, _, moved = plan(Review(clip=made.clip_ref(), notes=notes))
    first = [cue for cue in moved if cue.note_id == "n1"]
    assert abs(first[-1].end_us - 2_000_000) < 34_000
    assert moved[-1].start_us == first[-1].end_us


def test_the_last_note_may_last_beyond_the_clip():
    notes = (made.note(9, start_us=9_900_000, end_us=9_950_000, text=PROSE),)
    _, _, moved = plan(Review(clip=made.clip_ref(), notes=notes))
    rules = CaptionRules()
    assert moved[-1].end_us > DURATION_US
    assert all(cue.end_us - cue.start_us >= rules.reading_us(cue.lines) for cue in moved)


def test_the_notes_of_a_photo_follow_each_other():
    notes = tuple(made.note(n, text="Keep your heels down.") for n in (1, 2, 3))
    _, _, moved = plan(Review(clip=made.clip_ref(duration_us=0), notes=notes), STILL)
    assert [cue.note_id for cue in moved] == ["n1", "n2", "n3"]
    assert [cue.start_us for cue in moved[1:]] == [cue.end_us for cue in moved[:-1]]
