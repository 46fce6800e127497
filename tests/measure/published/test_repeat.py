"""Measurement error against published data and published pairs."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure.published import (
    GUIDE,
    change_meaning,
    limits_of_agreement,
    minimal_detectable_change_90,
    repeatability,
    sem_from_pairs,
    sem_from_reliability,
    sem_from_repeats,
    smallest_detectable_change,
)

# Bland, Altman, Lancet 1986;i:307-310, peak flow in l/min, first and second readings by two
# meters (data from memory; they give the published results).
LARGE_1 = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
LARGE_2 = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421]
MINI_1 = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]
MINI_2 = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443]


def test_limits_of_agreement_of_the_peak_flow_meters():
    two = limits_of_agreement(LARGE_1, MINI_1, k=2)
    assert (round(two.mean, 1), round(two.sd, 1)) == (-2.1, 38.8)
    # Printed -79.7 and 75.5, from the rounded mean and SD.
    assert (two.low, two.high) == pytest.approx((-79.65, 75.41), abs=0.01)
    usual = limits_of_agreement(LARGE_1, MINI_1)
    assert (usual.low, usual.high) == pytest.approx((-78.10, 73.86), abs=0.01)


def test_repeatability_of_the_peak_flow_meters():
    # Printed 43.2 and 56.4.
    assert repeatability(LARGE_1, LARGE_2) == pytest.approx(43.2, abs=0.15)
    assert repeatability(MINI_1, MINI_2) == pytest.approx(56.4, abs=0.15)


# Published SEM and SDC, degrees: doi 10.1186/s13102-020-00179-8, table 2.
@pytest.mark.parametrize(
    ("sem", "sdc"), [(10.66, 29.55), (9.85, 27.30), (9.04, 25.06), (9.09, 25.20)]
)
def test_smallest_detectable_change_of_published_sems(sem, sdc):
    assert round(smallest_detectable_change(sem), 2) == sdc


def test_factors_of_the_detectable_changes():
    # 2.7719 and 2.326 times the SEM (Weir 2005; de Vet 2006).
    assert smallest_detectable_change(1.0) == pytest.approx(2.7719, abs=5e-5)
    assert minimal_detectable_change_90(1.0) == pytest.approx(2.326, abs=5e-4)


def test_sem_from_reliability():
    sem = sem_from_reliability(5.0, 0.90)
    assert sem == pytest.approx(1.581, abs=0.0005)
    assert smallest_detectable_change(sem) == pytest.approx(4.383, abs=0.0005)


def test_sem_from_pairs_is_the_difference_sd_over_root_two():
    expected = np.std(np.subtract(LARGE_1, LARGE_2), ddof=1) / np.sqrt(2)
    assert sem_from_pairs(LARGE_1, LARGE_2) == pytest.approx(expected)


def test_sem_from_repeats_finds_the_error_that_was_put_in():
    rng = np.random.default_rng(3)
    truth = rng.normal(90, 15, 400)
    repeats = [list(t + rng.normal(0, 2.0, n)) for t, n in zip(truth, [2, 3] * 200, strict=True)]
    assert sem_from_repeats(repeats) == pytest.approx(2.0, rel=0.08)


def test_sem_from_repeats_of_pairs_without_bias_is_that_of_the_pairs():
    # With the mean difference kept in: root of the mean of d^2 / 2.
    pairs = list(zip(LARGE_1, LARGE_2, strict=True))
    assert sem_from_repeats(pairs) == pytest.approx(repeatability(LARGE_1, LARGE_2) / 2 / 2**0.5)


numbers = st.lists(st.tuples(st.floats(-500, 500), st.floats(-500, 500)), min_size=2, max_size=20)


@given(numbers, st.floats(-100, 100))
def test_a_constant_shift_changes_the_mean_and_no_spread(pairs, shift):
    first, second = zip(*pairs, strict=True)
    moved = [value + shift for value in second]
    one, two = limits_of_agreement(first, second), limits_of_agreement(first, moved)
    assert two.mean == pytest.approx(one.mean - shift, abs=1e-6)
    assert two.sd == pytest.approx(one.sd, abs=1e-6)
    assert sem_from_pairs(first, moved) == pytest.approx(sem_from_pairs(first, second), abs=1e-6)


def test_a_change_in_words():
    assert change_meaning(5.0, 1.5811, "degrees").startswith(
        "A change of 5.0 degrees is more than measuring error: the smallest detectable change is "
        "4.4 degrees."
    )
    assert "-4.0" not in change_meaning(-4.0, 1.5811, "degrees")
    assert "may be measuring error alone" in change_meaning(-4.0, 1.5811, "degrees")
    assert change_meaning(5.0, 1.5811, "degrees").endswith(GUIDE)
    assert limits_of_agreement(LARGE_1, MINI_1).meaning("l/min").endswith(GUIDE)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: sem_from_pairs([1.0], [2.0]), "One pair tells nothing"),
        (lambda: sem_from_pairs([1.0, 2.0], [2.0]), "2 first and 1 second readings"),
        (lambda: repeatability([1.0, math.nan], [1.0, 2.0]), "other than numbers in the first"),
        (lambda: sem_from_repeats([[1.0, 2.0], [3.0]]), "at least two repeats"),
        (lambda: sem_from_repeats([]), "at least two repeats"),
        (lambda: sem_from_reliability(-1.0, 0.5), "standard deviation is -1: give 0 or more"),
        (lambda: sem_from_reliability(1.0, 1.5), "intraclass correlation is 1.5: give 0 to 1"),
        (lambda: smallest_detectable_change(math.nan), "The SEM is not a number"),
        (lambda: limits_of_agreement([1, 2], [1, 2], k=0), "The factor k is 0"),
    ],
)
def test_bad_input_is_refused(call, words):
    with pytest.raises(MeasureError, match=words):
        call()
