"""A note's numbers are read after its text, whole, in captions, WebVTT, transcript and card."""

from __future__ import annotations

import numpy as np
import pytest
from support.reviews import clip_ref, note
from support.words import at_most

from cliptag.export.captions import make_cues, reading_times
from cliptag.export.timeline import build_timeline
from cliptag.export.transcript import transcript_of
from cliptag.export.vtt import write_captions
from cliptag.export.vtt_check import check_vtt
from cliptag.measure import UNCERTAINTY_WORDS, number_text
from cliptag.review import Number, Review

TIMES_US = np.arange(300) * 33_333
LEAN = Number(
    name="peak_trunk_lean", words="Trunk lean, at most", value=48.2, sd=1.0, unit="°",
    sense="forward",
)  # fmt: skip
LOAD = Number(
    name="load_to_low_back", words="Load from the low back", value=45.3, sd=0.4, unit="cm"
)


def review(**fields) -> Review:
    one = note(1, **({"text": "You lean far.", "numbers": (LEAN, LOAD)} | fields))
    return Review(clip=clip_ref(), notes=(one,))


def cues_of(document: Review, fits=None):
    fits = fits or at_most(42)
    timeline = build_timeline(document, TIMES_US, 10_000_000, reading_times(document, fits))
    return timeline, make_cues(document, timeline, fits)


def lines_of(document: Review, fits=None) -> list[str]:
    return [line.replace("\u00a0", " ") for cue in cues_of(document, fits)[1] for line in cue.lines]


def test_numbers_follow_the_text_as_sentences():
    assert lines_of(review()) == [
        "You lean far.",
        f"{number_text(LEAN)}.",
        f"{number_text(LOAD)}.",
    ]


def test_a_note_of_numbers_alone_is_read_too():
    assert lines_of(review(text="", numbers=(LEAN,))) == [f"{number_text(LEAN)}."]


@pytest.mark.parametrize("width", [30, 34, 42])
def test_a_value_is_read_on_the_page_of_its_name(width):
    _, cues = cues_of(review(), at_most(width))
    for name, value in (("Trunk lean, at most:", "48°"), ("Load from the low back:", "45.3")):
        pages = [" ".join(cue.lines) for cue in cues if name in " ".join(cue.lines)]
        assert len(pages) == 1 and value in pages[0]


@pytest.mark.parametrize("width", [16, 20, 24, 30])
def test_a_value_stays_on_one_line_with_its_unit_and_its_uncertainty(width):
    text = lines_of(review(), at_most(width))
    assert any("48° ± 2°" in line for line in text)
    assert any("45.3 cm ± 0.8 cm" in line for line in text)


def test_the_webvtt_is_sound_and_has_them():
    document = review()
    text = write_captions(cues_of(document)[1])
    assert "48° ± 2° forward." in text.replace("\u00a0", " ")
    assert check_vtt(text) == ()


def test_the_transcript_tells_them_and_once_what_the_sign_means():
    document = review()
    text = transcript_of(document, cues_of(document)[0], {})
    assert f"Measured: {number_text(LEAN)}\nMeasured: {number_text(LOAD)}\n" in text
    assert text.count(UNCERTAINTY_WORDS) == 1


def test_nothing_is_said_of_measuring_where_nothing_was_measured():
    document = review(numbers=())
    assert "±" not in transcript_of(document, cues_of(document)[0], {})
