"""The numbers that a review shows: conventions, plumb line, scale, facing, words."""

from __future__ import annotations

import math
from typing import Any

import msgspec
import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st
from support import reviews as made
from uncertainties import umath

from cliptag.measure import reading_of, readings_of, unmeasured, with_uncertainty
from cliptag.review import (
    Between,
    Joint,
    Mark,
    PlumbLine,
    Point,
    Review,
    Scale,
    Span,
    Tilt,
    edit,
    points_of,
)

HIP, KNEE, ANKLE, TOE = (
    Point(500.0, 800.0),
    Point(700.0, 800.0),
    Point(700.0, 1100.0),
    Point(850.0, 1100.0),
)
WIDTH = 1080.0


def reading(mark: Mark, **fields: Any):
    review = Review(clip=made.clip_ref(), notes=(made.note(1, marks=(mark,)),), **fields)
    (found,) = readings_of(review)
    return found


def joint(name: str, *three: Point) -> Joint:
    return Joint(id="j", joint=name, proximal=three[0], vertex=three[1], distal=three[2])


def tilt(segment: str, lower: Point, upper: Point) -> Tilt:
    return Tilt(id="t", segment=segment, lower=lower, upper=upper)


@pytest.mark.parametrize(
    ("mark", "value", "text"),
    [
        # The neutral-zero method: straight is 0 at knee, hip and elbow; a right angle at the ankle.
        (joint("knee", HIP, KNEE, ANKLE), 90, "Knee flexion 90°"),
        (joint("knee", HIP, KNEE, Point(900.0, 800.0)), 0, "Knee flexion 0°"),
        (joint("hip", Point(500.0, 400.0), HIP, KNEE), 90, "Hip flexion 90°"),
        (joint("ankle", KNEE, ANKLE, TOE), 0, "Ankle dorsiflexion 0°"),
        (joint("ankle", Point(750.0, 800.0), ANKLE, TOE), math.degrees(math.atan2(50, 300)), "9°"),
        (
            joint("ankle", Point(650.0, 800.0), ANKLE, TOE),
            -math.degrees(math.atan2(50, 300)),
            "−9°",
        ),
        (joint("elbow", HIP, KNEE, ANKLE), 90, "Elbow flexion 90°"),
        (
            joint("shoulder", HIP, Point(500.0, 400.0), Point(500.0, 700.0)),
            0,
            "Shoulder flexion 0°",
        ),
        (joint("other", HIP, KNEE, Point(900.0, 800.0)), 180, "Angle 180°"),
    ],
)
def test_joint_angles_follow_the_neutral_zero_method(mark, value, text):
    found = reading(mark)
    assert found.value == pytest.approx(value)
    assert text in found.text


def test_craniovertebral_angle_of_the_worked_example():
    # Tragus 60 px in front of C7 and 72 px above it: 50.194 degrees (computed from the definition
    # in Wilmarth & Hilliard 2002). A smaller angle is a head that is further forward.
    c7 = Point(400.0, 500.0)
    found = reading(tilt("head_on_neck", c7, Point(460.0, 428.0)), facing="right")
    assert found.value == pytest.approx(50.194, abs=0.001)
    further = reading(tilt("head_on_neck", c7, Point(480.0, 428.0)), facing="right")
    assert further.value < found.value


@pytest.mark.parametrize(("y", "said"), [(400.0, "above level"), (600.0, "below level")])
def test_gaze_is_told_against_level(y, said):
    found = reading(tilt("gaze", Point(500.0, 500.0), Point(700.0, y)))
    assert found.text.startswith("Gaze 27° ±")
    assert found.text.endswith(said)


@pytest.mark.parametrize(
    ("facing", "x", "value"),
    [("right", 600.0, 45), ("left", 400.0, 45), ("right", 400.0, -45), ("left", 600.0, -45)],
)
def test_forward_is_where_the_client_faces(facing, x, value):
    found = reading(tilt("trunk", Point(500.0, 500.0), Point(x, 400.0)), facing=facing)
    assert found.value == pytest.approx(value)
    assert found.text.endswith("forward" if value > 0 else "backward")
    assert "−" not in found.text


def test_without_facing_a_tilt_is_told_by_side():
    found = reading(tilt("trunk", Point(500.0, 500.0), Point(400.0, 400.0)))
    assert found.text.endswith("to the left")


