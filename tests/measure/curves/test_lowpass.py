"""The filter against scipy, Winter's book, and what it is said to do."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import signal

from cliptag.errors import MeasureError
from cliptag.measure.curves.lowpass import (
    PASS_CORRECTION,
    corrected_cutoff,
    gain,
    low_pass,
    white_share_removed,
)

RATES = [(6.0, 30.0), (4.0, 30.0), (6.0, 60.0), (5.0, 25.0), (10.0, 240.0)]


def test_the_pass_correction_is_winters():
    # Winter 2009, 3.4.4.2, gives 0.802 for two passes.
    assert pytest.approx(0.80224326, abs=1e-8) == PASS_CORRECTION


@pytest.mark.parametrize(
    ("cutoff", "rate", "expected"),
    [(6, 30, 7.028), (6, 60, 7.350), (6, 100, 7.431), (5, 25, 5.856)],
)
def test_the_correction_belongs_to_the_tangent(cutoff, rate, expected):
    # fs/pi atan(tan(pi fc/fs)/C), computed by hand for these rates.
    assert corrected_cutoff(cutoff, rate) == pytest.approx(expected, abs=0.0005)


def test_one_pass_has_the_coefficients_of_winters_table():
    # Winter 2009, fc/fs = 0.1, from memory: a0 = a2 .06746, a1 .13491, b1 1.14298, b2 -.41280.
    # A cut-off whose corrected value is 0.1 of the rate makes our one pass that filter.
    rate = 100.0
    ours = rate / np.pi * np.arctan(np.tan(np.pi * 0.1) * PASS_CORRECTION)
    one_pass = corrected_cutoff(float(ours), rate)
    assert one_pass == pytest.approx(10.0)
    impulse = np.zeros(3)
    impulse[0] = 1.0
    b, a = signal.butter(2, one_pass, fs=rate)
    np.testing.assert_allclose(b, [0.06746, 0.13491, 0.06746], atol=1e-5)
    np.testing.assert_allclose(-a[1:], [1.14298, -0.41280], atol=1e-5)
    # Both passes of an impulse in the middle are the one pass's response correlated with itself.
    pulse = np.zeros(201)
    pulse[100] = 1.0
    once = signal.lfilter(b, a, np.r_[1.0, np.zeros(100)])
    both = np.correlate(once, once, "full")
    np.testing.assert_allclose(low_pass(pulse, float(ours), rate)[60:141], both[60:141], atol=1e-9)


@pytest.mark.parametrize(("cutoff", "rate"), RATES)
def test_a_sine_at_the_cutoff_keeps_the_root_of_a_half(cutoff, rate):
    t = np.arange(round(20 * rate)) / rate
    sine = np.sin(2 * np.pi * cutoff * t)
    middle = slice(len(t) // 4, -len(t) // 4)
    left = low_pass(sine, cutoff, rate)[middle]
    assert left @ sine[middle] / (sine[middle] @ sine[middle]) == pytest.approx(0.70711, abs=1e-3)


@pytest.mark.parametrize(("cutoff", "rate"), RATES)
def test_it_is_scipys_filtfilt(cutoff, rate):
    rng = np.random.default_rng(3)
    walk = rng.normal(0, 1, 200).cumsum()
    b, a = signal.butter(2, corrected_cutoff(cutoff, rate), fs=rate)
    forward_and_back = signal.filtfilt(b, a, walk)
    edge = round(3 * rate / cutoff)  # only the continuation at the ends is longer than scipy's own
    np.testing.assert_allclose(
        low_pass(walk, cutoff, rate)[edge:-edge], forward_and_back[edge:-edge], atol=2e-4
    )


@pytest.mark.parametrize(("cutoff", "rate"), RATES)
def test_the_stated_gain_is_that_of_scipys_response(cutoff, rate):
    at = np.linspace(0, 0.49 * rate, 60)
    b, a = signal.butter(2, corrected_cutoff(cutoff, rate), fs=rate)
    _, response = signal.freqz(b, a, at, fs=rate)
    np.testing.assert_allclose(gain(at, cutoff, rate), np.abs(response) ** 2, atol=1e-9)


def test_nothing_is_delayed():
    t = np.arange(121) / 30.0
    bump = np.exp(-(((t - 2.0) / 0.3) ** 2))
    smooth = low_pass(bump, 4.0, 30.0)
    assert int(smooth.argmax()) == 60
    np.testing.assert_allclose(smooth, smooth[::-1], atol=1e-9)


def test_a_straight_way_is_left_alone_up_to_its_ends():
    line = 3.0 + 2.0 * np.arange(80.0)
    np.testing.assert_allclose(low_pass(line, 5.0, 30.0), line, atol=1e-4)


@pytest.mark.parametrize(("cutoff", "rate"), RATES)
def test_the_share_of_white_noise_removed_is_what_is_removed(cutoff, rate):
    noise = np.random.default_rng(1).normal(0, 1, 60_000)
    away = noise - low_pass(noise, cutoff, rate)
    assert white_share_removed(cutoff, rate) == pytest.approx(away.var(), rel=0.02)


@pytest.mark.parametrize("cutoff", [0.0, -1.0, 14.0, 15.0, float("nan")])
def test_a_cutoff_that_the_frames_cant_hold_is_refused(cutoff):
    with pytest.raises(MeasureError, match=r"choose one above 0 and up to 13\.5 Hz"):
        corrected_cutoff(cutoff, 30.0)
