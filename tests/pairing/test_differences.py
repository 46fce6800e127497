"""Verdicts against published worked values and independent statistics."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from cliptag.measure import COVERAGE_FACTOR
from cliptag.pairing.differences import NORMAL_FACTOR, coverage_factor, difference_of
from cliptag.pairing.quantities import Quantity, _mean
from cliptag.review import Number

# Bland & Altman, Lancet 1986;i:307-310, table 1: peak flow by a Wright meter, two readings each.
WRIGHT_1 = (494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427)
WRIGHT_2 = (490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421)
MINI_1 = (512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451)
MINI_2 = (525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443)


def quantity(value: float, sd: float, unit: str = "°", **fields: object) -> Quantity:
    values = {"count": 1, "scatter": 0.0, "freedom": math.inf, "source": "movement", "at_us": None}
    return Quantity(
        name="thing", words="Thing", unit=unit, value=value, sd=sd, **{**values, **fields}
    )  # type: ignore[arg-type]


def repeated(values: list[float], sd: float) -> Quantity:
    numbers = [
        Number(name="thing", words="Thing", value=value, sd=sd, unit="°", repetition=n + 1)
        for n, value in enumerate(values)
    ]
    return _mean("movement", numbers)


@pytest.mark.parametrize(
    ("sem", "sdc"), [(10.66, 29.55), (9.85, 27.30), (9.04, 25.06), (9.09, 25.20)]
)
def test_equal_uncertainties_give_the_published_smallest_detectable_changes(sem: float, sdc: float):
    """Pairs of SEM and SDC in degrees, doi 10.1186/s13102-020-00179-8, table 2."""
    found = difference_of(quantity(0.0, sem), quantity(0.0, sem))
    assert round(found.detectable, 2) == sdc


@pytest.mark.parametrize(
    ("first", "second", "published"), [(WRIGHT_1, WRIGHT_2, 43.2), (MINI_1, MINI_2, 56.4)]
)
def test_two_readings_give_bland_and_altmans_repeatability(
    first: tuple[int, ...], second: tuple[int, ...], published: float
):
    """Their coefficient is 2 root mean squares of the differences; 1.96 stands for that 2 here.

    The data from memory; the paper prints 43.2 and 56.4, computing from them gives 43.3 and 56.3.
    """
    sem = math.sqrt(np.mean(np.subtract(first, second) ** 2) / 2)
    found = difference_of(quantity(0.0, sem), quantity(0.0, sem))
    assert found.detectable * 2 / NORMAL_FACTOR == pytest.approx(published, abs=0.15)


def test_the_usual_example_of_reliability_comes_out():
    """SD 5°, ICC 0.90: SEM 1.581°, SDC 4.383° (Weir 2005's formulas; computed)."""
    sem = 5.0 * math.sqrt(1 - 0.90)
    found = difference_of(quantity(10.0, sem), quantity(14.39, sem))
    assert found.detectable == pytest.approx(4.383, abs=0.001)
    assert found.verdict == "changed"
    assert difference_of(quantity(10.0, sem), quantity(14.38, sem)).verdict == (
        "within measuring error"
    )


def test_unequal_uncertainties_add_by_their_squares():
    assert difference_of(quantity(0, 3), quantity(0, 4)).detectable == pytest.approx(1.96 * 5)


@given(
    st.lists(st.floats(-50, 50), min_size=2, max_size=8),
    st.lists(st.floats(-50, 50), min_size=2, max_size=8),
)
def test_repetitions_without_measuring_error_are_judged_as_by_welch(
    first: list[float], second: list[float]
):
    """With nothing but scatter the verdict is that of Welch's t test at 5 % (scipy's).

    The factor is never below 1.96, which for many repetitions is the normal distribution's.
    """
    one, other = np.array(first), np.array(second)
    if one.std() < 1e-6 or other.std() < 1e-6:
        return
    found = difference_of(repeated(first, 0.0), repeated(second, 0.0))
    welch = stats.ttest_ind(other, one, equal_var=False)
    assert found.change / found.sd == pytest.approx(float(welch.statistic), rel=1e-9)
    whole = coverage_factor(found.first, found.second)
    assert whole == pytest.approx(float(stats.t.ppf(0.975, welch.df)), rel=1e-3)


def test_scatter_of_repetitions_is_part_of_the_uncertainty():
    steady, shaky = repeated([20.0, 20.0], 1.0), repeated([10.0, 30.0], 1.0)
    assert steady.sd == pytest.approx(1.0)
    assert shaky.sd == pytest.approx(math.hypot(1.0, math.sqrt(200) / math.sqrt(2)))
    assert shaky.value == steady.value == 20.0
    assert shaky.scatter == pytest.approx(math.sqrt(200))


def test_repetitions_of_one_clip_do_not_average_its_placing_away():
    assert repeated([20.0] * 9, 1.0).sd == pytest.approx(1.0)


def test_what_both_scales_share_drops_out_of_the_change():
    """The same rule in both clips, 1 % unsure, changes nothing of a length that stays the same."""
    own, shared = 0.3, 0.01
    sd = math.hypot(own, 40.0 * shared)
    alone = difference_of(quantity(40.0, sd, "cm"), quantity(40.0, sd, "cm"))
    together = difference_of(
        quantity(40.0, sd, "cm"), quantity(40.0, sd, "cm"), shared_scale=shared
    )
    assert together.sd == pytest.approx(math.sqrt(2) * own)
    assert together.sd < alone.sd


def test_a_shared_scale_matters_to_lengths_alone():
    found = difference_of(quantity(40, 1), quantity(40, 1), shared_scale=0.5)
    assert found.sd == pytest.approx(math.sqrt(2))


@pytest.mark.parametrize(
    ("change", "goal", "said"),
    [
        (-10.0, "less", "towards the goal"),
        (10.0, "less", "away from the goal"),
        (10.0, "more", "towards the goal"),
        (1.0, "less", None),
        (10.0, None, None),
    ],
)
def test_direction_is_judged_only_by_the_coachs_goal(change: float, goal, said: str | None):
    found = difference_of(quantity(50, 1), quantity(50 + change, 1), goal)
    assert found.towards == said


def test_shown_uncertainty_and_verdict_agree_but_for_the_roundness_of_two():
    """± is 2 standard uncertainties, a verdict 1.96: a change just beyond its ± is always real."""
    assert COVERAGE_FACTOR >= NORMAL_FACTOR
    found = difference_of(quantity(0, 1), quantity(2.001 * math.sqrt(2), 1))
    assert found.verdict == "changed"
