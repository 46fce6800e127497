"""Smoothing of points: gaps, uneven frames, and whether the stated noise is the true one."""

from __future__ import annotations

import numpy as np
import pytest
from support.trajectories import made, wandering

from cliptag.errors import MeasureError
from cliptag.measure.curves import smooth
from cliptag.measure.curves.lowpass import low_pass


def still(count: int, noise: float = 0.0, seed: int = 0) -> np.ndarray:
    places = np.full((count, 2), 500.0)
    return places + np.random.default_rng(seed).normal(0, 1, (count, 2)) * noise


def uneven_us(count: int, seed: int = 4) -> np.ndarray:
    """A phone's times: jitter of some ms, and one frame in nine missing."""
    rng = np.random.default_rng(seed)
    at = np.arange(2 * count) * 33_333 + rng.integers(-4000, 4000, 2 * count)
    kept = rng.random(2 * count) > 0.11
    return np.sort(at[kept][:count]) - at[kept][0]


def test_at_even_frames_it_is_the_filter_and_nothing_else():
    places = still(120, 3.0)
    smoothed = smooth(made({"hip": places}), 5.0)
    np.testing.assert_allclose(
        smoothed.points["hip"].places, low_pass(places, 5.0, 30.0), atol=2e-3
    )


@pytest.mark.parametrize(("missing", "is_closed"), [(1, True), (5, True), (6, False), (20, False)])
def test_gaps_are_closed_up_to_a_fifth_of_a_second(missing, is_closed):
    # Five frames missing at 30 a second leave exactly 0.2 s between the known ones.
    t = np.arange(120) / 30
    places = np.stack([300 + 80 * np.sin(2 * t), 400 + 60 * np.cos(2 * t)], 1)
    holed = places.copy()
    holed[50 : 50 + missing] = np.nan
    found = smooth(made({"hip": holed}), 6.0).points["hip"].places
    assert np.isfinite(found[:50]).all()
    assert np.isfinite(found[50 + missing :]).all()
    inside = found[50 : 50 + missing]
    assert np.isfinite(inside).all() == is_closed
    if is_closed:
        assert np.abs(inside - places[50 : 50 + missing]).max() < 0.5
    else:
        assert np.isnan(inside).all()


def test_a_wider_gap_is_closed_when_asked_for():
    places = still(90)
    places[40:55] = np.nan
    assert np.isfinite(smooth(made({"hip": places}), 6.0, 600_000).points["hip"].places).all()


def test_a_filled_gap_is_less_certain_than_what_was_seen():
    places = still(120, 1.0)
    places[58:62] = np.nan
    sd = smooth(made({"hip": places}), 6.0).points["hip"].sd_px
    assert sd[59] > 1.5 * sd[20]


def test_a_few_lone_frames_are_left_out():
    places = still(90)
    places[40:] = np.nan
    places[70:73] = 500.0
    found = smooth(made({"hip": places}), 6.0).points["hip"].places
    assert np.isfinite(found[:40]).all()
    assert np.isnan(found[40:]).all()


