"""Curves on the common axis against interpolation by scipy."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import interp1d

from cliptag.measure import Curve
from cliptag.pairing import Comparison
from cliptag.pairing.moments import repetitions_of
from cliptag.pairing.normalised import PERCENTS, normalise


def curve(times: np.ndarray, values: np.ndarray, sd: np.ndarray) -> Curve:
    none = np.zeros(len(times))
    return Curve("knee_flexion", "Knee", "°", "", times, values, sd, none, none, none, none)


@given(st.integers(0, 10_000), st.integers(2, 5))
def test_time_normalisation_is_that_of_an_independent_interpolation(seed: int, count: int):
    """scipy's interp1d both ways: percent to time, and time to value."""
    rng = np.random.default_rng(seed)
    times = np.cumsum(rng.integers(5_000, 60_000, 120)).astype(np.int64)
    values, sd = rng.normal(40, 20, 120), rng.uniform(0.1, 2, 120)
    knots = np.sort(rng.choice(times[5:-5], count, replace=False)).astype(float)
    percents = np.concatenate([[0.0], np.sort(rng.uniform(1, 99, count - 2)), [100.0]])
    found, found_sd = normalise(curve(times, values, sd), list(knots), list(percents))
    at = interp1d(percents, knots)(PERCENTS)
    np.testing.assert_allclose(found, interp1d(times, values)(at), rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(found_sd, interp1d(times, sd)(at), rtol=1e-9)


def test_a_gap_stays_a_gap():
    times = np.arange(100, dtype=np.int64) * 10_000
    values = np.sin(times / 2e5)
    values[40:60] = np.nan
    found, _ = normalise(curve(times, values, np.ones(100)), [0.0, 990_000.0], [0.0, 100.0])
    assert np.isnan(found[42:58]).all()
    assert np.isfinite(found[:40]).all() and np.isfinite(found[62:]).all()


def test_both_curves_have_their_moments_at_the_same_percents(lift: Comparison):
    pair = next(p for p in lift.curves if p.first.name == "trunk_tilt")
    for curve_, side in ((pair.first, lift.sides[0]), (pair.second, lift.sides[1])):
        assert side.report is not None
        own = side.report.angles["trunk_tilt"]
        for knot in lift.alignment.knots:
            at_us = knot.first_us if curve_ is pair.first else knot.second_us
            shown = np.interp(knot.percent, curve_.percents, curve_.values)
            assert shown == pytest.approx(own.at(at_us).value, abs=1.5)


def test_the_mean_of_several_repetitions_has_their_scatter_in_its_band(
    demo: tuple[str, Comparison],
):
    """Against a plain mean and standard deviation with numpy, over repetitions cut by hand."""
    _, comparison = demo
    side = comparison.sides[1]
    names = [knot.name for knot in comparison.alignment.knots]
    whole = [
        moments
        for moments in repetitions_of(side).values()
        if all(name in moments for name in names)
    ]
    pair = next(p for p in comparison.curves if p.first.name == "trunk_tilt")
    assert pair.second.count == len(whole)
    if len(whole) < 2:
        return
    assert side.report is not None
    own = side.report.angles["trunk_tilt"]
    percents = [knot.percent for knot in comparison.alignment.knots]
    rows, sds = [], []
    for moments in whole:
        at = interp1d(percents, [moments[name].at_us for name in names])(PERCENTS)
        late_s = interp1d(percents, [moments[name].sd_us / 1e6 for name in names])(PERCENTS)
        rate = interp1d(own.times_us, own.rate, bounds_error=False)(at)
        rows.append(interp1d(own.times_us, own.values, bounds_error=False)(at))
        own_sd = interp1d(own.times_us, own.sd, bounds_error=False)(at)
        sds.append(np.hypot(own_sd, rate * late_s))
    scatter = np.std(rows, axis=0, ddof=1) / np.sqrt(len(rows))
    wanted = np.sqrt(np.mean(np.square(sds), axis=0) + scatter**2)
    np.testing.assert_allclose(pair.second.values, np.mean(rows, axis=0), atol=1e-9)
    np.testing.assert_allclose(pair.second.sd, wanted, atol=1e-9)
