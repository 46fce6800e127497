"""Marks that follow points lie where the curves' points are, and carry the curves' numbers."""

from __future__ import annotations

import numpy as np
import pytest
from support.reviews import clip_ref
from support.trajectories import placed
from support.truth import read_truth

from cliptag.errors import MeasureError
from cliptag.measure import MovingMarks, Tracks, movement_of, reading_of
from cliptag.review import (
    Arrow,
    Between,
    Joint,
    Mark,
    PlumbLine,
    Point,
    Review,
    Ring,
    Scale,
    Span,
    Tilt,
    points_of,
)

TRUTH = read_truth("lift_week01")
ORIGIN = Point(0.0, 0.0)
TRUNK = Tilt(id="trunk", segment="trunk", lower=ORIGIN, upper=ORIGIN, follows=("hip", "shoulder"))


def joint(name: str, *follows: str) -> Joint:
    return Joint(
        id=name, joint=name, proximal=ORIGIN, vertex=ORIGIN, distal=ORIGIN, follows=follows
    )


KNEE = joint("knee", "hip", "knee", "ankle")
CURVES: list[tuple[Mark, str]] = [
    (KNEE, "knee_flexion"),
    (joint("hip", "shoulder", "hip", "knee"), "hip_flexion"),
    (joint("ankle", "knee", "ankle", "toe"), "ankle_dorsiflexion_to_toe"),
    (joint("elbow", "shoulder", "elbow", "wrist"), "elbow_flexion"),
    (joint("shoulder", "hip", "shoulder", "elbow"), "shoulder_flexion"),
    (TRUNK, "trunk_tilt"),
    (Tilt(id="s", segment="shank", lower=ORIGIN, upper=ORIGIN, follows=("ankle", "knee")),
     "shank_tilt"),
    (Tilt(id="h", segment="head_on_neck", lower=ORIGIN, upper=ORIGIN, follows=("c7", "ear")),
     "craniovertebral"),
]  # fmt: skip


def tracks(hidden: dict[str, slice] | None = None) -> Tracks:
    """The lift's points as a tracker would hand them on, some hidden for a while."""
    found = placed(TRUTH, seed=3)
    points = {name: places.copy() for name, places in found.points.items()}
    sd = {name: np.linspace(1.0, 2.0, len(found)) for name in points}
    for name, frames in (hidden or {}).items():
        points[name][frames] = np.nan
        sd[name][frames] = np.nan
    nothing = {name: np.zeros(len(found)) for name in points}
    states = {name: np.zeros(len(found), np.uint8) for name in points}
    keys = dict.fromkeys(points, ())
    return Tracks(found.times_us, points, sd, states, nothing, keys)


def review(**fields: object) -> Review:
    usual: dict[str, object] = {
        "clip": clip_ref(width=1080, height=1920),
        "movement": "lift",
        "facing": TRUTH.data["facing"],
        "plumb": PlumbLine(top=Point(130.0, 100.0), bottom=Point(100.0, 900.0)),
    }
    return Review(**(usual | fields))


TRACKS = tracks()
REVIEW = review()
REPORT = movement_of(REVIEW, TRACKS)
MOVING = MovingMarks(REVIEW, TRACKS, REPORT)


@pytest.mark.parametrize(("mark", "name"), CURVES, ids=lambda value: getattr(value, "id", value))
def test_the_number_of_every_frame_is_that_of_the_curve(mark, name):
    curve = REPORT.curves[name]
    for frame in range(0, len(TRACKS.times_us), 7):
        reading = MOVING.reading("n1", mark, frame)
        assert reading is not None and reading.at_us == curve.times_us[frame]
        assert reading.value == pytest.approx(curve.values[frame], abs=1e-6)
        assert reading.sd == pytest.approx(curve.sd[frame], abs=1e-6)


@pytest.mark.parametrize("mark", [mark for mark, _ in CURVES], ids=lambda mark: mark.id)
def test_the_number_is_that_of_the_mark_as_it_lies_on_the_frame(mark):
    """``reading_of`` measures the moved mark by itself, from its places on the picture alone."""
    for frame in (20, 90, 140, 250):
        moved, reading = MOVING.at(mark, frame), MOVING.reading("n1", mark, frame)
        alone = reading_of(REVIEW, "n1", reading.at_us, moved)
        assert (alone.name, alone.unit, alone.sense) == (reading.name, reading.unit, reading.sense)
        assert abs(alone.value) == pytest.approx(abs(reading.value), abs=1e-6)


