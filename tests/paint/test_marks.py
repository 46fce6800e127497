"""Marks on the picture."""

from __future__ import annotations

import itertools
import math
import typing

import msgspec
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from paint.canvas import AROUND, MARKS, colour_at, edges, ink_box, is_near, painted
from paint.contrast import contrast
from PyQt6.QtCore import QRectF
from PyQt6.QtGui import QColor

from cliptag import review
from cliptag.paint import (
    KIND_COLOURS,
    CaptionText,
    ShownMark,
    Sizes,
    caption_box,
    label_boxes,
    mark_box,
    mark_colour,
    marks_box,
    paint_mark,
    paint_marks,
)
from cliptag.paint.colours import CASING, PALETTE
from cliptag.paint.marks import _compose
from cliptag.review import (
    Arrow,
    Between,
    Joint,
    Line,
    Mark,
    Plumb,
    Point,
    Ring,
    Shade,
    Span,
    Stroke,
    Tilt,
    is_measuring,
)

W, H = 540, 960
SIZES = Sizes(W, H)
READING = "Knee flexion 92° ± 2°"
by_type = pytest.mark.parametrize("mark", MARKS, ids=lambda mark: mark.id)


def paint(mark: Mark, reading: str | None = None, plumb_deg: float = 0.0, **canvas):
    return painted(
        W,
        H,
        lambda p: paint_mark(p, mark, SIZES, kind="try", reading=reading, plumb_deg=plumb_deg),
        **canvas,
    )


def assert_inside(pixels, box: QRectF, around: int = 0) -> None:
    ink = ink_box(pixels, around)
    if ink is None:
        return
    left, top, right, bottom = edges(box)
    assert ink[0] >= left and ink[1] >= top and ink[2] <= right and ink[3] <= bottom, (ink, box)


def test_the_sample_marks_are_of_every_type():
    assert {type(mark) for mark in MARKS} == set(typing.get_args(review.Mark))


# -- the box ------------------------------------------------------------------------------------


@by_type
def test_all_that_is_painted_lies_in_the_box(mark: Mark):
    pixels = paint(mark, READING, 3.0, around=AROUND)
    assert_inside(pixels, mark_box(mark, SIZES, READING, 3.0), AROUND)


@by_type
def test_a_label_stands_where_it_is_said_to(mark: Mark):
    """All that a label adds to the picture lies in its box, and it fills the box."""
    bare, labelled = (msgspec.structs.replace(mark, label=text) for text in ("", "here it is"))
    (box,) = label_boxes([ShownMark(labelled, "try")], SIZES)
    added = (paint(labelled) != paint(bare)).any(axis=2)
    rows, columns = np.nonzero(added)
    assert box.adjusted(-1, -1, 1, 1).contains(QRectF(columns.min(), rows.min(), 1, 1))
    assert box.adjusted(-1, -1, 1, 1).contains(QRectF(columns.max(), rows.max(), 1, 1))
    assert added.sum() > 0.8 * box.width() * box.height()
    assert label_boxes([ShownMark(bare, "try")], SIZES)[0].isEmpty()


@by_type
def test_the_box_is_not_much_larger_than_what_is_painted(mark: Mark):
    left, top, right, bottom = edges(mark_box(mark, SIZES))
    ink = ink_box(paint(mark))
    assert ink is not None
    slack = [ink[0] - left, ink[1] - top, right - ink[2], bottom - ink[3]]
    assert max(slack) <= 6, slack


coordinate = st.one_of(st.floats(-50, 1100), st.floats(-1e6, 1e6))
points = st.builds(Point, coordinate, coordinate)
length = st.floats(0.01, 3000)
labels = st.one_of(st.just(""), st.text(max_size=60))
look = {
    "id": st.just("m"),
    "label": labels,
    "colour": st.sampled_from(["kind", *PALETTE]),
    "weight": st.sampled_from(["fine", "normal", "bold"]),
}
any_mark = st.one_of(
    st.builds(Arrow, tail=points, head=points, **look),
    st.builds(Ring, centre=points, radius_x=length, radius_y=length, **look),
    st.builds(Shade, corners=st.lists(points, min_size=3, max_size=9).map(tuple), **look),
    st.builds(Stroke, points=st.lists(points, min_size=2, max_size=40).map(tuple), **look),
    st.builds(Line, a=points, b=points, **look),
    st.builds(Plumb, through=points, **look),
    st.builds(Joint, proximal=points, vertex=points, distal=points, **look),
    st.builds(Between, a=points, b=points, c=points, d=points, **look),
    st.builds(
        Tilt,
        lower=points,
        upper=points,
        segment=st.sampled_from(["trunk", "gaze", "head_on_neck"]),
        **look,
    ),
    st.builds(
        Span,
        a=points,
        b=points,
        axis=st.sampled_from(["straight", "across", "upright"]),
        **look,
    ),
)


