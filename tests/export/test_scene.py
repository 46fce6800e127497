"""What is over a picture: marks as long as their note is on, numbers on their own frame only."""

from __future__ import annotations

import numpy as np
import pytest
from support.reviews import clip_ref, every_mark, note

from cliptag.export.cues import Cue
from cliptag.export.scene import NOTHING, Scene
from cliptag.export.timeline import OutputFrame, build_timeline
from cliptag.review import PlumbLine, Point, Review, is_measuring

TIMES_US = np.arange(0, 10_000_000, 40_000)
READINGS = {("n1", "joint"): "Knee flexion 92° ± 2°", ("n2", "joint"): "another's"}


def review(**fields) -> Review:
    notes = (
        note(1, marks=every_mark(), kind="try", text="First."),
        note(4, region="head", text="Second."),
    )
    return Review(clip=clip_ref(), **({"notes": notes} | fields))


REVIEW = review()
TIMELINE = build_timeline(
    REVIEW, TIMES_US, 10_000_000, {"n1": 4_000_000, "n4": 1_000_000}, closing_cards_us=(2_000_000,)
)
FIRST, SECOND = (TIMELINE.window_of(name) for name in ("n1", "n4"))
CUES = (
    Cue(FIRST.start_us, FIRST.start_us + 2_000_000, ("One.",), "n1", "knees", "try", "top", True),
    Cue(FIRST.start_us + 2_000_000, FIRST.end_us, ("Two.",), "n1", "knees", "try", "top", False),
    Cue(SECOND.start_us, SECOND.end_us - 200_000, ("X.",), "n4", "head", None, "bottom", True),
)
SCENE = Scene(REVIEW, TIMELINE, CUES, READINGS)


def frame_at(out_us: int) -> OutputFrame:
    return OutputFrame(out_us, TIMELINE.span_at(out_us), 0)


def overlay_at(out_us: int):
    return SCENE.overlay(SCENE.shown_at(frame_at(out_us)))


def test_while_the_picture_stands_still_all_marks_show():
    overlay = overlay_at(FIRST.start_us)
    assert tuple(shown.mark for shown in overlay.marks) == every_mark()
    assert {shown.kind for shown in overlay.marks} == {"try"}


def test_a_mark_with_a_number_shows_its_own_reading():
    readings = {shown.mark.id: shown.reading for shown in overlay_at(FIRST.start_us).marks}
    assert readings["joint"] == "Knee flexion 92° ± 2°"
    assert readings["arrow"] is None and readings["tilt"] is None


def test_once_the_clip_runs_on_marks_with_numbers_are_gone_and_the_others_stay():
    shown = [shown.mark for shown in overlay_at(FIRST.end_us - 1).marks]
    assert shown == [mark for mark in every_mark() if not is_measuring(mark)]


@pytest.mark.parametrize("out_us", [FIRST.start_us - 1, FIRST.end_us])
def test_before_and_after_the_note_there_is_nothing(out_us):
    assert SCENE.shown_at(frame_at(out_us)) == NOTHING
    assert overlay_at(out_us).marks == () and overlay_at(out_us).caption is None


def test_each_caption_is_on_from_its_start_until_its_end():
    def lines(out_us):
        caption = overlay_at(out_us).caption
        return caption and caption.lines

    assert lines(CUES[0].start_us) == lines(CUES[0].end_us - 1) == ("One.",)
    assert lines(CUES[1].start_us) == lines(CUES[1].end_us - 1) == ("Two.",)
    assert lines(CUES[2].end_us - 1) == ("X.",)
    assert lines(CUES[2].end_us) is None


def test_a_caption_tells_its_kind_region_and_place():
    first = overlay_at(CUES[0].start_us).caption
    assert (first.heading, first.kind, first.place) == ("Try this · Knees", "try", "top")
    third = overlay_at(CUES[2].start_us).caption
    assert (third.heading, third.kind, third.place) == ("Head", None, "bottom")


def test_labels_stay_off_all_captions_of_their_note_so_that_they_do_not_jump():
    clear = [overlay_at(cue.start_us).keep_clear for cue in CUES[:2]]
    assert clear[0] == clear[1]
    assert [caption.lines for caption in clear[0]] == [("One.",), ("Two.",)]


def test_pictures_with_equal_keys_have_equal_overlays_and_all_others_differ():
    frames = list(TIMELINE.frames(TIMES_US, SCENE.changes_us))
    overlays = {}
    for frame in frames:
        shown = SCENE.shown_at(frame)
        assert overlays.setdefault(shown, SCENE.overlay(shown)) == SCENE.overlay(shown)
    # still and moving with each of two captions where they come, the second note's, and nothing
    assert 4 <= len(overlays) <= 7


def test_nothing_is_painted_over_a_card():
    assert SCENE.shown_at(frame_at(0)) == NOTHING
    assert SCENE.shown_at(frame_at(TIMELINE.duration_us - 1)) == NOTHING


def test_captions_that_turn_over_while_the_picture_stands_get_a_picture_at_that_very_time():
    times = {frame.out_us for frame in TIMELINE.frames(TIMES_US, SCENE.changes_us)}
    assert CUES[0].end_us in times


def test_the_true_vertical_is_the_reviews_own():
    leaning = PlumbLine(top=Point(120.0, 100.0), bottom=Point(100.0, 500.0))
    scene = Scene(review(plumb=leaning), TIMELINE, CUES, {})
    overlay = scene.overlay(scene.shown_at(frame_at(FIRST.start_us)))
    assert overlay.plumb_deg == pytest.approx(np.degrees(np.arctan2(20, 400)))
    assert overlay_at(FIRST.start_us).plumb_deg == 0.0
