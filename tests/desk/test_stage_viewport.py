"""Where the picture lies: picture pixels to the stage's and back."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cliptag.desk.stage.viewport import CLOSEST, Viewport

sides = st.integers(16, 5000)
rooms = st.floats(50, 4000)
pixels = st.sampled_from([1.0, 0.5, 1 / 1.25, 1 / 1.5])
shares = st.floats(0, 1)


@st.composite
def viewports(draw: st.DrawFn) -> Viewport:
    """Any view that can be reached by zooming and panning."""
    picture, area = (draw(sides), draw(sides)), (draw(rooms), draw(rooms))
    view = Viewport.fitted(picture, area, draw(pixels))
    for _ in range(draw(st.integers(0, 4))):
        x, y = draw(shares) * area[0], draw(shares) * area[1]
        view = view.zoomed(draw(st.floats(0.4, 6)), x, y)
        view = view.panned(draw(st.floats(-900, 900)), draw(st.floats(-900, 900)))
    return view


@given(viewports(), st.floats(-500, 6000), st.floats(-500, 6000))
def test_a_place_comes_back_from_the_stage(view, x, y):
    assert view.to_picture(*view.to_area(x, y)) == pytest.approx((x, y), abs=1e-6)


@given(sides, sides, rooms, rooms, pixels)
def test_fitted_the_whole_picture_is_seen_and_touches_two_edges(width, height, across, down, pixel):
    view = Viewport.fitted((width, height), (across, down), pixel)
    assert view.left >= -pixel and view.top >= -pixel
    assert view.left + view.size[0] <= across + pixel and view.top + view.size[1] <= down + pixel
    gaps = (across - view.size[0], down - view.size[1])
    assert min(gaps) == pytest.approx(0, abs=1e-6)
    assert view.left == pytest.approx(gaps[0] / 2, abs=pixel)


@given(viewports(), shares, shares, st.floats(1.01, 3))
def test_zooming_in_keeps_what_is_under_the_pointer(view, across, down, factor):
    x, y = across * view.picture[0], down * view.picture[1]
    at = view.to_area(x, y)
    closer = view.zoomed(factor, *at)
    whole = Viewport.fitted(view.picture, view.area, view.pixel)
    assume(closer.zoom > max(view.zoom, whole.zoom) and not closer.is_whole)
    assert closer.to_area(x, y) == pytest.approx(at, abs=view.pixel)


@given(viewports())
def test_the_middle_of_the_stage_is_always_over_the_picture(view):
    x, y = view.to_picture(view.area[0] / 2, view.area[1] / 2)
    slack = view.pixel / view.zoom
    assert -slack <= x <= view.picture[0] + slack
    assert -slack <= y <= view.picture[1] + slack


@given(viewports())
def test_the_corner_lies_on_a_pixel_of_the_screen(view):
    for place in (view.left, view.top):
        assert place / view.pixel == pytest.approx(round(place / view.pixel), abs=1e-6)


@given(viewports(), st.floats(0.01, 100))
def test_zoom_has_limits(view, factor):
    least, most = view.limits
    assert least <= view.zoomed(factor, 0, 0).zoom <= most
    assert most >= CLOSEST


def test_on_the_way_out_the_whole_picture_is_a_stop():
    whole = Viewport.fitted((400, 300), (1000, 900), 1.0)
    closer = whole.zoomed(1.1, 500, 400)
    assert not closer.is_whole
    assert closer.zoomed(0.5, 500, 400) == whole
    smaller = whole.zoomed(0.5, 500, 400)
    assert smaller.zoom == pytest.approx(1.25)
    assert smaller.zoomed(0.5, 500, 400).zoom == 1.0


def test_a_whole_picture_stays_whole_when_the_stage_grows():
    view = Viewport.fitted((1080, 1920), (800, 600), 1.0).in_area((1000, 900), 0.5)
    assert view == Viewport.fitted((1080, 1920), (1000, 900), 0.5)


@given(st.floats(200, 2000), st.floats(200, 2000))
def test_what_is_in_the_middle_stays_there_when_the_stage_grows(across, down):
    view = Viewport.fitted((1080, 1920), (800, 600), 1.0).zoomed(8, 420, 250)
    middle = view.to_picture(400, 300)
    moved = view.in_area((across, down), 1.0)
    assert moved.zoom == view.zoom
    assert moved.to_picture(across / 2, down / 2) == pytest.approx(middle, abs=1.0)
