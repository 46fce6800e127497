"""What is covered is gone: nothing of it is kept but a few coarse tones."""

from __future__ import annotations

import itertools

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.people import FACES, frontal_faces, moved, person

from cliptag.cover import Ellipse, cover_pixels
from cliptag.cover.areas import between, groups_of, mask_of
from cliptag.cover.faces import FaceFinder

places = st.floats(-20, 220)
radii = st.floats(0.5, 90)
ellipses = st.builds(Ellipse, places, places, radii, radii)
large = st.floats(15, 90)
large_ellipses = st.builds(Ellipse, places, places, large, large)
WHOLE = (0, 0, 200, 160)


def strictly_inside(area: Ellipse) -> np.ndarray:
    """(160, 200) whether any of 5 x 5 places in a pixel lies inside: by the equation alone."""
    inside = np.zeros((160, 200), bool)
    for dx, dy in itertools.product(np.linspace(0, 1, 5), repeat=2):
        x = (np.arange(200) + dx - area.x) / area.radius_x
        y = (np.arange(160) + dy - area.y) / area.radius_y
        inside |= x[None] ** 2 + y[:, None] ** 2 < 1
    return inside


@given(st.lists(ellipses, min_size=1, max_size=4))
def test_what_is_covered_is_never_smaller_than_the_areas(areas: list[Ellipse]):
    covered = mask_of(areas, WHOLE)
    for area in areas:
        assert not (strictly_inside(area) & ~covered).any()


@given(st.lists(large_ellipses, min_size=1, max_size=5), st.sampled_from(["blur", "solid"]))
def test_no_pixel_under_an_area_keeps_what_it_was(areas: list[Ellipse], style):
    # Of two pictures that differ everywhere, but not in the mean, the same is left.
    board = np.indices((160, 200)).sum(axis=0) % 2
    first = np.where(board, 104, 152).astype(np.uint8)
    second = np.where(board, 152, 104).astype(np.uint8)
    for plane in (first, second):
        cover_pixels(plane, areas, 1.0, 1.0, style)
    for area in areas:
        # Cells of an odd number of pixels differ by half a pixel's share, at most one tone.
        inside = strictly_inside(area)
        assert np.abs(first[inside].astype(int) - second[inside]).max(initial=0) <= 16


@given(ellipses, ellipses, st.floats(0, 1))
def test_between_two_places_no_radius_is_smaller_than_both(a: Ellipse, b: Ellipse, part: float):
    middle = between(a, b, part)
    assert middle.radius_x >= min(a.radius_x, b.radius_x) - 1e-9
    assert middle.radius_y >= min(a.radius_y, b.radius_y) - 1e-9


@given(st.lists(ellipses, max_size=8))
def test_groups_hold_every_area_once_and_keep_those_apart_that_do_not_touch(areas):
    groups = groups_of(areas)
    assert sorted(itertools.chain(*groups), key=repr) == sorted(areas, key=repr)
    for one, other in itertools.combinations(groups, 2):
        assert not any(a.touches(b) for a in one for b in other)


@pytest.mark.parametrize("style", ["blur", "solid"])
def test_outside_the_areas_nothing_changes(style):
    picture = person("astronaut")
    covered = picture.copy()
    area = Ellipse(222, 118, 60, 80)
    cover_pixels(covered, [area], 1.0, 1.0, style)
    outside = ~mask_of([area], (0, 0, 512, 512))
    np.testing.assert_array_equal(covered[outside], picture[outside])
    changed = (covered != picture).any(axis=2)[~outside]
    assert changed.mean() > 0.95


@pytest.mark.parametrize("style", ["blur", "solid"])
def test_the_tones_of_a_face_are_so_few_that_shuffled_pixels_leave_the_same(style):
    picture = person("astronaut")
    area = Ellipse(222, 118, 90, 90)
    shuffled = picture.copy()
    # Two boxes of 30 x 30 pixels lie well inside one cell of 60: their swap changes no mean.
    box, other = (slice(100, 110), slice(200, 210)), (slice(118, 128), slice(226, 236))
    shuffled[box], shuffled[other] = picture[other].copy(), picture[box].copy()
    assert (shuffled != picture).any()
    for plane in (picture, shuffled):
        cover_pixels(plane, [area], 1.0, 1.0, style)
    np.testing.assert_array_equal(picture, shuffled)


def test_a_face_cannot_be_brought_back_from_many_frames():
    """The attack: frames with the face at known places, put over each other and sharpened.

    Where the cells lie changes from frame to frame, so each frame tells a little else; that is
    what a picture of higher resolution would be put together from.
    """
    face, total = person("astronaut"), np.zeros((512, 512, 3))
    x, y, _, half_y = FACES["astronaut"]
    offsets = [(dx, dy) for dx in range(-14, 15, 4) for dy in range(-14, 15, 4)]
    for dx, dy in offsets:  # the cover lies a little off in each frame, as a search's does
        frame = moved(face, (dx * 2.0, dy * 2.0))
        at = Ellipse(x + dx * 2.0 + dx / 2, y + dy * 2.0 + dy / 2, 1.8 * half_y, 1.8 * half_y)
        cover_pixels(frame, [at], 1.0, 1.0, "blur")
        total += moved(frame, (-dx * 2.0, -dy * 2.0))
    mean = total / len(offsets)
    sharp = mean
    for sigma in (20.0, 10.0, 5.0):
        sharp = sharp + 1.5 * (sharp - cv2.GaussianBlur(sharp, None, sigma))
    for attempt in (mean, sharp):
        picture = np.clip(attempt, 0, 255).astype(np.uint8)
        assert frontal_faces(picture, x, y) == 0
        best = max((f.score for f in FaceFinder().find(picture, 0.05) if f.top < 220), default=0.0)
        assert best < 0.25
    assert frontal_faces(face, x, y) >= 1
    assert FaceFinder().find(face, 0.5)
