"""The transcript: the whole review in plain words."""

from __future__ import annotations

import datetime as dt
import re
import unicodedata

import numpy as np
import pytest
from hypothesis import given, settings
from support import reviews as made
from support.words import HOSTILE, SCRIPTS, at_most, letters_of

from cliptag.export.captions import reading_times
from cliptag.export.chapters import chapters_of
from cliptag.export.timeline import build_timeline
from cliptag.export.transcript import transcript_of
from cliptag.measure import UNCERTAINTY_WORDS
from cliptag.review import Joint, Note, Part, Point, Review

DURATION_US = 10_000_000
TIMES = np.arange(0, DURATION_US, 33_333, dtype=np.int64)
KNEE = Joint(id="knee", proximal=Point(1, 1), vertex=Point(2, 200), distal=Point(3, 400))


def transcript(review: Review, readings=None) -> str:
    timeline = build_timeline(review, TIMES, DURATION_US, reading_times(review, at_most(34)))
    return transcript_of(review, timeline, readings or {})


def full_review() -> Review:
    return Review(
        clip=made.clip_ref(),
        client="Ines",
        coach="Mara",
        movement="sit_to_stand",
        recorded_on=dt.date(2026, 3, 2),
        week=1,
        impression="You stand up with a good rhythm.",
        caution="Stop if anything hurts.",
        notes=(
            made.note(1, region="feet", kind="good", text="Your feet are flat.", marks=(KNEE,)),
            made.note(
                3,
                region="hips",
                kind="exercise",
                text="Sit back to a chair,\nthen stand up.",
                repetitions="3 × 8",
            ),
        ),
    )


def test_the_transcript_reads_as_a_letter_would():
    text = transcript(full_review(), {("n1", "knee"): "Knee flexion 92° ± 2°"})
    assert text == (
        "Movement review for Ines\n"
        "Sitting down and standing up, week 1\n"
        "Recorded on 2 March 2026\n"
        "Coach: Mara\n"
        "\n"
        "Stop if anything hurts.\n"
        "\n"
        "In general\n"
        "You stand up with a good rhythm.\n"
        "\n"
        "Notes, with their times in the video\n"
        "\n"
        "1. At 0:06. Feet: keep this\n"
        "Your feet are flat.\n"
        "Measured: Knee flexion 92° ± 2°\n"
        "\n"
        "2. At 0:10. Hips: exercise\n"
        "Sit back to a chair,\n"
        "then stand up.\n"
        "Repetitions: 3 × 8\n"
        "\n"
        f"{UNCERTAINTY_WORDS}\n"
        "\n"
        "Exercises\n"
        "1. Sit back to a chair, then stand up.\n"
        "Repetitions: 3 × 8\n"
        "\n"
        "Please remember\n"
        "Stop if anything hurts.\n"
    )


def test_a_note_is_named_as_its_chapter_is():
    review = Review(clip=made.clip_ref(), notes=(made.note(kind="seen"),))
    timeline = build_timeline(review, TIMES, DURATION_US, reading_times(review, at_most(34)))
    titles = [chapter.title for chapter in chapters_of(review, timeline)]
    assert "Knees: what I see" in titles
    assert ". Knees: what I see\n" in transcript(review)


def test_times_are_those_at_which_the_video_shows_the_notes():
    review = full_review()
    timeline = build_timeline(review, TIMES, DURATION_US, reading_times(review, at_most(34)))
    said = re.findall(r"At (\d+):(\d\d)\.", transcript(review))
    shown = [timeline.window_of(note.id).start_us // 1_000_000 for note in review.notes]
    assert [int(minutes) * 60 + int(seconds) for minutes, seconds in said] == shown


def test_minutes_go_on_past_the_hour():
    notes = (made.note(1, text="Go. " * 4000), made.note(2, text="Stop."))
    text = transcript(Review(clip=made.clip_ref(), notes=notes))
    minutes = int(re.findall(r"At (\d+):\d\d\. Knees", text)[1])
    assert minutes >= 10


def test_what_is_empty_is_left_out():
    text = transcript(Review(clip=made.clip_ref(), caution=""))
    assert text == "Movement review\nMovement\n"


def test_an_exercise_without_words_is_named_by_its_region():
    review = Review(clip=made.clip_ref(), notes=(made.note(1, kind="exercise", text=""),))
    assert "Exercises\n1. Knees\n" in transcript(review)


def test_notes_that_are_not_sent_are_left_out():
    review = Review(
        clip=made.clip_ref(),
        part=Part(start_us=0, end_us=3_000_000),
        notes=(made.note(1), made.note(9)),
    )
    text = transcript(review)
    assert "Note number 1." in text
    assert "Note number 9." not in text


def test_a_number_comes_with_its_mark_s_label():
    labelled = Note(
        id="n1",
        region="knees",
        kind="seen",
        start_us=0,
        end_us=1,
        marks=(
            Joint(
                id="m", label="left", proximal=Point(1, 1), vertex=Point(2, 2), distal=Point(3, 4)
            ),
        ),
    )
    text = transcript(Review(clip=made.clip_ref(), notes=(labelled,)), {("n1", "m"): "92° ± 2°"})
    assert "Measured: left: 92° ± 2°" in text


@given(review=made.reviews(DURATION_US))
@settings(max_examples=40, deadline=None)
def test_every_word_of_the_review_is_in_it(review):
    timeline = build_timeline(review, TIMES, DURATION_US, reading_times(review, at_most(34)))
    text = letters_of(transcript_of(review, timeline, {}))
    said = [review.client, review.coach, review.impression, review.caution]
    for note in review.notes:
        if timeline.window_of(note.id):
            said += [note.text, note.repetitions]
    for words in said:
        assert letters_of(words) in text


@given(review=made.reviews(DURATION_US))
@settings(max_examples=40, deadline=None)
def test_a_screen_reader_finds_only_lines_of_text(review):
    text = transcript(review)
    text.encode("utf-8")
    assert text.endswith("\n") and not text.startswith("\n")
    assert "\n\n\n" not in text
    assert unicodedata.is_normalized("NFC", text)
    assert all(unicodedata.category(char) != "Cc" for char in text.replace("\n", ""))
    assert not re.search(r"[-=_*#]{4,}", letters_of(text)) or re.search(
        r"[-=_*#]{4,}", letters_of(repr(review))
    )


@pytest.mark.parametrize("text", [*HOSTILE.values(), *SCRIPTS.values()], ids=[*HOSTILE, *SCRIPTS])
def test_any_text_in_every_field_stays_in_its_own_lines(text):
    review = Review(
        clip=made.clip_ref(),
        client=text[:200],
        coach=text[:200],
        impression=text,
        caution=text,
        notes=(made.note(1, text=text, kind="exercise", repetitions=text[:200]),),
    )
    for line in transcript(review).split("\n"):
        opened = sum(char in "\u2066\u2067\u2068" for char in line)
        embedded = sum(char in "\u202a\u202b\u202d\u202e" for char in line)
        assert line.count("\u2069") == opened
        assert line.count("\u202c") == embedded
        assert "\0" not in line and "\x1b" not in line


def test_a_right_to_left_name_doesn_t_turn_the_words_round_it():
    """Unicode Standard Annex 9, section 2.7: isolates keep what is outside them in its order."""
    text = transcript(Review(clip=made.clip_ref(), client="נועה 7"))
    assert text.startswith("Movement review for \u2068נועה 7\u2069\n")
