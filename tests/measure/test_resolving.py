"""Whether a seat's change of 1 to 2 cm can be told, against drawn noise."""

from __future__ import annotations

import numpy as np
import pytest
from support import reviews as made

from cliptag.errors import MeasureError
from cliptag.measure import height_change, reading_of
from cliptag.review import Point, Review, Scale, Span

SD_PX = 0.002 * 1080


def review(pixels: float, length_cm: float, length_sd_cm: float) -> Review:
    scale = Scale(
        a=Point(0.0, 0.0), b=Point(0.0, pixels), length_cm=length_cm, length_sd_cm=length_sd_cm
    )
    return Review(clip=made.clip_ref(), scale=scale)


def test_two_measurements_of_one_height_differ_by_less_in_95_of_100():
    """Drawn: both ends of a 45 cm seat and both ends of a 100 cm rod are placed anew each time."""
    rng = np.random.default_rng(5)
    px_per_cm, count = 9.0, 40_000

    def heights(scale_px: np.ndarray) -> np.ndarray:
        ends = rng.normal(0.0, SD_PX, (count, 2))
        return (45.0 * px_per_cm + ends[:, 0] - ends[:, 1]) * 100.0 / scale_px

    def scales() -> np.ndarray:
        # The length that was told is off by a share of its own.
        ends = rng.normal(0.0, SD_PX, (count, 2))
        return (100.0 * px_per_cm + ends[:, 0] - ends[:, 1]) * (1 + rng.normal(0, 0.005, count))

    told = height_change(review(100.0 * px_per_cm, 100.0, 0.5))
    one = scales()
    within = heights(one) - heights(one)
    between = heights(scales()) - heights(scales())
    assert (np.abs(within) < told.within_clip_cm).mean() == pytest.approx(0.95, abs=0.01)
    assert (np.abs(between) < told.between_clips_cm).mean() == pytest.approx(0.95, abs=0.01)


def test_it_is_the_smallest_detectable_change_of_an_upright_span():
    good = review(900.0, 100.0, 0.5)
    span = Span(id="s", axis="upright", a=Point(0.0, 0.0), b=Point(0.0, 405.0))
    found = reading_of(good, "n", 0, span)
    assert found.value == pytest.approx(45.0)
    assert height_change(good).between_clips_cm == pytest.approx(2.7718 * found.sd, rel=1e-3)


@pytest.mark.parametrize(
    ("pixels", "sd_cm", "said"),
    [
        (1600.0, 0.1, "so 1 cm and 2 cm can both be told"),
        (900.0, 0.5, "so 2 cm can be told between clips, 1 cm can't"),
        (300.0, 2.0, "so neither 1 cm nor 2 cm can be told"),
    ],
)
def test_it_says_whether_1_to_2_cm_can_be_told(pixels, sd_cm, said):
    assert said in height_change(review(pixels, 100.0, sd_cm)).sentence


def test_without_a_scale_it_says_what_to_mark():
    with pytest.raises(MeasureError, match="mark a known length"):
        height_change(Review(clip=made.clip_ref()))
