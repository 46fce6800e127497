"""Departures and arrivals, crossings and turning points: on made ways whose instants are known."""

from __future__ import annotations

import numpy as np
import pytest
from support.trajectories import made

from cliptag.measure.curves import Level, angle_curves, displacement_curve, smooth
from cliptag.measure.geometry import Estimate
from cliptag.measure.movement.cycles import cycles_of
from cliptag.measure.movement.onset import arrival, departure, track_of
from cliptag.measure.movement.swings import crossing, rest_before, swing_in, turning

RATE = 30.0


def jerkless(x: np.ndarray) -> np.ndarray:
    x = np.clip(x, 0, 1)
    return x**3 * (10 - 15 * x + 6 * x**2)


def risen(up_px: np.ndarray, seed: int, noise: float = 1.25) -> Level:
    places = np.stack([np.full(len(up_px), 500.0), 1500.0 - up_px], 1)
    places += np.random.default_rng(seed).normal(0, 1, places.shape) * noise
    return Level(smooth(made({"load": places}, sd_px=noise), 4.0))


def errors(way, truth_s: float, find) -> tuple[np.ndarray, np.ndarray]:
    """Errors in frames and in stated uncertainties over 60 draws of noise."""
    off, scores = [], []
    for seed in range(60):
        found = find(track_of(risen(way, seed), "load", only_up=True))
        off.append((found.at_us / 1e6 - truth_s) * RATE)
        scores.append((found.at_us / 1e6 - truth_s) / (found.sd_us / 1e6))
    return np.array(off), np.array(scores)


T = np.arange(120) / RATE


def test_a_free_start_is_found_where_it_began():
    # A threshold of 10 px would come 6 frames late here.
    way = 500 * jerkless((T - 1.51) / 1.8)
    off, scores = errors(way, 1.51, lambda t: departure(t, (0.8e6, 1.4e6), 2.4e6, let_go=False))
    assert abs(off.mean()) < 0.8
    assert np.abs(off).max() < 2.5
    assert np.mean(np.abs(scores) < 2) > 0.9


def test_a_support_that_lets_go_is_found_where_it_did():
    way = 0.5 * 900 * np.maximum(0, T - 1.51) ** 2
    off, scores = errors(way, 1.51, lambda t: departure(t, (0.8e6, 1.4e6), 2.2e6, let_go=True))
    assert abs(off.mean()) < 0.2
    assert np.abs(off).max() < 2
    assert np.mean(np.abs(scores) < 2) > 0.88


def test_an_arrival_is_a_departure_run_backwards():
    way = 500 * (1 - jerkless((T - 1.0) / 1.8))
    off, scores = errors(way, 2.8, lambda t: arrival(t, 2.0e6, (3.0e6, 3.6e6)))
    assert abs(off.mean()) < 1.0
    assert np.mean(np.abs(scores) < 2) > 0.9
    there = track_of(risen(way, 5), "load", only_up=True)
    mirrored = track_of(risen(way[::-1], 5, 0.0), "load", only_up=True)
    back = departure(mirrored, (T[-1] * 1e6 - 3.6e6, T[-1] * 1e6 - 3.0e6), 1.9e6, let_go=False)
    found = arrival(track_of(risen(way, 5, 0.0), "load", only_up=True), 2.0e6, (3.0e6, 3.6e6))
    assert found.at_us == pytest.approx(T[-1] * 1e6 - back.at_us, abs=5000)
    assert there.backwards.backwards.times_us[0] == there.times_us[0]


def test_what_never_moves_has_no_departure():
    track = track_of(risen(np.zeros(120), 0), "load", only_up=True)
    assert departure(track, (0.5e6, 1.0e6), 2.0e6, let_go=False) is None
    assert departure(track, (9e6, 9.5e6), 2.0e6, let_go=False) is None


def lean(degrees: np.ndarray, noise: float = 0.0, seed: int = 0):
    turn = np.radians(degrees)
    hip = np.full((len(turn), 2), 900.0)
    shoulder = hip + 400 * np.stack([np.sin(turn), -np.cos(turn)], 1)
    points = {"hip": hip, "shoulder": shoulder}
    rng = np.random.default_rng(seed)
    points = {n: p + rng.normal(0, 1, p.shape) * noise for n, p in points.items()}
    return angle_curves(Level(smooth(made(points, sd_px=max(noise, 0.1)), 4.0)))["trunk_tilt"]


