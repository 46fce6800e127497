"""Warnings of views that differ, on bodies laid out by a pinhole camera."""

from __future__ import annotations

import math
from types import SimpleNamespace

import msgspec
import numpy as np
import pytest
from support.reviews import clip_ref

from cliptag.pairing.placing import Similarity, place
from cliptag.pairing.side import Side
from cliptag.pairing.views import view_warnings
from cliptag.review import PlumbLine, Point, Review, Scale

BODY = {
    "ankle": (0.0, 8.0), "heel": (-6.0, 2.0), "toe": (19.0, 2.0), "knee": (3.0, 48.0),
    "hip": (-8.0, 88.0), "shoulder": (5.0, 136.0),
}  # fmt: skip
"""Forward and up, in cm."""
FOCAL_PX = 1600.0
WIDTH, HEIGHT = 1080, 1920


def filmed(
    *,
    distance_cm: float = 300.0,
    camera_cm: float = 90.0,
    turned_deg: float = 0.0,
    roll_deg: float = 0.0,
    facing: str = "right",
    with_plumb: bool = True,
    scale_cm: float = 100.0,
    week: int = 1,
) -> Side:
    """A level camera at a height and distance; the body turned about its vertical."""
    roll = complex(math.cos(math.radians(roll_deg)), math.sin(math.radians(roll_deg)))

    def seen(forward: float, up: float) -> complex:
        side = 1 if facing == "right" else -1
        turn = math.radians(turned_deg)
        depth = distance_cm + forward * math.sin(turn)
        x = FOCAL_PX * side * forward * math.cos(turn) / depth
        y = -FOCAL_PX * (up - camera_cm) / depth
        return complex(x, y) * roll + complex(WIDTH / 2, HEIGHT / 2)

    places = {name: seen(*at) for name, at in BODY.items()}
    ends = [seen(0, 0), seen(0, 100)]
    plumb = PlumbLine(
        top=Point(ends[1].real, ends[1].imag), bottom=Point(ends[0].real, ends[0].imag)
    )
    scale = Scale(
        a=Point(ends[0].real, ends[0].imag), b=Point(ends[1].real, ends[1].imag),
        length_cm=scale_cm,
    )  # fmt: skip
    review = Review(
        clip=msgspec.structs.replace(clip_ref(), width=WIDTH, height=HEIGHT),
        facing=facing,  # type: ignore[arg-type]
        week=week,
        scale=scale,
        plumb=plumb if with_plumb else None,
    )
    tracks = SimpleNamespace(
        points={name: np.array([[z.real, z.imag]] * 3) for name, z in places.items()}
    )
    return Side(path=None, review=review, clip=None, tracks=tracks)  # type: ignore[arg-type]


def aspects(first: Side, second: Side) -> list[str]:
    return [warning.aspect for warning in view_warnings(first, second, place(first, second))]


def test_two_like_views_bring_no_warning():
    assert aspects(filmed(), filmed(distance_cm=320, camera_cm=95, turned_deg=5, roll_deg=1)) == []


@pytest.mark.parametrize(
    ("change", "aspect"),
    [
        ({"distance_cm": 430.0}, "distance"),
        ({"camera_cm": 145.0}, "height"),
        ({"turned_deg": 30.0}, "turn"),
        ({"roll_deg": 5.0}, "roll"),
        ({"with_plumb": False}, "roll"),
        ({"facing": "left"}, "side"),
        ({"scale_cm": 110.0}, "scale"),
    ],
)
def test_what_differs_is_named(change: dict, aspect: str):
    assert aspects(filmed(), filmed(week=10, **change)) == [aspect]


def test_the_turn_is_told_about_right():
    """Truth 30°; the sentence tells the difference of the turns from the foot's narrowing."""
    first, second = filmed(), filmed(turned_deg=30.0, week=10)
    (warning,) = view_warnings(first, second, place(first, second))
    said = int(warning.sentence.split("about ")[1].split("°")[0])
    assert abs(said - 30) <= 6
    assert "Week 10" in warning.sentence


def test_each_warning_is_a_sentence_that_says_what_to_do():
    first = filmed()
    second = filmed(distance_cm=500, turned_deg=35, roll_deg=6, facing="left", week=10)
    for warning in view_warnings(first, second, place(first, second)):
        assert warning.sentence.endswith(".")
        assert len(warning.sentence) > 60


def test_a_mirrored_body_is_laid_over_the_other_point_for_point():
    first, second = filmed(roll_deg=2.0), filmed(roll_deg=-3.0, facing="left", distance_cm=400)
    placing = place(first, second)
    assert placing.is_mirrored
    for name in BODY:
        a, b = first.places(name), second.places(name)
        assert a is not None and b is not None
        laid = placing.onto_first(complex(*b[0]))
        assert abs(laid - complex(*a[0])) < 6.0, name


def test_similarities_follow_each_other_as_their_maps_do():
    one = Similarity(2 + 1j, 3 - 4j, True)
    for other in (Similarity(0.5 - 0.2j, 7j, False), Similarity(1j, 5 + 0j, True)):
        for z in (0j, 3 + 4j, -2 - 7j):
            assert one.then(other)(z) == pytest.approx(other(one(z)))


def test_without_a_scale_the_body_is_the_scale():
    bare = [
        Side(path=None, review=msgspec.structs.replace(s.review, scale=None), clip=None,
             tracks=s.tracks)  # type: ignore[arg-type]
        for s in (filmed(), filmed(distance_cm=400))
    ]  # fmt: skip
    placing = place(*bare)
    assert placing.scaled_by == "body"
    assert placing.onto_first.scale == pytest.approx(400 / 300, rel=0.01)


def test_without_points_the_pictures_stand_on_their_lower_edges():
    sides = [
        Side(path=None, review=msgspec.structs.replace(s.review, scale=None), clip=None)  # type: ignore[arg-type]
        for s in (filmed(), filmed())
    ]
    placing = place(*sides)
    assert placing.scaled_by == "picture"
    assert not placing.has_ground
    assert placing.onto_first(complex(WIDTH / 2, HEIGHT)) == pytest.approx(
        complex(WIDTH / 2, HEIGHT)
    )
