"""Marks that follow points go with them in the exported picture, calmly, and never by guess."""

from __future__ import annotations

import re

import numpy as np
from support.reviews import clip_ref, note

from cliptag.export.calm import CalmReadings
from cliptag.export.cues import Cue
from cliptag.export.scene import Scene, Shown
from cliptag.export.timeline import Hold, Play, build_timeline
from cliptag.measure import MovingMarks, Tracks
from cliptag.paint import Sizes, caption_box, label_boxes
from cliptag.review import Arrow, Joint, Point, Review, Tilt, points_of

TIMES_US = (np.arange(150) * 1e6 / 30).astype(np.int64)
ORIGIN = Point(0.0, 0.0)
SIZES = Sizes(1080, 1920)
TRUNK = Tilt(id="trunk", segment="trunk", lower=ORIGIN, upper=ORIGIN, follows=("hip", "shoulder"))
KNEE = Joint(
    id="knee", joint="knee", proximal=ORIGIN, vertex=ORIGIN, distal=ORIGIN,
    follows=("hip", "knee", "ankle"),
)  # fmt: skip
STILL = Arrow(id="arrow", tail=Point(100, 1200), head=Point(200, 1300))
NUMBERED = Tilt(id="still", segment="shank", lower=Point(500, 1700), upper=Point(520, 1400))


def tracks(hidden: slice | None = None) -> Tracks:
    """A body that leans forward from 0 to 80 degrees and back; the hip goes to the right."""
    lean = np.radians(40 - 40 * np.cos(TIMES_US / 5e6 * 2 * np.pi))
    hip = np.c_[400 + TIMES_US / 5e6 * 200, np.full(len(TIMES_US), 1100.0)]
    points = {
        "hip": hip,
        "shoulder": hip + 400 * np.c_[np.sin(lean), -np.cos(lean)],
        "knee": np.full((len(TIMES_US), 2), (560.0, 1400.0)),
        "ankle": np.full((len(TIMES_US), 2), (500.0, 1750.0)),
    }
    if hidden is not None:
        points["shoulder"][hidden] = np.nan
    sd = {name: np.where(np.isnan(places[:, 0]), np.nan, 1.5) for name, places in points.items()}
    nothing = {name: np.zeros(len(TIMES_US)) for name in points}
    states = {name: np.zeros(len(TIMES_US), np.uint8) for name in points}
    return Tracks(TIMES_US, points, sd, states, nothing, dict.fromkeys(points, ()))


def review(*marks) -> Review:
    one = note(1, start_us=1_000_000, end_us=4_000_000, kind="try", marks=marks)
    clip = clip_ref(duration_us=5_000_000)
    return Review(clip=clip, facing="right", movement="bend", notes=(one,))


def scene_of(document: Review, found: Tracks) -> tuple[Scene, list]:
    timeline = build_timeline(document, TIMES_US, 5_000_000, {"n1": 2_000_000}, title_card=False)
    window = timeline.window_of("n1")
    lines = ("Bend the hips.",)
    cue = Cue(window.start_us, window.end_us, lines, "n1", "hips", "try", "bottom", True)
    scene = Scene(document, timeline, (cue,), {}, moving=MovingMarks(document, found))
    frames = [f for f in timeline.frames(TIMES_US, ()) if timeline.window_at(f.out_us) is window]
    return scene, frames


SCENE, FRAMES = scene_of(review(TRUNK, KNEE, STILL, NUMBERED), tracks())
MOVING = MovingMarks(review(TRUNK, KNEE), tracks())


def moving(scene, frame):
    return scene.moving_overlay(scene.shown_at(frame)).marks


def test_a_following_mark_is_where_its_points_are_on_every_picture_of_its_note():
    assert {type(frame.span) for frame in FRAMES} == {Hold, Play} and len(FRAMES) > 90
    for frame in FRAMES:
        shown = {one.mark.id: one.mark for one in moving(SCENE, frame)}
        assert set(shown) == {"trunk", "knee"}
        assert shown["trunk"] == MOVING.at(TRUNK, frame.index)
        assert shown["knee"] == MOVING.at(KNEE, frame.index)


