"""What turning from the camera does to a mark's number, against turning the points themselves."""

from __future__ import annotations

import math

import msgspec
import pytest
from support import reviews as made

from cliptag.measure import off_if_turned, reading_of
from cliptag.review import Between, Joint, Point, Review, Span, Tilt, edit, points_of

REVIEW = Review(clip=made.clip_ref(), facing="right")
A, B, C, D = Point(300.0, 400.0), Point(420.0, 900.0), Point(700.0, 1000.0), Point(650.0, 500.0)
MARKS = [
    Joint(id="j", joint="hip", proximal=A, vertex=B, distal=C),
    Tilt(id="t", segment="trunk", lower=B, upper=D),
    Between(id="b", a=A, b=B, c=C, d=D),
    Span(id="x", axis="across", a=A, b=C),
    Span(id="u", axis="upright", a=A, b=C),
    Span(id="s", axis="straight", a=A, b=C),
]


def narrowed(mark, turned_deg: float):
    """The mark as a distant camera sees it once its plane is turned about the vertical."""
    cosine = math.cos(math.radians(turned_deg))
    places = [Point(500 + (p.x - 500) * cosine, p.y) for p in points_of(mark)]
    follows = tuple("abcd"[: len(places)])
    moved = edit.with_points(msgspec.structs.replace(mark, follows=follows), places)
    return msgspec.structs.replace(moved, follows=())


def number(mark) -> float:
    return reading_of(REVIEW, "n", 0, mark).value


@pytest.mark.parametrize("mark", MARKS, ids=lambda mark: mark.id)
@pytest.mark.parametrize("turned_deg", [10.0, 20.0])
def test_the_bound_is_what_turning_takes_away(mark, turned_deg):
    true, seen = number(mark), number(narrowed(mark, turned_deg))
    off = abs(true - seen)
    if isinstance(mark, Span):
        off = 100.0 * off / abs(true)
    assert off_if_turned(REVIEW, narrowed(mark, turned_deg), turned_deg) == pytest.approx(off)


def test_a_mark_seen_square_is_off_by_nothing():
    for mark in MARKS:
        assert off_if_turned(REVIEW, mark, 0.0) == pytest.approx(0.0, abs=1e-9)
