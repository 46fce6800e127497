"""The strip's curves and proposed moments, on a drawn lift whose truth is known."""

from __future__ import annotations

from dataclasses import replace

import msgspec
import numpy as np
import pytest
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QImage
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from support.followed import HIDDEN, FakeFollowing, followed_lift, have_followed, put_lift_on_desk
from support.pointer import Pointer
from support.truth import read_truth

from cliptag.desk import look
from cliptag.desk.moving import Moving
from cliptag.desk.preferences import PreferenceStore
from cliptag.desk.proposals import open_proposals
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.shown_curves import MOST, ShownCurves
from cliptag.desk.state import DeskState
from cliptag.desk.strip import StripView
from cliptag.desk.strip.curves import CurveLane, _runs
from cliptag.desk.strip.flags import FlagLane
from cliptag.desk.strip.scene import MomentGrip
from cliptag.desk.strip.words import grip_words
from cliptag.measure import with_uncertainty
from cliptag.review import Moment, edit

TRUTH = read_truth("lift_week01")


@pytest.fixture
def state(qapp):
    state = DeskState()
    put_lift_on_desk(state, followed_lift())
    yield state
    state.following = None
    state.close()


@pytest.fixture
def strip(state):
    view = StripView(state)
    view.resize(1200, view.sizeHint().height())
    view.show()
    QApplication.processEvents()
    yield view
    view.close()


def lane_box(strip: StripView, kind: type) -> QRectF:
    return next(box for lane, box in strip.bands.lanes if isinstance(lane, kind))


def review_of(state: DeskState):
    assert state.document is not None
    return state.document.review


def flag_at(strip: StripView, name: str) -> QPointF:
    """A place on a moment's flag."""
    scene = strip.scene()
    assert scene is not None
    times = {m.name: m.at_us for m in (*scene.proposals, *scene.review.moments)}
    return QPointF(scene.axis.x_of(times[name]) + 2.0, lane_box(strip, FlagLane).center().y())


def pixels(strip: StripView) -> np.ndarray:
    image = strip.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    bits = image.constBits()
    bits.setsize(image.sizeInBytes())
    rows = np.frombuffer(bits, np.uint8).reshape(image.height(), image.bytesPerLine())
    return rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3).astype(int)


def is_like(shot: np.ndarray, token: str) -> np.ndarray:
    colour = look.palette().colour(token)
    wanted = np.array([colour.red(), colour.green(), colour.blue()])
    return np.abs(shot - wanted).max(axis=2) < 40


# -- curves --------------------------------------------------------------------------------------


def test_a_lift_is_shown_by_trunk_and_low_back_unless_the_coach_chooses_others(strip, state):
    assert [curve.name for curve in strip.scene().curves] == ["trunk_tilt", "low_back_rounding"]
    state.shown_curves.show("lift", followed_lift().report.angles, "knee_flexion", True)
    names = [curve.name for curve in strip.scene().curves]
    assert names == ["trunk_tilt", "low_back_rounding", "knee_flexion"]


@pytest.mark.parametrize(
    ("movement", "usual"),
    [
        ("sit_to_stand", ("knee_flexion", "trunk_tilt")),
        ("bend", ("hip_flexion", "trunk_tilt")),
        ("lift", ("trunk_tilt", "hip_flexion")),
        ("other", ("trunk_tilt", "knee_flexion")),
    ],
)
def test_each_movement_starts_with_the_curves_that_tell_most_of_it(qapp, movement, usual):
    known = ["hip_flexion", "knee_flexion", "trunk_tilt", "gaze"]
    assert ShownCurves().names(movement, known) == usual


def test_never_more_than_three_curves_are_shown(qapp):
    shown, known = ShownCurves(), [f"curve{number}" for number in range(6)]
    for name in known:
        shown.show("lift", known, name, True)
    assert shown.names("lift", known) == tuple(known[-MOST:])
    shown.show("lift", known, known[-1], False)
    assert known[-1] not in shown.names("lift", known)


def test_the_painted_line_goes_through_the_true_angle(strip, state):
    """Truth: the angle that the clip was drawn with."""
    state.shown_curves.show("lift", followed_lift().report.angles, "low_back_rounding", False)
    shot, box = pixels(strip), lane_box(strip, CurveLane)
    ys = np.arange(int(box.top() + 1.4 * look.space()), int(box.bottom()))
    truth = TRUTH.angle("trunk_tilt")
    heights = {}
    for index in (10, 60, 100, 120, 145, 270):
        x = round(strip.axis.x_of(int(TRUTH.times_us[index])))
        found = ys[is_like(shot, "accent")[ys, x]]
        assert len(found), index
        heights[index] = float(np.median(found))
    angles = np.array([truth[index] for index in heights])
    slope, offset = np.polyfit(angles, list(heights.values()), 1)
    away_px = np.abs(np.polyval([slope, offset], angles) - list(heights.values()))
    assert slope < 0  # more is higher
    assert away_px.max() < 2.5