@settings(max_examples=120, deadline=None)
@given(any_mark, st.one_of(st.none(), st.text(max_size=30)), st.floats(-30, 30))
def test_any_mark_paints_inside_its_box_and_inside_the_picture(mark, reading, plumb_deg):
    pixels = paint(mark, reading, plumb_deg, around=AROUND)
    box = mark_box(mark, SIZES, reading, plumb_deg)
    assert_inside(pixels, box, AROUND)
    assert_inside(pixels, SIZES.picture, AROUND)
    assert SIZES.picture.contains(box) or box.isEmpty()


def test_a_mark_outside_the_picture_has_an_empty_box():
    assert mark_box(Line(id="l", a=Point(-900, 5), b=Point(-300, 90)), SIZES).isEmpty()


@by_type
def test_a_mark_whose_points_are_all_the_same_is_still_seen(mark: Mark):
    here = Point(100, 100)
    names = mark.__struct_fields__
    flat = {
        name: here
        if isinstance(value := getattr(mark, name), Point)
        else (here,) * 3
        if isinstance(value, tuple) and value
        else 0.01
        if name.startswith("radius")
        else value
        for name in names
    }
    flat["label"] = ""
    pixels = paint(type(mark)(**flat))
    assert pixels[95:106, 95:106, 3].max() == 255


# -- scale --------------------------------------------------------------------------------------


@by_type
def test_a_scaled_painter_paints_the_same_as_a_larger_picture(mark: Mark):
    """The desk zooms with the painter, the export may paint at the clip's own size."""

    def twice(value):
        if isinstance(value, Point):
            return Point(2 * value.x, 2 * value.y)
        if isinstance(value, tuple):
            return tuple(map(twice, value))
        return value

    fields = {name: getattr(mark, name) for name in mark.__struct_fields__}
    larger = type(mark)(
        **{
            name: 2 * value if name.startswith("radius") else twice(value)
            for name, value in fields.items()
        }
    )
    zoomed = paint(mark, READING, scale=2.0)
    large = painted(
        2 * W,
        2 * H,
        lambda p: paint_mark(p, larger, Sizes(2 * W, 2 * H), kind="try", reading=READING),
    )
    difference = np.abs(zoomed.astype(int) - large.astype(int)).max(axis=2)
    inked = (zoomed[..., 3] > 0) | (large[..., 3] > 0)
    assert inked.sum() > 1000
    assert difference[inked].mean() < 3.0
    assert (difference > 100).sum() < 0.01 * inked.sum()


# -- looks --------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PALETTE)
def test_every_colour_stands_out_from_its_dark_edge(name):
    """So a mark is seen on any picture: WCAG 2.2, 1.4.11, asks 3:1 of graphics."""
    colour, dark = (QColor(c).getRgb()[:3] for c in (PALETTE[name], CASING))
    assert contrast(colour, dark) >= 4.5


@pytest.mark.parametrize("ground", ["#ffffff", "#000000", "#e69f00", "#808080"])
def test_a_line_has_its_colour_inside_and_a_dark_edge_on_any_ground(ground):
    mark = Line(id="l", a=Point(50, 400), b=Point(490, 400))
    column = paint(mark, ground=ground)[380:421, 270, :3]
    colours = [tuple(row) for row in column.tolist()]
    assert any(is_near(colour, KIND_COLOURS["try"], 2) for colour in colours)
    assert any(is_near(colour, CASING, 40) for colour in colours)


def test_a_mark_takes_the_colour_of_its_kind_or_its_own():
    assert mark_colour("kind", "good") == QColor("#009E73")
    assert mark_colour("yellow", "good") == QColor("#F0E442")