def test_its_label_has_the_number_of_the_frame_in_whole_degrees():
    for frame in FRAMES[::5]:
        texts = {one.mark.id: one.reading for one in moving(SCENE, frame)}
        value = MOVING.reading("n1", TRUNK, frame.index).value
        assert texts["trunk"] == f"Trunk tilt {round(value)}° ± 1° forward"
        assert re.fullmatch(r"Knee flexion \d+° ± 1°", texts["knee"])


def test_the_transcript_says_of_a_moving_mark_what_its_picture_says():
    document = review(TRUNK, KNEE, STILL, NUMBERED)
    timeline = build_timeline(document, TIMES_US, 5_000_000, {"n1": 2_000_000}, title_card=False)
    calm, (noted,) = CalmReadings(MOVING, timeline), document.notes
    first = next(frame for frame in FRAMES if isinstance(frame.span, Hold))
    texts = {one.mark.id: one.reading for one in moving(SCENE, first)}
    for mark in (TRUNK, KNEE):
        assert calm.at_start(noted, mark).text == texts[mark.id]


def test_what_does_not_follow_stays_in_the_layer_that_rests():
    held = next(frame for frame in FRAMES if isinstance(frame.span, Hold))
    runs = next(frame for frame in FRAMES if isinstance(frame.span, Play))
    for frame, ids in ((held, {"arrow", "still"}), (runs, {"arrow"})):
        shown = SCENE.shown_at(frame)
        assert {one.mark.id for one in SCENE.overlay(shown).marks} == ids
        assert SCENE.overlay(shown) == SCENE.overlay(shown.at_rest)
    rests = {SCENE.shown_at(frame).at_rest for frame in FRAMES}
    assert len(rests) == 2, "held and running: painted twice in the whole note"


def test_labels_keep_their_size_and_go_with_one_of_their_points():
    """From picture to picture a label moves as that point does, and never hops."""
    seen = [moving(SCENE, frame) for frame in FRAMES if isinstance(frame.span, Play)]
    boxes = [label_boxes(marks, SIZES) for marks in seen]
    for which in (0, 1):
        corners = np.array([(box[which].x(), box[which].y()) for box in boxes])
        assert {(box[which].width(), box[which].height()) for box in boxes} == {
            (boxes[0][which].width(), boxes[0][which].height())
        }
        ways = np.array([[(p.x, p.y) for p in points_of(marks[which].mark)] for marks in seen])
        steps, theirs = np.abs(np.diff(corners, axis=0)), np.abs(np.diff(ways, axis=0))
        # The picture's edge may hold a label back, but nothing ever moves it faster.
        faster = (steps[:, None] - theirs).max(axis=(0, 2))
        assert faster.min() < 1e-6


def test_labels_stay_off_the_captions_of_their_note():
    clear = [caption_box(caption, SIZES) for caption in SCENE.overlay(Shown("n1", 0)).keep_clear]
    assert clear
    for frame in FRAMES:
        for box in label_boxes(moving(SCENE, frame), SIZES):
            assert not any(box.intersects(caption) for caption in clear)


def test_a_mark_with_a_hidden_point_is_not_drawn_and_the_others_are():
    scene, frames = scene_of(review(TRUNK, KNEE), tracks(hidden=slice(50, 80)))
    for frame in frames:
        ids = {one.mark.id for one in moving(scene, frame)}
        assert ids == ({"knee"} if 50 <= frame.index < 80 else {"trunk", "knee"}), frame.index


def test_without_tracks_a_following_mark_stands_where_it_was_placed():
    document = review(TRUNK, STILL)
    timeline = build_timeline(document, TIMES_US, 5_000_000, {}, title_card=False)
    scene = Scene(document, timeline, (), {})
    held = next(f for f in timeline.frames(TIMES_US, ()) if isinstance(f.span, Hold))
    shown = scene.shown_at(held)
    assert [one.mark for one in scene.overlay(shown).marks] == [TRUNK, STILL]
    assert scene.moving_overlay(shown).marks == ()


def test_the_picture_of_a_note_has_its_moving_marks_where_the_points_are():
    marks = [one.mark for one in SCENE.still("n1").marks]
    assert marks == [STILL, NUMBERED, MOVING.at(TRUNK, 30), MOVING.at(KNEE, 30)]