def test_a_gap_stays_open(strip, state):
    angles = followed_lift().report.angles
    for name in ("trunk_tilt", "low_back_rounding"):
        state.shown_curves.show("lift", angles, name, False)
    state.shown_curves.show("lift", angles, "knee_flexion", True)
    assert np.isnan(angles["knee_flexion"].values[HIDDEN]).all()
    shot, box = pixels(strip), lane_box(strip, CurveLane)
    rows = slice(int(box.top() + 1.4 * look.space()), int(box.bottom()))
    drawn = is_like(shot, "accent")[rows].any(axis=0)

    def x_of(index: int) -> int:
        return round(strip.axis.x_of(int(TRUTH.times_us[index])))

    assert not drawn[x_of(HIDDEN.start) + 2 : x_of(HIDDEN.stop) - 2].any()
    assert drawn[x_of(HIDDEN.stop) + 3 : x_of(290)].all()


def test_the_value_on_the_shown_frame_is_told_with_its_uncertainty(strip, state):
    curve = followed_lift().report.angles["trunk_tilt"]
    for index in (0, 100, 299):
        state.playhead.go_to(index)
        said = with_uncertainty(abs(curve.values[index]), curve.sd[index], "°")
        way = "forward" if curve.values[index] >= 0 else "backward"
        assert f"Trunk tilt {said} {way}" in strip.accessibleDescription()


def test_where_a_curve_is_not_known_that_is_said(strip, state):
    state.shown_curves.show("lift", followed_lift().report.angles, "knee_flexion", True)
    state.playhead.go_to(220)
    assert "Knee flexion: not known here" in strip.accessibleDescription()


def test_a_click_on_a_curve_goes_there(strip, state):
    box = lane_box(strip, CurveLane)
    x = strip.axis.x_of(int(TRUTH.times_us[150]) + 10_000)
    Pointer(strip).click(x, box.center().y())
    assert state.playhead.index == 150


def test_the_pointer_is_told_what_the_curves_are_where_it_rests(strip):
    box = lane_box(strip, CurveLane)
    at = QPointF(strip.axis.x_of(int(TRUTH.times_us[150]) + 10_000), box.center().y())
    words = strip.bands.words_at(strip.scene(), at)
    assert words.startswith("At 0:05.0")
    assert "Trunk tilt" in words
    assert "Low-back rounding" in words


def test_without_followed_points_there_is_no_lane_of_curves(strip, state):
    higher = strip.minimumSizeHint().height()
    state.following = None
    state.followed.emit()
    assert not any(isinstance(lane, CurveLane) for lane, _ in strip.bands.lanes)
    assert strip.minimumSizeHint().height() < higher


def test_curves_of_many_frames_are_painted_no_wider_than_there_are_pixels(strip):
    """A quarter of an hour at 60 frames a second on a strip of 1200 pixels."""
    curve = followed_lift().report.angles["trunk_tilt"]
    count = 54_000
    times = np.linspace(0, strip.axis.duration_us - 1, count).astype(np.int64)
    arrays = {name: np.resize(getattr(curve, name), count) for name in ("values", "sd")}
    long = replace(curve, times_us=times, **arrays)
    runs = list(_runs(strip.scene(), QRectF(0, 0, 1200, 60), long, 0.0, 90.0))
    assert sum(len(line) for *_, line in runs) < 2 * 1300


# -- moments -------------------------------------------------------------------------------------


def test_what_is_proposed_flies_a_flag_until_it_is_set(strip, state):
    assert [p.name for p in strip.scene().proposals] == [
        *("grip", "load_off", "passing_knees", "upright", "set_down")
    ]
    state.document.do(edit.with_moment(review_of(state), "grip", 2_600_000), "set")
    assert "grip" not in [p.name for p in strip.scene().proposals]


def test_proposed_and_set_flags_differ_by_word_and_by_shape(strip, state):
    def flag(name: str) -> np.ndarray:
        box, at = lane_box(strip, FlagLane), flag_at(strip, name)
        return pixels(strip)[int(box.top()) : int(box.bottom()), int(at.x()) : int(at.x()) + 70]

    proposed = flag("upright")
    at_us = next(p.at_us for p in strip.scene().proposals if p.name == "upright")
    state.document.do(edit.with_moment(review_of(state), "upright", at_us), "set")
    assert (np.abs(flag("upright") - proposed).max(axis=2) > 60).sum() > 40