def turned(point: Point, degrees: float) -> Point:
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    x, y = point.x - 540, point.y - 960
    return Point(540 + x * cos - y * sin, 960 + x * sin + y * cos)


@given(st.floats(-30, 30), st.sampled_from(["left", "right"]), made.marks)
def test_a_rolled_camera_with_a_plumb_line_changes_no_number(degrees, facing, mark):
    plumb = PlumbLine(top=Point(200.0, 100.0), bottom=Point(200.0, 1800.0))
    review = Review(
        clip=made.clip_ref(), notes=(made.note(1, marks=(mark,)),), plumb=plumb, facing=facing
    )
    rolled = msgspec.structs.replace(
        review,
        notes=(
            made.note(
                1, marks=(edit.with_points(mark, [turned(p, degrees) for p in points_of(mark)]),)
            ),
        ),
        plumb=PlumbLine(top=turned(plumb.top, degrees), bottom=turned(plumb.bottom, degrees)),
    )
    assert_same_numbers(review, rolled)


@given(made.marks)
def test_a_mirrored_picture_with_the_other_facing_changes_no_number(mark):
    plumb = PlumbLine(top=Point(210.0, 100.0), bottom=Point(200.0, 1800.0))
    review = Review(
        clip=made.clip_ref(), notes=(made.note(1, marks=(mark,)),), plumb=plumb, facing="right"
    )

    def flip(point: Point) -> Point:
        return Point(WIDTH - point.x, point.y)

    mirrored = msgspec.structs.replace(
        review,
        notes=(made.note(1, marks=(edit.with_points(mark, [flip(p) for p in points_of(mark)]),)),),
        plumb=PlumbLine(top=flip(plumb.top), bottom=flip(plumb.bottom)),
        facing="left",
    )
    assert_same_numbers(review, mirrored)


def assert_same_numbers(one: Review, two: Review) -> None:
    for before, after in zip(readings_of(one), readings_of(two), strict=True):
        difference = abs(before.value - after.value)
        if before.unit == "°":
            difference = min(difference, 360 - difference)  # 180 and -180 are one direction
        assert difference < 1e-6 * max(1.0, abs(before.value)) + 1e-5
        assert after.sd == pytest.approx(before.sd, rel=1e-6, abs=1e-9)


def test_without_a_scale_no_centimetres_are_invented():
    found = reading(Span(id="s", a=Point(0.0, 0.0), b=Point(0.0, 480.0)))
    assert (found.value, found.unit) == (25.0, "% of picture height")


def test_lengths_come_from_the_scale_with_its_uncertainty():
    scale = Scale(a=Point(100.0, 0.0), b=Point(100.0, 800.0), length_cm=100.0, length_sd_cm=0.5)
    span = Span(id="s", a=Point(0.0, 0.0), b=Point(300.0, 400.0))
    found = reading(span, scale=scale)
    assert (found.value, found.unit) == (62.5, "cm")
    sd = 0.002 * 1080
    a, b, c, d = (uncertainties.ufloat(v, sd) for v in (0, 0, 300, 400))
    e, f, g, h = (uncertainties.ufloat(v, sd) for v in (100, 0, 100, 800))
    known = uncertainties.ufloat(100, 0.5)
    expected = umath.hypot(c - a, d - b) * known / umath.hypot(g - e, h - f)
    assert found.sd == pytest.approx(expected.std_dev, rel=1e-9)


@pytest.mark.parametrize(
    ("axis", "value"), [("straight", 50.0), ("across", 30.0), ("upright", 40.0)]
)
def test_a_span_can_be_told_across_or_along_the_true_vertical(axis, value):
    scale = Scale(a=Point(0.0, 0.0), b=Point(0.0, 1000.0), length_cm=100.0)
    mark = Span(id="s", a=Point(100.0, 100.0), b=Point(400.0, 500.0), axis=axis)
    assert reading(mark, scale=scale).value == pytest.approx(value)


def test_the_angle_of_two_lines_is_the_smaller_one_whichever_end_comes_first():
    sd = 0.002 * 1080
    ends = ((0, 0), (200, 30)), ((500, 100), (420, 400))
    found = reading(_between(*ends))
    (a, b), (c, d) = [[[uncertainties.ufloat(v, sd) for v in p] for p in line] for line in ends]
    first, second = (umath.atan2(q[1] - p[1], q[0] - p[0]) for p, q in ((a, b), (c, d)))
    expected = 180 - umath.fabs(second - first) * 180 / math.pi
    assert found.value == pytest.approx(expected.nominal_value)
    assert found.sd == pytest.approx(expected.std_dev, rel=1e-9)
    turned = reading(_between(ends[0][::-1], ends[1]))
    assert (turned.value, turned.sd) == (pytest.approx(found.value), pytest.approx(found.sd))
    assert found.unit == "°"


