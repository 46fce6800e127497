"""Central differences against closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from cliptag.measure.curves.derivative import (
    central_difference_gain,
    rate_of_change,
    rate_within_runs,
)


@pytest.mark.parametrize(
    ("f", "rate", "expected"),
    [(1, 30, 0.99271), (2, 30, 0.97101), (5, 30, 0.82699), (6, 60, 0.93549)],
)
def test_a_sine_comes_out_with_the_gain_of_sin_x_over_x(f, rate, expected):
    # sin(2 pi f dt) / (2 pi f dt), computed by hand.
    t = np.arange(400) / rate
    found = rate_of_change(np.sin(2 * np.pi * f * t), t)
    true = 2 * np.pi * f * np.cos(2 * np.pi * f * t)
    gain = (found[1:-1] @ true[1:-1]) / (true[1:-1] @ true[1:-1])
    assert gain == pytest.approx(expected, abs=1e-5)
    assert central_difference_gain(f, rate) == pytest.approx(expected, abs=1e-5)


def test_at_even_steps_it_is_winters_formula():
    x = np.random.default_rng(0).normal(0, 1, 20)
    np.testing.assert_allclose(
        rate_of_change(x, np.arange(20) / 25)[1:-1], (x[2:] - x[:-2]) * 25 / 2
    )


def test_a_parabolas_rate_is_exact_at_uneven_steps():
    t = np.array([0.0, 0.03, 0.07, 0.1, 0.2, 0.23])
    np.testing.assert_allclose(rate_of_change(3 * t**2 - t, t)[1:-1], (6 * t - 1)[1:-1])


def test_no_difference_reaches_over_a_gap():
    x = np.array([0, 1, 2, 3, np.nan, np.nan, 50, 51, 52, np.nan, 9])
    rate = rate_within_runs(x, np.arange(11.0))
    np.testing.assert_array_equal(np.isnan(rate), np.isnan(x) | (np.arange(11) == 10))
    np.testing.assert_allclose(rate[np.isfinite(rate)], 1.0)