def test_weights_differ_in_width():
    def thickness(weight):
        mark = Line(id="l", a=Point(50, 400), b=Point(490, 400), weight=weight)
        return paint(mark)[:, 270, 3].sum() / 255

    fine, normal, bold = map(thickness, ("fine", "normal", "bold"))
    assert fine < normal < bold


# -- each type ----------------------------------------------------------------------------------


@pytest.mark.parametrize("turn_deg", range(0, 360, 30))
def test_the_arrow_ends_at_its_head(turn_deg):
    turn = math.radians(turn_deg)
    head = Point(270, 480)
    tail = Point(270 - 150 * math.cos(turn), 480 - 150 * math.sin(turn))
    pixels = paint(Arrow(id="a", tail=tail, head=head))
    rows, columns = np.nonzero(pixels[..., 3] > 60)
    along = (columns + 0.5 - 270) * math.cos(turn) + (rows + 0.5 - 480) * math.sin(turn)
    assert abs(along.max() - SIZES.casing) <= 1.5
    aside = np.abs(-(columns + 0.5 - 270) * math.sin(turn) + (rows + 0.5 - 480) * math.cos(turn))
    assert aside[along > along.max() - 1.0].max() <= 2.0 + SIZES.casing, "the tip is pointed"
    near_head = aside[(along > -18) & (along < -8)].max()
    near_tail = aside[along < -120].max()
    assert near_head > 2 * near_tail, "the head is at the head"


def test_the_ring_goes_round_without_covering_what_is_inside():
    pixels = paint(Ring(id="r", centre=Point(270, 480), radius_x=120, radius_y=60))
    for x, y in ((150, 480), (390, 480), (270, 420), (270, 540)):
        assert pixels[y - 1 : y + 2, x - 1 : x + 2, 3].max() == 255
    assert pixels[440:520, 200:340, 3].max() == 0


def test_the_picture_shows_through_a_shade():
    corners = (Point(100, 300), Point(400, 300), Point(400, 600), Point(100, 600))
    mark = Shade(id="s", corners=corners, colour="sky")
    on_white, on_black = (paint(mark, ground=ground) for ground in ("#ffffff", "#000000"))
    white, black = (np.array(colour_at(p, 250, 450)) for p in (on_white, on_black))
    assert (white - black > 150).all()
    assert not is_near(tuple(white), "white", 30) and not is_near(tuple(black), "black", 10)
    assert is_near(colour_at(on_white, 100, 450), PALETTE["sky"], 60)


def test_the_stroke_goes_smoothly_through_its_points():
    corners = [Point(100, 300), Point(200, 500), Point(300, 300), Point(400, 500)]
    pixels = paint(Stroke(id="s", points=tuple(corners)))
    for point in corners:
        assert is_near(colour_at(pixels, point.x, point.y), KIND_COLOURS["try"])
    straight = paint(Line(id="l", a=corners[0], b=corners[1]))
    assert (pixels[320:480, :, 3] != straight[320:480, :, 3]).any(), "rounded, not a zigzag"


def test_a_stroke_of_very_many_points_is_painted():
    points = tuple(
        Point(270 + 200 * math.cos(i / 500), 480 + 300 * math.sin(i / 700)) for i in range(50_000)
    )
    assert ink_box(paint(Stroke(id="s", points=points, label="Round and round"))) is not None


@pytest.mark.parametrize("plumb_deg", [-8.0, 0.0, 5.0])
def test_the_plumb_line_is_the_true_vertical_from_edge_to_edge(plumb_deg):
    pixels = paint(Plumb(id="p", through=Point(270, 480)), plumb_deg=plumb_deg)
    for y in (1, 200, 800, 958):
        columns = np.nonzero(pixels[y, :, 3] > 200)[0]
        expected = 270 + (480 - (y + 0.5)) * math.tan(math.radians(plumb_deg))
        assert abs(columns.mean() + 0.5 - expected) < 1.0


@pytest.mark.parametrize("plumb_deg", [-10.0, 0.0, 10.0])
def test_a_tilt_is_drawn_from_the_true_vertical(plumb_deg):
    mark = Tilt(id="t", segment="trunk", lower=Point(270, 700), upper=Point(400, 400))
    pixels = paint(mark, plumb_deg=plumb_deg)
    turn = math.radians(plumb_deg)
    share = np.mean(
        [
            pixels[int(700 - r * math.cos(turn)), int(270 + r * math.sin(turn)), 3] > 128
            for r in np.linspace(20, 320, 301)
        ]
    )
    assert 0.4 < share < 0.95, "dashed along the vertical"


