"""Residual analysis against the package optcutfreq and against signals with a known answer."""

from __future__ import annotations

import numpy as np
import pytest
from optcutfreq import optcutfreq

from cliptag.measure.curves.cutoff import (
    HIGHEST_HZ,
    LOWEST_HZ,
    USUAL_CUTOFF_HZ,
    proposed_cutoff,
    residual_cutoffs,
    residual_rms,
)
from cliptag.measure.curves.lowpass import low_pass, white_share_removed


def swinging(rate: float, seconds: float, noise: float, seed: int) -> np.ndarray:
    """A gait-like swing of 60 with overtones up to 4 Hz, and white noise."""
    t = np.arange(round(rate * seconds)) / rate
    parts = ((1.0, 30.0), (2.0, 12.0), (3.0, 4.0), (4.0, 1.5))
    swing = sum(a * np.sin(2 * np.pi * f * t + f) for f, a in parts)
    return swing + np.random.default_rng(seed).normal(0, noise, len(t))


@pytest.mark.parametrize("seed", range(4))
def test_at_a_high_rate_it_agrees_with_the_package_optcutfreq(seed):
    # optcutfreq (M. Duarte) follows Winter's straight noise line, which holds far below half the
    # rate; it is told where the noise is, as its notes advise.
    samples = swinging(240.0, 30.0, 0.6, seed)
    theirs = optcutfreq(samples, freq=240.0, fclim=[12.0, 40.0])
    (ours,) = residual_cutoffs(samples[:, None], 240.0)
    assert ours == pytest.approx(theirs, rel=0.2)


def test_the_noise_line_is_what_white_noise_leaves():
    noise = np.random.default_rng(2).normal(0, 1.5, 4000)
    cutoffs = np.array([2.0, 5.0, 9.0, 13.0])
    left = residual_rms(noise[:, None], cutoffs, 30.0)[:, 0]
    expected = [1.5 * np.sqrt(white_share_removed(fc, 30.0)) for fc in cutoffs]
    np.testing.assert_allclose(left, expected, rtol=0.03)


def test_a_straight_noise_line_depends_on_the_stretch_it_is_drawn_through():
    # Why the filter's own noise residual is used instead: white noise of 1, no chance in it.
    cutoffs = np.linspace(0.3, 13.5, 45)
    residual = np.array([np.sqrt(white_share_removed(float(fc), 30.0)) for fc in cutoffs])
    met = []
    for low, high in ((4, 10), (5, 13.5), (10, 13.5)):
        stretch = (cutoffs > low) & (cutoffs <= high)
        met.append(np.polyfit(cutoffs[stretch], residual[stretch], 1)[1])
    np.testing.assert_allclose(met, [0.968, 0.999, 1.121], atol=0.01)


def test_what_is_lost_equals_what_noise_is_let_through():
    # Winter's meaning of the chosen cut-off, checked on the parts themselves.
    clean = swinging(30.0, 40.0, 0.0, 0)
    noise = np.random.default_rng(1).normal(0, 1.0, len(clean))
    (fc,) = residual_cutoffs((clean + noise)[:, None], 30.0)
    lost = np.sqrt(np.mean((clean - low_pass(clean, fc, 30.0)) ** 2))
    let_through = np.sqrt(np.mean(low_pass(noise, fc, 30.0) ** 2))
    assert lost == pytest.approx(let_through, rel=0.35)


def test_more_noise_asks_for_a_lower_cutoff():
    found = [residual_cutoffs(swinging(60.0, 10.0, n, 3)[:, None], 60.0)[0] for n in (0.1, 1, 5)]
    assert found[0] > found[1] > found[2]


def test_the_proposal_is_the_highest_need_within_bounds():
    slow = np.random.default_rng(0).normal(0, 1, (300, 2))
    fast = np.stack([swinging(30.0, 10.0, 0.3, 1)] * 2, axis=1)
    assert proposed_cutoff([slow], 30.0) == LOWEST_HZ
    assert LOWEST_HZ < proposed_cutoff([slow, fast], 30.0) <= HIGHEST_HZ
    assert proposed_cutoff([slow, fast], 30.0) == proposed_cutoff([fast], 30.0)


def test_too_few_frames_get_the_usual_cutoff():
    assert proposed_cutoff([np.zeros((10, 2))], 30.0) == USUAL_CUTOFF_HZ
    assert proposed_cutoff([], 10.0) == 4.5  # a rate of 10 frames a second holds no more
