"""SPARC against its published definition, its authors' printed value, and what it must not mind."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate
from support.trajectories import made

from cliptag.errors import MeasureError
from cliptag.measure.curves import Level, smooth
from cliptag.measure.movement import sparc
from cliptag.measure.movement.smoothness import smoothness_of


def bell(seconds: float, rate: float) -> np.ndarray:
    """Speed of a minimum-jerk movement (Flash & Hogan 1985)."""
    x = np.linspace(0, 1, round(seconds * rate) + 1)
    return 30 * x**2 * (1 - x) ** 2


def by_definition(speed: np.ndarray, rate: float) -> float:
    """The integral of the 2015 paper on a Fourier transform summed out by hand, no FFT.

    SPARC = - integral from 0 to wc of sqrt((1/wc)^2 + (dV/dw)^2) dw, V normalised by V(0), wc the
    highest frequency up to 2 pi 10 rad/s where V is at least 0.05.
    """
    t = np.arange(len(speed)) / rate
    w = 2 * np.pi * np.linspace(0, 10, 4001)
    v = np.abs(np.exp(-1j * w[:, None] * t) @ speed)
    v /= v[0]
    top = int(np.flatnonzero(v >= 0.05)[-1])
    w, v = w[: top + 1], v[: top + 1]
    return -float(integrate.trapezoid(np.sqrt((1 / w[-1]) ** 2 + np.gradient(v, w) ** 2), w))


def test_the_authors_own_printed_example():
    # S. Balasubramanian, SPARC, scripts/smoothness.py (read): exp(-5 t^2) at 100 Hz gives -1.41403.
    t = np.arange(-1, 1, 0.01)
    assert sparc(np.exp(-5 * t**2), 100.0) == pytest.approx(-1.41403, abs=5e-6)


@pytest.mark.parametrize("rate", [30.0, 60.0, 100.0])
@pytest.mark.parametrize("seed", range(4))
def test_it_is_the_published_integral(rate, seed):
    rng = np.random.default_rng(seed)
    speed = bell(1.5, rate)
    for _ in range(seed):
        at = rng.integers(0, len(speed) // 2)
        more = 0.6 * bell(0.6, rate)
        speed[at : at + len(more)] += more[: len(speed) - at]
    assert sparc(speed, rate) == pytest.approx(by_definition(speed, rate), abs=0.02)


def test_size_and_pace_change_nothing_but_hesitation_does():
    smooth_one = sparc(bell(1.5, 100.0), 100.0)
    assert sparc(7.0 * bell(1.5, 100.0), 100.0) == pytest.approx(smooth_one)
    assert sparc(bell(3.0, 100.0), 100.0) == pytest.approx(smooth_one, abs=0.02)
    halting = np.concatenate([bell(0.75, 100.0), bell(0.75, 100.0)])
    trembling = bell(1.5, 100.0) * (1 + 0.4 * np.sin(2 * np.pi * 5 * np.arange(151) / 100))
    assert sparc(halting, 100.0) < smooth_one - 0.3
    assert sparc(trembling, 100.0) < smooth_one - 0.3


def test_a_phones_rate_is_enough():
    assert sparc(bell(1.5, 30.0), 30.0) == pytest.approx(sparc(bell(1.5, 240.0), 240.0), abs=0.01)


def test_what_is_too_short_or_still_is_refused():
    with pytest.raises(MeasureError, match="at least 8 frames"):
        sparc(np.ones(7), 30.0)
    with pytest.raises(MeasureError, match="without a gap"):
        sparc(np.array([1.0, 2, 3, np.nan, 3, 2, 1, 1, 1]), 30.0)
    with pytest.raises(MeasureError, match="nothing moves"):
        sparc(np.zeros(20), 30.0)


def reach(noise: float, seed: int) -> Level:
    at = np.concatenate([np.zeros(20), np.cumsum(bell(1.5, 30.0)) / 45, np.ones(20)])
    way = 400.0 + 300.0 * at[:, None] * np.array([1.0, -0.5])
    way = way + np.random.default_rng(seed).normal(0, 1, way.shape) * noise
    return Level(smooth(made({"wrist": way}, sd_px=max(noise, 0.01)), 5.0))


def test_a_points_smoothness_scatters_as_stated():
    span = (20e6 / 30, 65e6 / 30)
    drawn = [smoothness_of(reach(1.25, seed), "wrist", *span) for seed in range(60)]
    spread = np.std([d.value for d in drawn])
    assert np.median([d.sd for d in drawn]) == pytest.approx(spread, rel=0.5)
    clean = smoothness_of(reach(0.0, 0), "wrist", *span).value
    assert np.mean([d.value for d in drawn]) == pytest.approx(clean, abs=4 * spread)
