"""The strip of two reviews: dragging, notes, curves, and what is told of them."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PyQt6.QtCore import QPointF
from support.pair_desk import pair_state, wait_for_arrangement, wait_for_pictures
from support.pointer import Pointer

from cliptag.desk.look import look
from cliptag.desk.pairing.arranging import Arranging
from cliptag.desk.pairing.curve_plot import value_at
from cliptag.desk.pairing.going import Going
from cliptag.desk.pairing.said_row import SaidRow
from cliptag.desk.pairing.state import PairState
from cliptag.desk.pairing.strip import PairStrip


@pytest.fixture
def state(tmp_path: Path, qtbot):
    with pair_state(tmp_path) as opened:
        yield opened


@pytest.fixture
def strip(qtbot, state: PairState) -> PairStrip:
    look()
    made = PairStrip(state)
    qtbot.addWidget(made)
    made.resize(1000, made.sizeHint().height())
    made.show()
    return made


def test_dragging_goes_through_both_at_once(qtbot, state: PairState, strip: PairStrip):
    plan, pointer = strip.plan, Pointer(strip)
    y = plan.curves.center().y()
    pointer.press(plan.x_of(10.0), y)
    for percent in (25.0, 50.0, 75.0):
        pointer.drag(plan.x_of(percent), y)
        assert state.percent == pytest.approx(percent, abs=1.5)
    pointer.release()
    wait_for_pictures(qtbot, state)
    assert state.pictures.frames == state.comparison.pair.indices(state.playhead.index)
    knots = state.comparison.alignment.knots
    for which, frame in enumerate(state.pictures.frames):
        side = state.comparison.sides[which]
        own = [k.second_us if which else k.first_us for k in knots]
        at_us = np.interp(state.percent, [k.percent for k in knots], own)
        assert abs(int(side.clip.times_us[frame]) - at_us) < 40_000, "each by its own clock"


def test_the_ends_of_the_strip_are_the_ends_of_what_is_shown(state, strip: PairStrip):
    pointer = Pointer(strip)
    pointer.click(strip.width() - 1.0, 40.0)
    assert state.playhead.index == state.playhead.last_index
    pointer.click(0.0, 40.0)
    assert state.playhead.index == 0


def test_dragging_stops_playing(state: PairState, strip: PairStrip):
    state.playhead.play()
    Pointer(strip).click(strip.width() / 2, 40.0)
    assert not state.playhead.is_playing


def test_a_notes_sign_chooses_it_and_shows_its_place(state: PairState, strip: PairStrip):
    arranging = Arranging(state)
    state.playhead.go_to_time(state.axis.out_at(60.0))
    arranging.write("Your back keeps its length.")
    state.choose_note(None)
    state.playhead.go_to(0)
    percent = state.pairing.notes[0].percent
    at = strip.plan.flag(percent).center()
    assert strip.words_at(at) == "What I see: Your back keeps its length."
    Pointer(strip).click(at.x(), at.y())
    assert state.chosen_note == 0 and state.percent == pytest.approx(percent, abs=0.1)


def test_the_values_told_are_those_of_the_curves_with_their_uncertainty(state, strip):
    pair = strip.curve
    words = strip.words_at(QPointF(strip.plan.x_of(50.0), strip.plan.curves.center().y()))
    place, title, first, second = words.split("\n")
    assert place.startswith("50 %") and title == pair.first.words
    for told, curve in ((first, pair.first), (second, pair.second)):
        assert f"{curve.values[50]:.0f}°" in told and "±" in told
    assert first.startswith("Week 1: ") and second.startswith("Week 10: ")


def test_between_whole_percents_curves_are_straight_and_gaps_stay_gaps(strip: PairStrip):
    curve = strip.curve.first
    value, sd = value_at(curve, 40.5)
    assert value == pytest.approx((curve.values[40] + curve.values[41]) / 2)
    assert sd == pytest.approx((curve.sd[40] + curve.sd[41]) / 2)
    assert np.isnan(value_at(curve, -3.0)[0]) and np.isnan(value_at(curve, 103.0)[0])


def test_every_curve_can_be_shown_and_they_come_round(state: PairState, strip: PairStrip):
    going, names = Going(state), [p.first.name for p in state.comparison.curves]
    shown = []
    for _ in names:
        shown.append(state.curve)
        going.next_curve(1)
    assert shown == names and state.curve == names[0]
    going.next_curve(-1)
    assert state.curve == names[-1]
    strip.grab()


def test_at_true_speed_each_value_is_read_at_its_own_place(qtbot, state, strip: PairStrip):
    wait_for_arrangement(qtbot, state, lambda: Arranging(state).true_speed_from("first_lean"))
    state.playhead.go_to_time(state.axis.moments[2].out_us)
    first, second = state.axis.places(state.playhead.time_us)
    assert abs(first - second) > 1.0
    strip.grab()
    qtbot.waitUntil(lambda: "Week 10" in strip.accessibleDescription(), timeout=3000)


def test_the_strip_says_where_both_are(qtbot, state: PairState, strip: PairStrip):
    state.playhead.go_to_time(state.axis.moments[1].out_us)
    qtbot.waitUntil(lambda: "seat off" in strip.accessibleDescription(), timeout=3000)
    assert "Week 1:" in strip.accessibleDescription()


def test_what_the_reviews_say_here_stands_under_the_pictures(qtbot, state: PairState):
    row = SaidRow(state)
    qtbot.addWidget(row)
    row.resize(900, row.sizeHint().height())
    row.show()
    said = set()
    for index in range(0, state.playhead.last_index, 3):
        state.playhead.go_to(index)
        said |= set(row.toolTip().split("\n"))
    texts = [n.text.split(".")[0] for s in state.comparison.sides for n in s.review.notes]
    assert sum(any(text in words for words in said) for text in texts) >= 0.7 * len(texts)
    row.grab()
