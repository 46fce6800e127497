"""The lever-arm lesson is drawn true to its numbers, whatever they are."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PyQt6.QtGui import QColor, QImage

from cliptag.lesson import drawn
from cliptag.measure import Estimate
from cliptag.measure.published import CloserLoad, closer_load, upper_body_from_tilt
from cliptag.paint import TALL, WIDE, lever_arm
from cliptag.paint.lever_arm_figure import BODY, LOAD


def lesson(tilt: float = 50, arm: float = 0.55, load: float = 12, height: float = -0.3,
           what: str = "crate") -> CloserLoad:  # fmt: skip
    body = upper_body_from_tilt(Estimate(65, 1), 1.68, Estimate(tilt, 2), "female")
    return closer_load(body, load, Estimate(arm, 0.02), height, what=what)


def pixels(image: QImage) -> np.ndarray:
    image = image.convertToFormat(QImage.Format.Format_RGB32)
    bits = image.constBits()
    bits.setsize(image.sizeInBytes())
    rows = np.frombuffer(bits, np.uint8).reshape(image.height(), image.bytesPerLine() // 4, 4)
    return rows[:, : image.width(), 2::-1].copy()


def is_colour(picture: np.ndarray, colour: str) -> np.ndarray:
    wanted = QColor(colour)
    return (picture == [wanted.red(), wanted.green(), wanted.blue()]).all(2)


def bars(picture: np.ndarray) -> list[tuple[int, int]]:
    """Widths in pixels of body and load in each bar, from the top."""
    body, load = is_colour(picture, BODY), is_colour(picture, LOAD)
    found: list[tuple[int, int, int]] = []
    for y in range(len(picture)):
        if body[y].sum() < 200 or load[y].sum() < 60:
            continue
        start = int(np.argmax(body[y]))
        middle = start + int(np.argmin(body[y, start:]))
        # Where they meet, one pixel may be of both.
        if middle - start < 200 or not load[y, middle : middle + 2].any():
            continue
        width = int(np.flatnonzero(load[y])[-1]) + 1 - middle
        if found and y - found[-1][0] <= 8:
            width = max(width, found.pop()[2])  # the lines of uncertainty lie over some rows
        found.append((y, middle - start, width))
    return [(width, rest) for _, width, rest in found]


@pytest.mark.parametrize("size", [TALL, WIDE])
def test_the_bars_are_as_long_as_the_moments(size):
    told = lesson()
    picture = pixels(lever_arm(size, drawn(told)))
    chart = picture[:, size[0] // 2 :] if size == WIDE else picture
    (body_far, load_far), (body_near, load_near) = bars(chart)
    assert body_far == pytest.approx(body_near, abs=2)
    far, near = told.far.forces, told.near.forces
    px = body_far / far.upper_body_moment.value
    assert load_far == pytest.approx(px * far.load_moment.value, abs=3)
    assert load_near == pytest.approx(px * near.load_moment.value, abs=3)


@pytest.mark.parametrize("size", [TALL, WIDE, (540, 960), (1280, 720), (320, 568)])
def test_nothing_is_drawn_beyond_the_margins(size):
    picture = pixels(lever_arm(size, drawn(lesson(what="very long crate of tonewood planks"))))
    edge = round(0.03 * min(size))
    paper = picture[2, 2]
    for strip in (picture[:edge], picture[-edge:], picture[:, :edge], picture[:, -edge:]):
        assert (strip == paper).all()


@settings(max_examples=25, deadline=None)
@given(
    tilt=st.floats(0, 110),
    arm=st.floats(0.36, 1.2),
    load=st.floats(0.5, 80),
    height=st.floats(-1.2, 1.0),
)
def test_any_lesson_can_be_drawn(tilt, arm, load, height):
    picture = pixels(lever_arm((540, 960), drawn(lesson(tilt, arm, load, height))))
    assert is_colour(picture, LOAD).sum() > 50
    assert is_colour(picture, BODY).sum() > 500
