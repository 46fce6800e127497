"""Chair stand reference values and counting rules against their published tables."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import (
    GUIDE,
    chair_stand_points,
    counted_stands,
    five_times,
    thirty_seconds,
)

# CDC STEADI, 30-Second Chair Stand (below-average scores), after Rikli and Jones 1999; then the
# usual ranges of men and women (from 70 years on from memory).
STEADI = """
60 64 | 14 12 | 14 19 | 12 17
65 69 | 12 11 | 12 18 | 11 16
70 74 | 12 10 | 12 17 | 10 15
75 79 | 11 10 | 11 17 | 10 15
80 84 | 10  9 | 10 15 |  9 14
85 89 |  8  8 |  8 14 |  8 13
90 94 |  7  4 |  7 12 |  4 11
"""


# Bohannon, Percept Mot Skills 2006;103:215-222, abstract.
@pytest.mark.parametrize(("ages", "limit"), [((60, 69), 11.4), ((70, 79), 12.6), ((80, 89), 14.8)])
def test_bohannons_limits_by_age(ages, limit):
    for age in ages:
        assert five_times(limit, age).slower is False
        assert five_times(limit + 0.01, age).slower is True


def test_younger_adults_have_klukowskas_upper_limit_of_normal():
    # Neurospine 2021;18(4), abstract: 6.21 ± 1.92 s, upper limit 12.39 s.
    for age in (18, 59):
        assert five_times(6.21 + 1.92, age).slower is False
        assert five_times(12.40, age).slower is True


def test_a_time_whose_uncertainty_spans_the_limit_decides_nothing():
    near = five_times(Estimate(11.3, 0.1), 65)
    assert near.slower is None
    assert "as near to the usual limit of 11.4 s at 65 years" in near.meaning
    assert five_times(Estimate(11.1, 0.1), 65).slower is False
    assert near.meaning.endswith(GUIDE)


# Guralnik et al., J Gerontol 1994;49:M85-94 (from memory).
@pytest.mark.parametrize(
    ("time", "points"),
    [
        (None, 0), (60.01, 0), (60.0, 1), (16.70, 1), (16.69, 2), (13.70, 2), (13.69, 3),
        (11.20, 3), (11.19, 4), (7.0, 4), (11.194, 4), (11.195, 3), (16.695, 1),
    ],
)  # fmt: skip
def test_points_of_the_short_physical_performance_battery(time, points):
    assert chair_stand_points(time) == points


@given(st.floats(1, 300), st.floats(1, 300))
def test_a_longer_time_never_gets_more_points(a, b):
    assert chair_stand_points(max(a, b)) <= chair_stand_points(min(a, b))


@pytest.mark.parametrize("row", STEADI.strip().split("\n"))
def test_below_average_scores_and_usual_ranges(row):
    ages, limits, men, women = ([int(n) for n in cell.split()] for cell in row.split("|"))
    for sex, limit, usual in (("male", limits[0], men), ("female", limits[1], women)):
        for age in ages:
            assert thirty_seconds(limit - 1, age, sex).below_average
            result = thirty_seconds(limit, age, sex)
            assert not result.below_average
            assert result.usual == tuple(usual)


def test_counting_rules():
    assert counted_stands(11, over_half_way=False, used_arms=False) == 11
    assert counted_stands(11, over_half_way=True, used_arms=False) == 12
    assert counted_stands(11, over_half_way=True, used_arms=True) == 0


def test_thirty_seconds_in_words():
    meaning = thirty_seconds(9, 72, "female").meaning
    assert "9 stands in 30 s: below average at 72 years" in meaning
    assert "women of this age: 10 to 15" in meaning
    assert meaning.endswith(GUIDE)


@pytest.mark.parametrize("age", [17, 90])
def test_ages_without_a_published_time_are_refused(age):
    with pytest.raises(MeasureError, match="no published time for five rises at"):
        five_times(10.0, age)


@pytest.mark.parametrize("age", [59, 95])
def test_ages_without_a_published_number_are_refused(age):
    with pytest.raises(MeasureError, match="no published number of stands at"):
        thirty_seconds(10, age, "male")


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: five_times(0.5, 65), "time for five rises is 0.5 s: give 1 to 300 s"),
        (lambda: five_times(10.0, 65.5), "The age is not a whole number"),
        (lambda: five_times(math.nan, 65), "time for five rises is not a number"),
        (lambda: chair_stand_points(-3.0), "time for five rises is -3 s"),
        (lambda: thirty_seconds(61, 65, "male"), "number of stands is 61: give 0 to 60"),
        (lambda: thirty_seconds(10.5, 65, "male"), "number of stands is not a whole number"),
        (lambda: thirty_seconds(10, 65, "man"), "The sex is 'man': choose one of female, male"),
        (lambda: counted_stands(True, False, False), "number of stands is not a whole number"),
    ],
)
def test_bad_input_is_refused(call, words):
    with pytest.raises(MeasureError, match=words):
        call()