@pytest.mark.parametrize("facing", ["left", "right", None])
def test_spans_and_crossing_lines_are_measured_as_marks_that_stand_still_are(facing):
    known = review(facing=facing, scale=Scale(a=Point(0, 0), b=Point(0, 500), length_cm=100.0))
    moving = MovingMarks(known, TRACKS)
    marks = [
        Span(id=axis, axis=axis, a=ORIGIN, b=ORIGIN, follows=("load", "l4"))
        for axis in ("straight", "across", "upright")
    ]
    marks.append(
        Between(
            id="b", a=ORIGIN, b=ORIGIN, c=ORIGIN, d=ORIGIN, follows=("hip", "shoulder", "l4", "t8")
        )
    )
    if facing != "right":  # against the client's facing all joints would bend backwards
        marks += [mark for mark, _ in CURVES]
    for mark in [*marks, TRUNK]:
        reading = moving.reading("n1", mark, 90)
        alone = reading_of(known, "n1", reading.at_us, moving.at(mark, 90))
        assert reading.value == pytest.approx(alone.value, abs=1e-6), mark.id
        assert (reading.unit, reading.sense) == (alone.unit, alone.sense)


def test_the_uncertainty_is_that_of_the_points_on_the_frame():
    early, late = (MOVING.reading("n1", TRUNK, frame).sd for frame in (10, 290))
    assert late > 1.2 * early, "that of the points grows from 1 px to 2 px through the clip"


def test_points_are_in_the_pictures_own_pixels_though_the_camera_was_rolled():
    moved = MOVING.at(KNEE, 100)
    for name, point in zip(KNEE.follows, points_of(moved), strict=True):
        truth = TRUTH.point(name)[100]
        assert np.hypot(point.x - truth.real, point.y - truth.imag) < 6.0


def test_all_else_of_a_mark_stays():
    ring = Ring(id="r", centre=ORIGIN, radius_x=40, radius_y=30, label="here", follows=("knee",))
    moved = MOVING.at(ring, 30)
    assert (moved.label, moved.radius_x, moved.follows) == ("here", 40, ("knee",))
    assert MOVING.reading("n1", ring, 30) is None


def test_where_a_point_is_hidden_for_long_there_is_neither_mark_nor_number():
    moving = MovingMarks(REVIEW, tracks({"knee": slice(100, 130)}))
    assert moving.at(KNEE, 99) is not None and moving.at(KNEE, 130) is not None
    assert all(moving.at(KNEE, frame) is None for frame in range(100, 130))
    assert all(moving.reading("n1", KNEE, frame) is None for frame in range(100, 130))
    assert moving.reading("n1", TRUNK, 110) is not None, "others go on"


def test_a_blink_is_bridged_as_the_curves_bridge_it():
    blinking = tracks({"knee": slice(100, 104)})
    curve = movement_of(REVIEW, blinking).curves["knee_flexion"]
    reading = MovingMarks(REVIEW, blinking).reading("n1", KNEE, 102)
    assert reading.value == pytest.approx(curve.values[102], abs=1e-6)


def test_a_mark_that_follows_nothing_or_an_unknown_point_does_not_move():
    still = Arrow(id="a", tail=ORIGIN, head=Point(9.0, 9.0))
    lost = Ring(id="r", centre=ORIGIN, radius_x=4, radius_y=4, follows=("crate",))
    for mark in (still, lost):
        assert not MOVING.has(mark) and MOVING.at(mark, 10) is None


def test_one_frame_makes_no_movement():
    one = Tracks(
        np.zeros(1, np.int64), {"hip": np.ones((1, 2))}, {"hip": np.ones(1)},
        {"hip": np.zeros(1, np.uint8)}, {"hip": np.ones(1)}, {"hip": ()},
    )  # fmt: skip
    with pytest.raises(MeasureError, match="One frame"):
        MovingMarks(review(), one)