@pytest.mark.parametrize("segment", ["gaze", "head_on_neck"])
@pytest.mark.parametrize("side", [-1, 1])
def test_gaze_and_neck_are_drawn_from_the_horizontal_on_their_side(segment, side):
    mark = Tilt(id="t", segment=segment, lower=Point(270, 480), upper=Point(270 + side * 150, 380))
    row = paint(mark)[480, :, 3] > 128
    ahead, behind = row[290:420], row[120:250]
    assert (ahead if side > 0 else behind[::-1]).mean() > 0.4
    assert (behind if side > 0 else ahead).mean() == 0


def test_the_joint_shows_both_segments_and_tints_the_angle_between_them():
    mark = Joint(id="j", proximal=Point(270, 200), vertex=Point(270, 480), distal=Point(450, 480))
    pixels = paint(mark)
    for x, y in ((270, 300), (400, 480)):
        assert is_near(colour_at(pixels, x, y), KIND_COLOURS["try"])
    assert 0 < pixels[480 - 20, 270 + 20, 3] < 128, "inside the angle"
    assert pixels[480 + 20, 270 - 20, 3] == 0, "outside of it"


@pytest.mark.parametrize(
    ("axis", "end"), [("straight", (420, 600)), ("across", (420, 480)), ("upright", (120, 600))]
)
def test_a_span_is_drawn_along_the_axis_it_measures(axis, end):
    mark = Span(id="s", a=Point(120, 480), b=Point(420, 600), axis=axis)
    pixels = paint(mark)
    middle = (120 + end[0]) / 2, (480 + end[1]) / 2
    assert is_near(colour_at(pixels, *middle), KIND_COLOURS["try"])


@settings(max_examples=60, deadline=None)
@given(*[st.builds(Point, st.floats(60, 480), st.floats(60, 900)) for _ in range(3)])
def test_the_number_never_hides_the_points_of_its_joint(proximal, vertex, distal):
    for a, b in itertools.combinations((proximal, vertex, distal), 2):
        assume(math.dist((a.x, a.y), (b.x, b.y)) > 12)  # nearer points hide each other
    mark = Joint(id="j", proximal=proximal, vertex=vertex, distal=distal, label="Deepest point")
    pixels = paint(mark, READING)
    for point in (proximal, vertex, distal):
        assert is_near(colour_at(pixels, point.x, point.y), "white", 60)


@settings(max_examples=60, deadline=None)
@given(any_mark, st.text(min_size=1, max_size=200))
def test_the_label_is_whole_inside_the_picture(mark, reading):
    (composed,) = _compose([ShownMark(mark, "seen", reading)], SIZES, 0.0, ())
    if composed.plate is not None:
        assert SIZES.picture.contains(composed.place)


# -- marks seen together ------------------------------------------------------------------------

TOGETHER = tuple(ShownMark(mark, "try", READING if is_measuring(mark) else None) for mark in MARKS)


def places(keep_clear=()):
    return [c.place for c in _compose(TOGETHER, SIZES, 0.0, keep_clear) if c.plate is not None]


def test_labels_of_marks_seen_together_do_not_overlap():
    found = places()
    assert len(found) == len(MARKS)
    for i, first in enumerate(found):
        for second in found[i + 1 :]:
            assert not first.intersects(second), (first, second)


@pytest.mark.parametrize("place", ["top", "bottom"])
def test_labels_stay_off_the_caption(place):
    caption = CaptionText(("Let the knee travel forward,", "over the toes."), "Knees", "try", place)
    box = caption_box(caption, SIZES)
    assert not any(box.intersects(label) for label in places([box]))


def test_marks_seen_together_paint_inside_their_box():
    pixels = painted(W, H, lambda p: paint_marks(p, TOGETHER, SIZES), around=AROUND)
    assert_inside(pixels, marks_box(TOGETHER, SIZES), AROUND)


def test_no_marks_have_an_empty_box():
    assert marks_box((), SIZES).isEmpty()
