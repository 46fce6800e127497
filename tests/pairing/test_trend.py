"""The trend over several reviews, and its page."""

from __future__ import annotations

import datetime as dt
import math
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from support.pairs import demo_pairing, made_over
from support.truth import FOLDER

from cliptag.pairing import Pairing, Quantity, compare_reviews, trend_of
from cliptag.pairing.trend import lines_of, places_of
from cliptag.pairing.trend_page import trend_page, trend_plot


def quantity(name: str, value: float, unit: str = "°") -> Quantity:
    return Quantity(name, name, unit, value, 1.0, 1, 0.0, math.inf, "movement", None)


def test_a_line_has_a_place_for_each_review_that_tells_it():
    found = [
        {"knee": quantity("knee", 80), "hip": quantity("hip", 10)},
        {"knee": quantity("knee", 85)},
        {"knee": quantity("knee", 90), "hip": quantity("hip", 20), "lone": quantity("lone", 1)},
    ]
    lines = {line.name: line for line in lines_of(found)}
    assert set(lines) == {"knee", "hip"}
    assert [v and v.value for v in lines["hip"].values] == [10, None, 20]


def test_values_of_different_units_make_no_line():
    found = [{"gap": quantity("gap", 4, "cm")}, {"gap": quantity("gap", 2, "% of picture height")}]
    assert lines_of(found) == ()


@pytest.mark.parametrize(
    ("weeks", "days", "axis", "places"),
    [
        ((1, 4, 10), (None, None, None), "Week", (1.0, 4.0, 10.0)),
        ((1, 1, 2), (1, 8, 15), "Day", (0.0, 7.0, 14.0)),
        ((None, 1, 2), (None, 8, 15), "Review", (1.0, 2.0, 3.0)),
    ],
)
def test_the_axis_is_the_best_that_all_reviews_tell(weeks, days, axis: str, places):
    sides = [
        SimpleNamespace(
            review=SimpleNamespace(
                week=week, recorded_on=day and dt.date(2026, 3, 1) + dt.timedelta(days=day)
            )
        )
        for week, day in zip(weeks, days, strict=True)
    ]
    assert places_of(sides) == (places, axis)  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def three(tmp_path_factory: pytest.TempPathFactory) -> Pairing:
    """Week 1, the same again as another clip, and week 10."""
    folder = tmp_path_factory.mktemp("three")
    first, last = demo_pairing("bend").reviews
    again = made_over(FOLDER / "bend_week01.review.json", folder, scale=0.5)
    return Pairing(reviews=(first, str(again), last))


def test_the_trend_measures_every_review_and_shows_one_frame_of_each(three: Pairing):
    with compare_reviews(three) as comparison:
        trend = trend_of(three, comparison)
        knee = next(line for line in trend.lines if line.name == "knee_flexion_highest")
        values = [value.value for value in knee.values if value is not None]
        assert len(values) == len(trend.frames) == len(trend.names) == 3
        assert len(set(trend.names)) == 3
        assert abs(values[0] - values[1]) < 3 < abs(values[2] - values[0])
        plot = trend_plot(trend, knee)
        assert plot.series[0].has_bars
        np.testing.assert_allclose(plot.series[0].ys, values)
        page = trend_page(trend)
    assert page.count("data:image/jpeg;base64,") == 3
    assert "<script" not in page
    assert "The same moment of each: Deepest" in page


def test_a_review_of_someone_else_in_between_is_refused(three: Pairing, tmp_path: Path):
    import msgspec

    from cliptag.errors import PairingError
    from cliptag.review import load_review, save_review

    middle = Path(three.reviews[1])
    other = msgspec.structs.replace(load_review(middle), client="Otto")
    path = save_review(other, middle.with_name("otto.review.json"))
    mixed = msgspec.structs.replace(three, reviews=(three.reviews[0], str(path), three.reviews[2]))
    with (
        compare_reviews(mixed) as comparison,
        pytest.raises(PairingError, match="different clients"),
    ):
        trend_of(mixed, comparison)