def _between(first, second):
    a, b, c, d = (Point(*map(float, place)) for place in (*first, *second))
    return Between(id="b", a=a, b=b, c=c, d=d)


def test_a_placement_of_ones_own_is_used():
    usual = reading(joint("knee", HIP, KNEE, ANKLE))
    finer = reading(msgspec.structs.replace(joint("knee", HIP, KNEE, ANKLE), placement_sd_px=0.54))
    assert usual.sd == pytest.approx(4 * finer.sd)


def test_marks_that_define_no_number_are_told_and_left_out():
    bad = joint("knee", HIP, HIP, ANKLE)
    review = Review(clip=made.clip_ref(), notes=(made.note(1, marks=(bad,)),))
    assert readings_of(review) == ()
    assert unmeasured(review) == (
        "Note n1, mark j: The joint lies on one of its own ends: move the points apart.",
    )


@pytest.mark.parametrize(
    ("value", "sd", "unit", "text"),
    [
        (91.7, 0.9, "°", "92° ± 2°"),
        (91.74, 0.2, "°", "91.7° ± 0.4°"),
        (41.26, 0.2, "cm", "41.3 cm ± 0.4 cm"),
        (-3.4, 0.6, "°", "−3° ± 1°"),
        (25.0, 0.16, "% of picture height", "25.0 % ± 0.3 % of picture height"),
        (-0.2, 0.6, "°", "0° ± 1°"),
        (2.5, 7.3, "°", "3° ± 15°"),
        (12.0, 0.001, "cm", "12.0 cm ± 0.1 cm"),
        (12.345, 0.4749, "cm", "12.3 cm ± 0.9 cm"),
        (12.345, 0.476, "cm", "12 cm ± 1 cm"),
        (328.0, 49.7, "ms", "328 ms ± 99 ms"),
        (328.0, 307.0, "ms", "330 ms ± 610 ms"),
        (-1849.0, 612.0, "ms", "−1800 ms ± 1200 ms"),
    ],
)
def test_no_more_digits_are_shown_than_the_uncertainty_bears(value, sd, unit, text):
    assert with_uncertainty(value, sd, unit) == text


def test_a_seat_change_of_two_centimetres_can_be_told_at_the_usual_scale():
    # Common practice, no source: a useful change of seat height is 1 to 2 cm.
    scale = Scale(a=Point(100.0, 400.0), b=Point(100.0, 1200.0), length_cm=100.0, length_sd_cm=0.2)
    review = Review(clip=made.clip_ref(), scale=scale)
    seat = Span(id="s", a=Point(600.0, 1700.0), b=Point(600.0, 1340.0), axis="upright")
    found = reading_of(review, "n", 0, seat)
    assert found.value == pytest.approx(45.0)
    assert 2.0 * found.sd < 2.0


ON_PLUMB, EAR = Point(500.0, 1500.0), Point(560.0, 400.0)


@pytest.mark.parametrize(
    ("facing", "value", "text"),
    [("right", 12.0, "Across 12 cm ± 1 cm ahead"), ("left", -12.0, "Across 12 cm ± 1 cm behind")],
)
def test_a_level_span_tells_ahead_or_behind_along_the_facing(facing, value, text):
    # 5 px to the cm: the ear is 60 px, 12 cm, to the right of the plumb line over the ankle.
    scale = Scale(a=Point(0.0, 0.0), b=Point(0.0, 500.0), length_cm=100.0)
    mark = Span(id="s", axis="across", a=ON_PLUMB, b=EAR)
    found = reading(mark, facing=facing, scale=scale)
    assert found.value == pytest.approx(value)
    assert found.text == text


@pytest.mark.parametrize("axis", ["straight", "upright"])
def test_other_spans_have_no_direction(axis):
    found = reading(Span(id="s", axis=axis, a=ON_PLUMB, b=EAR), facing="left")
    assert found.value > 0
    assert found.sense == ""


def test_without_a_facing_a_level_span_has_no_direction():
    found = reading(Span(id="s", axis="across", a=EAR, b=ON_PLUMB))
    assert found.value > 0
    assert found.sense == ""