@pytest.mark.parametrize("frames", ["even", "uneven", "holed"])
def test_the_stated_noise_is_what_the_filter_leaves(frames):
    # Monte Carlo of 400 draws on every frame, the ends included.
    count = 90
    times = uneven_us(count) if frames == "uneven" else None
    hole = np.isin(np.arange(count), [30, 31, 60, 61, 62] if frames == "holed" else [])
    drawn = []
    for seed in range(400):
        places = still(count, 1.5, seed)
        places[hole] = np.nan
        stated = smooth(made({"hip": places}, sd_px=1.5, times_us=times), 5.0).points["hip"]
        times_s = np.arange(count) / 30 if times is None else times / 1e6
        rate = np.gradient(stated.places, times_s, axis=0)
        bend = np.gradient(rate, times_s, axis=0)
        drawn.append((stated.places, rate, bend))
    places = np.full((count, 2), 500.0)
    places[hole] = np.nan
    # The scatter is read off the data; drawn large here so that it is 1.5 to within a percent.
    stated = smooth(made({"hip": still(count, 1.5, 3)}, sd_px=1.5, times_us=times), 5.0)
    for k, name in enumerate(("sd_px", "sd_px_per_s", "sd_px_per_s2")):
        spread = np.stack([one[k] for one in drawn]).std(axis=(0, 2))
        said = []
        for seed in range(40):
            places = still(count, 1.5, seed)
            places[hole] = np.nan
            point = smooth(made({"hip": places}, sd_px=0.01, times_us=times), 5.0).points["hip"]
            said.append(getattr(point, name))
        ratio = np.mean(said, axis=0) / spread
        assert np.abs(ratio - 1).max() < 0.16, (name, ratio.min(), ratio.max())
        assert ratio.mean() == pytest.approx(1.0, abs=0.03), name
    assert stated.points["hip"].scatter_px == pytest.approx(1.5, rel=0.15)


def test_slow_wandering_is_kept_and_scatter_is_not():
    # 2 px are stated in all, of which the data show 1.2 as scatter: 1.6 px wander and stay.
    times_s = np.arange(3000) / 30
    rng = np.random.default_rng(1)
    places = 500 + rng.normal(0, 1.2, (3000, 2)) + 1.6 * wandering(times_s, rng)
    point = smooth(made({"hip": places}, sd_px=2.0), 4.0).points["hip"]
    assert point.scatter_px == pytest.approx(1.2, abs=0.06)
    middle = np.median(point.sd_px)
    assert middle == pytest.approx(np.std(point.places - 500), rel=0.15)


def test_more_scatter_than_stated_is_told():
    point = smooth(made({"hip": still(300, 3.0)}, sd_px=0.5), 4.0).points["hip"]
    assert point.scatter_px == pytest.approx(3.0, rel=0.1)
    assert np.median(point.sd_px) > 1.0


def test_uneven_frames_give_the_curve_that_even_ones_give():
    def way(times_us):
        t = times_us / 1e6
        return np.stack([300 + 90 * np.sin(3 * t), 500 + 40 * np.cos(5 * t)], 1)

    times = uneven_us(150)
    found = smooth(made({"hip": way(times)}, times_us=times), 6.0).points["hip"].places
    assert np.abs(found - way(times))[6:-6].max() < 0.25


def test_interpolating_uneven_frames_changes_the_noise_only_a_little():
    count = 300
    even = smooth(made({"p": still(count, 1.0)}, sd_px=0.01), 5.0).points["p"]
    uneven = smooth(made({"p": still(count, 1.0)}, sd_px=0.01, times_us=uneven_us(count)), 5.0)
    ratio = np.median(uneven.points["p"].sd_px) / np.median(even.sd_px)
    assert 0.9 < ratio < 1.3


def test_the_cutoff_is_proposed_unless_given():
    trajectories = made({"hip": still(200, 1.0)})
    assert smooth(trajectories).is_cutoff_proposed
    given = smooth(trajectories, 7.5)
    assert (given.cutoff_hz, given.is_cutoff_proposed) == (7.5, False)


def test_an_unfit_cutoff_or_a_single_frame_is_refused():
    with pytest.raises(MeasureError, match="doesn't fit 30 frames"):
        smooth(made({"hip": still(60)}), 20.0)
    with pytest.raises(MeasureError, match="One frame makes no movement"):
        smooth(made({"hip": still(1)}))
    with pytest.raises(MeasureError, match="can't be negative"):
        smooth(made({"hip": still(60)}), 6.0, -1)


def test_a_point_that_is_never_known_stays_unknown():
    smoothed = smooth(made({"hip": still(60), "load": np.full((60, 2), np.nan)}))
    assert np.isnan(smoothed.points["load"].places).all()
    assert np.isnan(smoothed.points["load"].scatter_px)
