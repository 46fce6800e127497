"""Which marks are on over a frame."""

from __future__ import annotations

import msgspec
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.reviews import clip_ref, every_mark, note

from cliptag.desk.stage.shown import NotesByFrame, marks_at
from cliptag.export import build_timeline
from cliptag.measure import reading_of
from cliptag.review import Line, Point, Review, is_measuring

UNEVEN = np.array([0, 33_000, 70_000, 70_000, 400_000, 433_000, 900_000], np.int64)
DURATION_US = 1_000_000
times = st.integers(0, DURATION_US)


@settings(deadline=None)
@given(times, times)
def test_a_note_is_on_where_the_exported_video_shows_it(start_us, length_us):
    one = note(start_us=start_us, end_us=min(start_us + length_us, DURATION_US))
    review = Review(clip=clip_ref(duration_us=DURATION_US), notes=(one,))
    timeline = build_timeline(review, UNEVEN, DURATION_US, {one.id: 500_000}, title_card=False)
    window = timeline.window_of(one.id)
    assert window is not None
    exported = {
        frame.index
        for frame in timeline.frames(UNEVEN)
        if window.start_us <= frame.out_us < window.end_us
    }
    notes = NotesByFrame((one,), UNEVEN)
    on = {index for index in range(len(UNEVEN)) if notes.on_at(index)}
    # Of two frames at the same time the export shows the last one only.
    assert exported <= on and on - exported <= {2}


@given(st.lists(st.tuples(times, times), max_size=20))
def test_the_look_up_finds_what_a_walk_through_all_notes_finds(spans):
    notes = [
        note(number, start_us=min(span), end_us=max(span)) for number, span in enumerate(spans)
    ]
    by_frame = NotesByFrame(notes, UNEVEN)
    for index in range(len(UNEVEN)):
        first = [int(np.searchsorted(UNEVEN, n.start_us, "right")) - 1 for n in notes]
        last = [int(np.searchsorted(UNEVEN, n.end_us, "right")) - 1 for n in notes]
        on = [n for n, a, z in zip(notes, first, last, strict=True) if a == index or a <= index < z]
        assert by_frame.on_at(index) == on
        assert by_frame.placed_on(index) == [
            n for n, a in zip(notes, first, strict=True) if a == index
        ]


def seen_of(review: Review, index: int, chosen: str | None = None):
    return marks_at(review, NotesByFrame(review.notes, UNEVEN), index, chosen)


LONG = note(1, start_us=33_000, end_us=433_000, marks=every_mark())
REVIEW = Review(clip=clip_ref(duration_us=DURATION_US), notes=(LONG,))


def test_marks_with_numbers_are_seen_on_their_own_frame_only():
    (own,) = seen_of(REVIEW, 1)
    assert [shown.mark.id for shown in own.marks] == [mark.id for mark in every_mark()]
    (later,) = seen_of(REVIEW, 4)
    assert [shown.mark.id for shown in later.marks] == [
        mark.id for mark in every_mark() if not is_measuring(mark)
    ]
    assert seen_of(REVIEW, 0) == [] and seen_of(REVIEW, 5) == []


def test_numbers_are_those_that_are_measured():
    (own,) = seen_of(REVIEW, 1)
    readings = {shown.mark.id: shown.reading for shown in own.marks}
    for mark in every_mark():
        expected = (
            reading_of(REVIEW, LONG.id, LONG.start_us, mark).text if is_measuring(mark) else None
        )
        assert readings[mark.id] == expected
    assert "±" in str(readings["joint"])


def test_a_mark_that_defines_no_number_is_seen_without_one():
    here = Point(5, 5)
    flat = msgspec.structs.replace(every_mark()[6], proximal=here, vertex=here)
    one = msgspec.structs.replace(LONG, marks=(flat,))
    (own,) = seen_of(msgspec.structs.replace(REVIEW, notes=(one,)), 1)
    assert own.marks[0].reading is None


def test_other_notes_are_quiet_beside_the_chosen_one_and_lie_beneath_it():
    other = note(2, start_us=33_000, end_us=433_000, marks=(every_mark()[8],))
    labelled = note(3, start_us=0, end_us=433_000, marks=(line("x", label="x"),))
    review = msgspec.structs.replace(REVIEW, notes=(LONG, other, labelled))
    loud = seen_of(review, 1)
    assert [n.note_id for n in loud] == ["n1", "n2", "n3"]
    assert all(n.strength == 1 for n in loud)
    quiet = seen_of(review, 1, chosen="n1")
    assert [n.note_id for n in quiet] == ["n2", "n3", "n1"]
    assert [n.strength < 1 for n in quiet] == [True, True, False]
    assert all(s.reading is None and not s.mark.label for n in quiet[:2] for s in n.marks)
    elsewhere = seen_of(review, 0, chosen="n1")
    assert [(n.note_id, n.strength) for n in elsewhere] == [("n3", 1.0)]


def test_of_ten_thousand_marks_only_those_on_the_frame_are_looked_at():
    times_us = np.arange(3000, dtype=np.int64) * 33_333
    marks = tuple(line(f"m{i}") for i in range(5))
    notes = tuple(
        note(i, start_us=i * 40_000, end_us=i * 40_000 + 66_667, marks=marks) for i in range(2000)
    )
    review = Review(clip=clip_ref(duration_us=100_000_000), notes=notes)
    seen = marks_at(review, NotesByFrame(notes, times_us), 1234, None)
    expected = [
        n.id for n in notes if n.start_us // 33_333 <= 1234 < max(n.end_us, n.start_us) // 33_333
    ]
    assert expected and [n.note_id for n in seen] == expected
    assert sum(len(n.marks) for n in seen) == 5 * len(expected)


def line(mark_id: str, **fields: object) -> Line:
    return Line(id=mark_id, a=Point(0, 0), b=Point(100, 100), **fields)


@pytest.mark.parametrize("index", [0, 6])
def test_without_notes_nothing_is_seen(index):
    assert seen_of(msgspec.structs.replace(REVIEW, notes=()), index) == []
