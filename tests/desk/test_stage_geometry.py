"""Snapping, handles, and what is under the pointer."""

from __future__ import annotations

import math
import typing

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QPainterPath, QPolygonF
from support.reviews import every_mark

from cliptag import review
from cliptag.desk.stage.handles import (
    MOST_HANDLES,
    handles_of,
    magnified,
    shifted,
    snap_anchor,
    with_handle,
)
from cliptag.desk.stage.hits import handle_at, hits
from cliptag.desk.stage.snapping import snapped, squared
from cliptag.desk.stage.words import handle_words, mark_words
from cliptag.review import Line, Mark, Plumb, Point, Ring, Shade, Stroke, points_of

places = st.builds(Point, st.floats(0, 2000), st.floats(0, 2000))
whole_places = st.builds(Point, st.integers(0, 300).map(float), st.integers(0, 300).map(float))
by_type = pytest.mark.parametrize("mark", every_mark(), ids=lambda mark: mark.id)


def distance(a: Point, b: Point) -> float:
    return math.dist((a.x, a.y), (b.x, b.y))


# -- snapping -----------------------------------------------------------------------------------


@given(places, places, st.floats(-10, 10))
def test_snapping_takes_the_nearest_of_the_directions(anchor, at, upright_deg):
    assume(distance(anchor, at) > 1)
    to = snapped(anchor, at, upright_deg)
    candidates = []
    for step in range(24):
        turn = math.radians(upright_deg - 90 + 15 * step)
        along = (at.x - anchor.x) * math.cos(turn) + (at.y - anchor.y) * math.sin(turn)
        if along >= 0:
            candidates.append(
                Point(anchor.x + along * math.cos(turn), anchor.y + along * math.sin(turn))
            )
    nearest = min(distance(at, candidate) for candidate in candidates)
    assert distance(at, to) == pytest.approx(nearest, abs=1e-6)
    assert min(distance(to, candidate) for candidate in candidates) < 1e-6


@pytest.mark.parametrize(
    ("at", "to"),
    [((200, 104), (200, 100)), ((97, -50), (100, -50)), ((190, 195), (192.5, 192.5))],
)
def test_snapping_finds_level_upright_and_diagonal(at, to):
    got = snapped(Point(100, 100), Point(*at), 0.0)
    assert (got.x, got.y) == pytest.approx(to, abs=0.1)


def test_snapping_goes_by_the_true_vertical():
    got = snapped(Point(100, 100), Point(100, 0), 3.0)
    assert math.degrees(math.atan2(got.x - 100, 100 - got.y)) == pytest.approx(3.0)


def test_squaring_keeps_the_quarter():
    assert squared(Point(10, 10), Point(40, 0)) == Point(40, -20)


# -- handles ------------------------------------------------------------------------------------


@by_type
def test_a_moved_handle_is_where_it_was_put(mark: Mark):
    handles = handles_of(mark)
    assert handles
    for which, handle in enumerate(handles):
        is_down = isinstance(mark, Ring) and which in (2, 4)
        is_across = isinstance(mark, Ring) and which in (1, 3)
        by = (0 if is_down else 7.25 * (-1 if which == 3 else 1), 0 if is_across else 11.5)
        if isinstance(mark, Ring) and which == 4:
            by = (0, -11.5)
        to = Point(handle.x + by[0], handle.y + by[1])
        moved = with_handle(mark, which, to)
        assert handles_of(moved)[which] == to
        assert moved.id == mark.id


@by_type
def test_moving_one_handle_leaves_the_other_points_alone(mark: Mark):
    points = points_of(mark)
    for which in range(len(points)):
        moved = points_of(with_handle(mark, which, Point(1, 2)))
        assert moved[:which] + moved[which + 1 :] == points[:which] + points[which + 1 :]


@by_type
def test_a_shifted_mark_keeps_its_shape(mark: Mark):
    moved = shifted(mark, 12.5, -30)
    for before, after in zip(handles_of(mark), handles_of(moved), strict=True):
        assert (after.x - before.x, after.y - before.y) == (12.5, -30)


@by_type
def test_a_magnified_mark_is_larger_in_all_its_parts(mark: Mark):
    for before, after in zip(handles_of(mark), handles_of(magnified(mark, 3.0)), strict=True):
        assert (after.x, after.y) == pytest.approx((3 * before.x, 3 * before.y))


def test_a_stroke_drawn_in_one_go_has_no_handles():
    stroke = Stroke(id="s", points=tuple(Point(i, i) for i in range(MOST_HANDLES + 1)))
    assert handles_of(stroke) == ()


