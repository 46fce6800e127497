"""Where the loupe stands."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtCore import QRectF

from cliptag.desk.stage.loupe import LoupePlace, scale_in_loupe, side_of_loupe

AREA = QRectF(0, 0, 1000, 800)
SIDE = 180.0


def gap(square: QRectF, x: float, y: float) -> float:
    """From the pointer to the loupe's rim."""
    return math.hypot(square.center().x() - x, square.center().y() - y) - SIDE / 2


@given(st.lists(st.tuples(st.floats(0, 1000), st.floats(0, 800)), min_size=1, max_size=30))
def test_the_loupe_is_on_the_stage_and_never_over_the_pointer(way):
    place = LoupePlace()
    for x, y in way:
        square = place.next(x, y, AREA, SIDE)
        assert gap(square, x, y) > 0.15 * SIDE
        assert AREA.contains(square)


@given(
    st.floats(100, 900),
    st.floats(100, 900),
    st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=1, max_size=12),
)
def test_on_a_small_stage_it_is_small_and_still_beside_the_pointer(across, down, way):
    area, place = QRectF(0, 0, across, down), LoupePlace()
    side = side_of_loupe(area, SIDE)
    for x, y in way:
        square = place.next(x * across, y * down, area, side)
        off = math.hypot(square.center().x() - x * across, square.center().y() - y * down)
        assert off > 0.65 * side
        assert area.contains(square)


@pytest.mark.parametrize("turn_deg", range(0, 360, 30))
def test_the_loupe_keeps_out_of_the_way_of_the_hand(turn_deg):
    place = LoupePlace()
    turn = math.radians(turn_deg)
    for step in range(20):
        x, y = 500 + 8 * step * math.cos(turn), 400 + 8 * step * math.sin(turn)
        square = place.next(x, y, AREA, SIDE)
        if step:
            ahead = (square.center().x() - x) * math.cos(turn)
            ahead += (square.center().y() - y) * math.sin(turn)
            away = math.hypot(square.center().x() - x, square.center().y() - y)
            assert ahead < 0.65 * away, "more than 50 degrees off the way"


def test_a_resting_hand_does_not_make_it_jump():
    place = LoupePlace()
    before = place.next(500, 400, AREA, SIDE)
    for x, y in ((501, 399), (503, 397), (502, 398), (500, 400)):
        square = place.next(x, y, AREA, SIDE)
        assert square.center().x() - x == before.center().x() - 500


@given(st.floats(0.01, 24))
def test_it_magnifies_what_the_stage_shows(zoom):
    scale = scale_in_loupe(zoom)
    assert scale >= max(2.0, 1.5 * zoom)
    if 0.5 <= zoom <= 2.0:
        assert scale == pytest.approx(4 * zoom)
