"""A note's voice in the document: given, trimmed, taken away; drafts wait until they are read."""

from __future__ import annotations

import msgspec
import pytest
from support import reviews as made

from cliptag.errors import ReviewError
from cliptag.review import Review, Voice, edit, encode_review

VOICE = Voice(path="ines.voice/n1-1.flac", start_us=0, end_us=4_000_000, digest="0" * 32)


@pytest.fixture
def review() -> Review:
    return Review(clip=made.clip_ref(), notes=(made.note(1, text=""), made.note(2)))


def test_a_voice_is_given_and_taken_away(review):
    spoken = edit.with_voice(review, "n1", VOICE)
    assert edit.note_of(spoken, "n1").voice == VOICE
    assert edit.with_voice(spoken, "n1", None) == review


def test_a_review_with_voices_is_the_same_after_its_file(review):
    spoken = edit.with_voice(review, "n1", VOICE)
    assert msgspec.json.decode(encode_review(spoken), type=Review) == spoken


def test_trimming_keeps_the_take(review):
    spoken = edit.with_voice_trim(edit.with_voice(review, "n1", VOICE), "n1", 500_000, 3_000_000)
    voice = edit.note_of(spoken, "n1").voice
    assert voice is not None and voice.path == VOICE.path and voice.length_us == 2_500_000


@pytest.mark.parametrize(("start_us", "end_us"), [(5, 5), (9, 3), (-1, 4)])
def test_a_voice_that_ends_before_it_starts_is_refused(review, start_us, end_us):
    spoken = edit.with_voice(review, "n1", VOICE)
    with pytest.raises(ReviewError):
        edit.with_voice_trim(spoken, "n1", start_us, end_us)


def test_a_note_without_a_voice_cannot_be_trimmed_or_drafted(review):
    for change in (
        lambda: edit.with_voice_trim(review, "n2", 0, 1),
        lambda: edit.with_draft_text(review, "n2", "Words."),
    ):
        with pytest.raises(ReviewError, match="has no voice: record it first"):
            change()


def test_a_draft_waits_to_be_read(review):
    draft = edit.with_draft_text(edit.with_voice(review, "n1", VOICE), "n1", "Porridge.")
    assert edit.note_of(draft, "n1").is_draft
    sent = edit.without_unread_drafts(draft)
    assert edit.note_of(sent, "n1").text == "" and sent.notes[1] is draft.notes[1]
    read = edit.with_text_read(draft, "n1")
    assert edit.without_unread_drafts(read) is read
    assert edit.note_of(read, "n1").text == "Porridge."
    mended = edit.note_of(edit.with_text_read(draft, "n1", "Push."), "n1")
    assert mended.text == "Push." and not mended.is_draft


def test_a_new_take_drops_the_draft_of_the_old_one_but_not_the_coachs_words(review):
    draft = edit.with_draft_text(edit.with_voice(review, "n1", VOICE), "n1", "Porridge.")
    other = msgspec.structs.replace(VOICE, path="ines.voice/n1-2.flac")
    assert edit.note_of(edit.with_voice(draft, "n1", other), "n1").text == ""
    assert edit.note_of(edit.with_voice(review, "n2", other), "n2").text == "Note number 2."


def test_paths_change_together_for_a_review_that_is_kept_elsewhere(review):
    spoken = edit.with_voice(review, "n1", VOICE)
    moved = edit.with_voice_paths(spoken, lambda path: f"/home/{path}")
    voice = edit.note_of(moved, "n1").voice
    assert voice is not None and voice.path == "/home/ines.voice/n1-1.flac"
    assert moved.notes[1] == spoken.notes[1]