def test_a_ring_can_not_be_turned_inside_out():
    ring = Ring(id="r", centre=Point(100, 100), radius_x=40, radius_y=30)
    assert with_handle(ring, 1, Point(100, 100)).radius_x > 0
    assert with_handle(ring, 4, Point(100, 140)).radius_y == 40


def test_points_have_no_more_digits_than_anyone_can_place():
    line = Line(id="l", a=Point(0, 0), b=Point(1, 1))
    assert with_handle(line, 1, Point(1 / 3, 2 / 3)).b == Point(0.33, 0.67)


@by_type
def test_every_mark_and_handle_has_a_name(mark: Mark):
    assert mark_words(mark)
    names = [handle_words(mark, which) for which in range(len(handles_of(mark)))]
    assert all(names)
    anchor = snap_anchor(mark, 0)
    assert anchor is None or anchor in points_of(mark)


# -- hits ---------------------------------------------------------------------------------------


@by_type
def test_a_mark_is_hit_on_its_line_and_not_beside_it(mark: Mark):
    on = handles_of(mark)[1] if isinstance(mark, Ring) else points_of(mark)[0]
    assert hits([mark], Point(on.x + 3, on.y), 4.0, 0.0) == [0]
    assert hits([mark], Point(1900, 1900), 4.0, 0.0) == []


def test_the_topmost_mark_comes_first():
    marks = [Line(id=str(i), a=Point(0, 10 * i), b=Point(100, 50)) for i in range(3)]
    assert hits(marks, Point(100, 50), 2.0, 0.0) == [2, 1, 0]


def test_a_shade_is_hit_inside_but_after_every_line():
    square = tuple(Point(*place) for place in ((0, 0), (100, 0), (100, 100), (0, 100)))
    marks: list[Mark] = [
        Line(id="under", a=Point(0, 50), b=Point(100, 50)),
        Shade(id="over", corners=square),
    ]
    assert hits(marks, Point(40, 51), 3.0, 0.0) == [0, 1]
    assert hits(marks, Point(40, 20), 3.0, 0.0) == [1]
    assert hits(marks, Point(140, 20), 3.0, 0.0) == []


@given(st.lists(whole_places, min_size=3, max_size=9), whole_places)
def test_inside_a_shade_is_what_qt_fills(corners, at):
    shade = Shade(id="s", corners=tuple(corners))
    edges = zip(corners, [*corners[1:], corners[0]], strict=True)
    assume(all(_to_piece(at, a, b) > 2 for a, b in edges))
    path = QPainterPath()
    path.setFillRule(Qt.FillRule.WindingFill)
    path.addPolygon(QPolygonF([QPointF(p.x, p.y) for p in corners]))
    path.closeSubpath()
    assert (hits([shade], at, 1.0, 0.0) == [0]) == path.contains(QPointF(at.x, at.y))


@given(places, st.floats(5, 400), st.floats(5, 400), places)
def test_a_ring_is_hit_near_its_rim_only(centre, radius_x, radius_y, at):
    ring = Ring(id="r", centre=centre, radius_x=radius_x, radius_y=radius_y)
    turns = np.linspace(0, 2 * np.pi, 7200)
    rim = np.hypot(
        centre.x + radius_x * np.cos(turns) - at.x, centre.y + radius_y * np.sin(turns) - at.y
    )
    if hits([ring], at, 6.0, 0.0):
        assert rim.min() <= 6.1
    nearest = turns[rim.argmin()]
    on = Point(centre.x + radius_x * np.cos(nearest), centre.y + radius_y * np.sin(nearest))
    assert hits([ring], on, 1.0, 0.0) == [0]


@pytest.mark.parametrize("upright_deg", [-4.0, 0.0, 6.0])
def test_a_plumb_line_is_hit_along_the_true_vertical(upright_deg):
    mark = Plumb(id="p", through=Point(500, 500))
    lean = math.tan(math.radians(upright_deg))
    assert hits([mark], Point(500 + 400 * lean, 100), 1.0, upright_deg) == [0]
    assert hits([mark], Point(520 + 400 * lean, 100), 1.0, upright_deg) == []


def test_the_nearest_handle_within_reach_is_taken():
    line = Line(id="l", a=Point(0, 0), b=Point(10, 0))
    assert handle_at(line, Point(6, 0), 8.0) == 1
    assert handle_at(line, Point(4, 0), 8.0) == 0
    assert handle_at(line, Point(5, 30), 8.0) is None


def test_every_type_of_mark_was_tried():
    assert {type(mark) for mark in every_mark()} == set(typing.get_args(review.Mark))


def _to_piece(at: Point, a: Point, b: Point) -> float:
    shares = np.linspace(0, 1, 400)
    return float(
        np.hypot(a.x + shares * (b.x - a.x) - at.x, a.y + shares * (b.y - a.y) - at.y).min()
    )
