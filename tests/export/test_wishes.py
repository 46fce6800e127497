"""What a person prefers reaches the captions, the cards and the transcript."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest
from support.exporting import review_of
from support.media import make_clip
from support.reviews import note

from cliptag.clip import open_clip
from cliptag.export import CaptionRules, ExportOptions, plan_export
from cliptag.export.cards import title_picture
from cliptag.export.transcript import transcript_of
from cliptag.paint import CaptionText, caption_box
from cliptag.words import words_of

TEXT = "Let the knees come forward over the toes before the seat lets go of the stool."


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory):
    folder: Path = tmp_path_factory.mktemp("clip")
    with open_clip(make_clip(folder / "a.mp4", size=(360, 640), seconds=1.0)) as clip:
        yield clip


def test_larger_captions_are_painted_larger_and_still_fit(clip):
    review = review_of(clip, [note(1, start_us=0, end_us=400_000, text=TEXT)])
    heights = []
    for scale in (0.85, 1.0, 1.2):
        plan = plan_export(review, clip, ExportOptions(caption_scale=scale))
        for cue in plan.cues:
            box = caption_box(CaptionText(cue.lines, "", cue.kind, cue.place), plan.sizes)
            assert box.left() >= 0 and box.right() <= clip.info.width
        two_lines = CaptionText(("Let the knees", "come forward"), "", "seen", "bottom")
        heights.append(caption_box(two_lines, plan.sizes).height())
    assert heights[2] / heights[0] == pytest.approx(1.2 / 0.85, rel=0.1)
    assert heights[0] < heights[1] < heights[2]


def test_a_slower_reader_gets_more_time(clip):
    review = review_of(clip, [note(1, start_us=0, end_us=400_000, text=TEXT)])
    lengths = {}
    for cps in (10, 17):
        plan = plan_export(review, clip, ExportOptions(rules=CaptionRules(max_cps=cps)))
        window = plan.timeline.window_of("n1")
        assert window is not None
        lengths[cps] = window.end_us - window.start_us
        assert all(
            sum(map(len, cue.lines)) / ((cue.end_us - cue.start_us) / 1e6) <= cps
            for cue in plan.cues
        )
    assert lengths[10] / lengths[17] == pytest.approx(1.7, rel=0.05)


def test_the_language_of_dates_reaches_the_card_and_the_transcript(clip):
    review = review_of(clip, recorded_on=dt.date(2026, 3, 3))
    plan = plan_export(review, clip)
    assert "3. März 2026" in transcript_of(review, plan.timeline, {}, words_of("de"))
    assert "3 March 2026" in transcript_of(review, plan.timeline, {})
    english, german = (title_picture(review, plan.size, words_of(code)) for code in ("en", "de"))
    assert not np.array_equal(english, german)


@pytest.mark.parametrize(
    ("asked", "reviews", "usual", "spoken"),
    [
        (None, None, "en", "en"),
        (None, None, "de", "de"),
        (None, "es", "de", "es"),
        ("he", "es", "de", "he"),
        ("en", "es", "de", "en"),
    ],
)
def test_the_language_asked_for_comes_before_the_reviews_and_that_before_the_usual(
    clip, asked: str | None, reviews: str | None, usual: str, spoken: str
):
    options = ExportOptions(language=asked, usual_language=usual)
    plan = plan_export(review_of(clip, language=reviews), clip, options)
    assert plan.words.language == spoken