def test_a_click_confirms_a_proposed_moment_on_the_nearest_frame_and_goes_there(strip, state):
    at_us = next(p.at_us for p in strip.scene().proposals if p.name == "upright")
    at = flag_at(strip, "upright")
    Pointer(strip).click(at.x(), at.y())
    (moment,) = review_of(state).moments
    assert (moment.name, moment.repetition) == ("upright", 1)
    nearest = TRUTH.times_us[np.argmin(np.abs(TRUTH.times_us - at_us))]
    assert moment.at_us == nearest == state.playhead.time_us
    state.document.undo()
    assert not review_of(state).moments


def test_a_drag_confirms_a_proposed_moment_where_it_is_dropped(strip, state):
    start = flag_at(strip, "upright")
    at_us = next(p.at_us for p in strip.scene().proposals if p.name == "upright")
    by_us = 400_000
    end = start + QPointF(by_us / strip.axis.us_per_px, 0.0)
    Pointer(strip).pull(start, end)
    (moment,) = review_of(state).moments
    assert abs(moment.at_us - (at_us + by_us)) <= 17_000
    assert moment.at_us in TRUTH.times_us
    state.document.undo()
    assert not review_of(state).moments


def test_enter_on_its_frame_confirms_a_moment_and_elsewhere_it_is_left_to_the_desk(strip, state):
    strip.setFocus()
    QTest.keyClick(strip, Qt.Key.Key_Return)
    assert not review_of(state).moments
    Moving(state).to_moment(1)
    QTest.keyClick(strip, Qt.Key.Key_Return)
    assert [moment.name for moment in review_of(state).moments] == ["grip"]


def test_the_tooltip_of_a_proposed_moment_tells_its_reason_and_confidence(strip):
    scene = strip.scene()
    proposal = scene.proposals[1]
    words = grip_words(MomentGrip(proposal.name, 1, True), scene)
    assert proposal.reason in words
    assert f"{100 * proposal.confidence:.0f} of 100" in words
    assert "proposed" in words


def test_the_next_moment_is_found_among_set_and_proposed_ones(strip, state):
    state.document.do(edit.with_moment(review_of(state), "grip", 1_000_000), "set")
    Moving(state).to_moment(1)
    assert state.playhead.index == state.playhead.index_at(1_000_000)
    Moving(state).to_moment(1)
    load_off = next(p for p in strip.scene().proposals if p.name == "load_off")
    assert abs(state.playhead.time_us - load_off.at_us) <= 17_000


def test_a_moment_of_each_repetition_can_be_dragged_by_itself(strip, state):
    moments = (
        Moment(name="grip", at_us=1_000_000, repetition=1),
        Moment(name="grip", at_us=5_000_000, repetition=2),
    )
    review = msgspec.structs.replace(review_of(state), moments=moments)
    state.document.do(review, "put")
    scene = strip.scene()
    assert scene.has_several
    second = QPointF(scene.axis.x_of(5_000_000) + 2.0, lane_box(strip, FlagLane).center().y())
    assert strip.bands.hit(scene, second) == MomentGrip("grip", 2)
    assert grip_words(MomentGrip("grip", 2), scene).startswith("Grip 2, 0:05.000")
    Pointer(strip).pull(second, second + QPointF(600_000 / strip.axis.us_per_px, 0.0))
    first, moved = review_of(state).moments
    assert first == moments[0]
    assert moved.repetition == 2
    assert abs(moved.at_us - 5_600_000) <= 17_000


def test_the_next_moment_key_goes_on_to_the_next_repetition_after_the_end_of_one(state):
    reviewing = Reviewing(state, PreferenceStore())
    for index in range(0, 150, 15):  # ten frames: both repetitions of five moments
        state.playhead.go_to(index)
        reviewing.set_next_moment()
    moments = review_of(state).moments
    assert [moment.repetition for moment in moments] == [1] * 5 + [2] * 5
    names = ["grip", "load_off", "passing_knees", "upright", "set_down"]
    assert [moment.name for moment in moments] == names * 2


def test_between_two_whole_repetitions_the_key_begins_no_third(state):
    reviewing = Reviewing(state, PreferenceStore())
    for index in range(0, 150, 15):
        state.playhead.go_to(index)
        reviewing.set_next_moment()
    said = []
    state.said.connect(said.append)
    state.playhead.go_to(65)
    reviewing.set_next_moment()
    assert len(review_of(state).moments) == 10
    assert said == ["All moments are set: choose one from the menu to move it here."]


def test_what_was_proposed_of_another_movement_is_not_proposed(state):
    review = edit.with_movement(review_of(state), "bend")
    assert open_proposals(review, followed_lift().report) == ()


def test_a_following_that_is_new_is_listened_to(strip, state):
    state.following = None
    state.followed.emit()
    have_followed(state, FakeFollowing(followed_lift()))
    assert strip.scene().curves