def test_a_swing_begins_and_ends_at_rest():
    curve = lean(5 + 60 * jerkless((T - 1.2) / 1.5))
    swing = swing_in(curve, 0, 4e6, 1)
    assert 1.15e6 < swing.first_us < 1.35e6
    assert swing.fastest_us == pytest.approx(1.95e6, abs=40_000)
    assert 2.5e6 < swing.last_us < 2.75e6
    assert rest_before(curve, swing, 0).value == pytest.approx(5, abs=0.1)
    assert swing_in(curve, 5e6, 6e6, 1) is None
    assert swing_in(lean(np.full(120, 5.0)), 0, 4e6, -1) is None


def test_crossings_scatter_as_stated():
    off, stated = [], []
    truth = 1.0e6 + 1e6 * 7.5 / 6  # a rise of 6 degrees a second from 1 s on passes 7.5 degrees
    for seed in range(100):
        curve = lean(np.clip(6 * (T - 1.0), 0, 15), 1.25, seed)
        found = crossing(curve, Estimate(7.5, 0.0), 0, 4e6, 1, last=False)
        off.append(found.at_us - truth)
        stated.append(found.sd_us)
    assert abs(np.mean(off)) < 8000
    assert 0.6 < np.std(off) / np.median(stated) < 1.2
    assert crossing(curve, Estimate(80.0, 0.0), 0, 4e6, 1, last=True) is None


def test_first_and_last_crossings_differ():
    curve = lean(20 + 15 * np.sin(2 * np.pi * T))
    first = crossing(curve, Estimate(20.0, 0.0), 0.5e6, 3.4e6, 1, last=False)
    last = crossing(curve, Estimate(20.0, 0.0), 0.5e6, 3.4e6, 1, last=True)
    assert first.at_us == pytest.approx(1e6, abs=2000)
    assert last.at_us == pytest.approx(3e6, abs=2000)


def test_a_turning_point_is_the_middle_of_the_top():
    way = 70 * (jerkless((T - 0.5) / 1.4) - jerkless((T - 1.9) / 1.4))
    off = []
    for seed in range(40):
        found = turning(lean(way, 1.25, seed), 0, 4e6)
        off.append((found.at_us - 1.9e6) / 1e6 * RATE)
    assert np.abs(off).max() < 1.0
    # The highest frame alone would wander by more.
    highest = [(lean(way, 1.25, seed).values.argmax() / RATE - 1.9) * RATE for seed in range(40)]
    assert np.std(highest) > 2 * np.std(off)


def test_a_curve_that_only_rises_has_no_turning_point():
    # Flat noise at the top may still offer one, with little confidence.
    found = turning(lean(np.linspace(0, 60, 120)), 0, 4e6)
    assert found is None or found.confidence < 0.2


@pytest.mark.parametrize("times", [1, 2, 5])
def test_cycles_are_counted(times):
    way = 200 * (1 - np.cos(np.linspace(0, 2 * np.pi * times, 60 * times + 1)))
    level = risen(way, 0)
    found = cycles_of(displacement_curve(level, "load", "up"), 5.0)
    assert len(found) == times
    for k, cycle in enumerate(found):
        assert cycle.up_us == pytest.approx((60 * k + 15) / RATE * 1e6, abs=40_000)
        assert cycle.down_us == pytest.approx((60 * k + 45) / RATE * 1e6, abs=40_000)
    assert found[0].from_us == 0
    assert found[-1].until_us == pytest.approx(2e6 * times, abs=40_000)


def test_trembling_half_way_counts_once_and_small_movement_not_at_all():
    way = 400 * jerkless((T - 1) / 2) + 25 * np.sin(2 * np.pi * 3 * T) * (T > 1.7) * (T < 2.3)
    curve = displacement_curve(risen(way, 0), "load", "up")
    assert len(cycles_of(curve, 5.0)) == 1
    assert cycles_of(curve, 50.0) == []


def test_what_is_up_at_the_beginning_has_not_gone_up():
    way = 200 * (1 + np.cos(np.linspace(0, 4 * np.pi, 121)))
    found = cycles_of(displacement_curve(risen(way, 0), "load", "up"), 5.0)
    assert [round(c.up_us / 1e6) for c in found] == [2, 4][: len(found)]
    assert len(found) == 2
    assert found[1].down_us is None
