"""Chapters: one for each note, from the start of the video to its end."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from hypothesis import given, settings
from support import reviews as made

from cliptag.export.chapters import chapters_of
from cliptag.export.timeline import IMPRESSION_ID, TITLE_CARD_US, build_timeline
from cliptag.review import Review

DURATION_US = 10_000_000
TIMES = np.arange(0, DURATION_US, 33_333, dtype=np.int64)


def plan(review: Review, reading_us=None, **fields):
    reading_us = {note.id: 2_000_000 for note in review.notes} if reading_us is None else reading_us
    timeline = build_timeline(review, TIMES, DURATION_US, reading_us, **fields)
    return timeline, chapters_of(review, timeline)


@given(review=made.reviews(DURATION_US))
@settings(max_examples=40, deadline=None)
def test_chapters_reach_from_start_to_end_without_gap_or_overlap(review):
    timeline, chapters = plan(review, closing_cards_us=[4_000_000, 4_000_000])
    assert chapters[0].start_us == 0
    assert chapters[-1].end_us == timeline.duration_us
    for before, after in pairwise(chapters):
        assert before.end_us == after.start_us
        assert after.start_us % 1000 == 0
    assert all(chapter.start_us < chapter.end_us for chapter in chapters)


@given(review=made.reviews(DURATION_US))
@settings(max_examples=40, deadline=None)
def test_no_two_chapters_have_the_same_title(review):
    _, chapters = plan(review, closing_cards_us=[4_000_000])
    titles = [chapter.title for chapter in chapters]
    assert len(set(titles)) == len(titles)
    assert all(titles)


def test_a_chapter_starts_with_its_note_and_lasts_until_the_next():
    notes = (made.note(1), made.note(3, region="feet", kind="good"))
    timeline, chapters = plan(Review(clip=made.clip_ref(), notes=notes))
    first, second = timeline.windows
    assert [chapter.title for chapter in chapters] == [
        "Start",
        "Knees: what I see",
        "Feet: keep this",
    ]
    assert chapters[1].start_us == first.start_us // 1000 * 1000
    assert chapters[1].end_us == second.start_us // 1000 * 1000


def test_titles_that_would_be_the_same_are_numbered():
    knees = [made.note(n, kind="try") for n in (1, 2)]
    notes = (*knees, made.note(3, region="feet"))
    _, chapters = plan(Review(clip=made.clip_ref(), notes=notes))
    assert [chapter.title for chapter in chapters[1:]] == [
        "Knees: try this (1)",
        "Knees: try this (2)",
        "Feet: what I see",
    ]


def test_the_title_card_and_the_impression_are_one_chapter():
    review = Review(clip=made.clip_ref(), impression="Well done.", notes=(made.note(1),))
    _, chapters = plan(review, {IMPRESSION_ID: 2_000_000, "n1": 2_000_000})
    assert chapters[0].title == "Overall"
    assert chapters[0].end_us >= TITLE_CARD_US + 2_000_000


def test_all_closing_cards_are_one_chapter():
    exercise = made.note(1, kind="exercise")
    cards = [4_000_000, 5_000_000]
    timeline, chapters = plan(
        Review(clip=made.clip_ref(), notes=(exercise,)), closing_cards_us=cards
    )
    assert chapters[-1].title == "Exercises"
    assert abs(timeline.duration_us - 9_000_000 - chapters[-1].start_us) < 1000
    _, chapters = plan(Review(clip=made.clip_ref(), notes=(made.note(1),)), closing_cards_us=cards)
    assert chapters[-1].title == "Before you go"


def test_a_review_without_notes_is_one_chapter():
    timeline, chapters = plan(Review(clip=made.clip_ref()))
    assert [(c.start_us, c.end_us, c.title) for c in chapters] == [
        (0, timeline.duration_us, "Start")
    ]


def test_a_video_without_a_title_card_starts_with_its_first_note():
    review = Review(clip=made.clip_ref(), notes=(made.note(1, start_us=0),))
    _, chapters = plan(review, title_card=False)
    assert [chapter.title for chapter in chapters] == ["Knees: what I see"]
