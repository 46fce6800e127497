"""Peaks, ranges, rates and displacement: against closed forms and repeated noisy draws."""

from __future__ import annotations

import numpy as np
import pytest
from support.trajectories import made

from cliptag.errors import MeasureError
from cliptag.measure.curves import Level, angle_curves, displacement_curves, smooth, velocity_of

RATE = 30.0
LENGTH = 400.0
T = np.arange(180) / RATE


def leaning(degrees: np.ndarray, noise: float = 0.0, seed: int = 0, **options):
    """A trunk of 400 px that leans forward by so much, smoothed at 6 Hz."""
    rng = np.random.default_rng(seed)
    turn = np.radians(degrees)
    hip = np.full((len(turn), 2), 900.0)
    shoulder = hip + LENGTH * np.stack([np.sin(turn), -np.cos(turn)], 1)
    points = {"hip": hip, "shoulder": shoulder}
    points = {name: p + rng.normal(0, 1, p.shape) * noise for name, p in points.items()}
    options.setdefault("sd_px", 1.0)
    return Level(smooth(made(points, rate_hz=RATE, **options), 6.0))


def test_peaks_are_found_between_frames():
    # 20 sin(2 pi 0.5 t + 0.4) + 30 is greatest at t = (pi/2 - 0.4) / pi and each 2 s after.
    curve = angle_curves(leaning(30 + 20 * np.sin(np.pi * T + 0.4)))["trunk_tilt"]
    first = 1e6 * (np.pi / 2 - 0.4) / np.pi
    found = curve.peaks(5.0)
    np.testing.assert_allclose([p.at_us for p in found], first + 2e6 * np.arange(3), atol=3000)
    np.testing.assert_allclose([p.value for p in found], 50.0, atol=0.05)
    assert curve.highest.value == pytest.approx(50, abs=0.05)
    assert curve.lowest.value == pytest.approx(10, abs=0.05)
    assert curve.range.value == pytest.approx(40, abs=0.1)


def test_small_ripples_are_no_peaks():
    curve = angle_curves(leaning(30 + 20 * np.sin(np.pi * T) + np.sin(6 * np.pi * T)))
    assert len(curve["trunk_tilt"].peaks(10.0)) == 3


def test_values_and_times_of_peaks_scatter_as_stated():
    # 300 draws; the time of a peak is only as sure as the curve is bent there.
    swing = 30 + 20 * np.sin(np.pi * T + 0.4)
    peaks = [
        angle_curves(leaning(swing, 1.0, seed))["trunk_tilt"].peaks(5.0)[1] for seed in range(300)
    ]
    stated_s = np.median([p.at_sd_us for p in peaks]) / 1e6
    # What is stated also allows for uneven tops, which this sine has not.
    assert 0.4 * stated_s < np.std([p.at_us for p in peaks]) / 1e6 < 1.1 * stated_s
    # What is stated at one frame is beaten a little by taking the highest.
    assert np.std([p.value for p in peaks]) == pytest.approx(
        np.median([p.sd for p in peaks]), rel=0.3
    )


def test_rates_scatter_as_stated_and_are_right():
    rates = [
        angle_curves(leaning(30 + 20 * np.sin(np.pi * T), 1.0, seed))["trunk_tilt"]
        for seed in range(150)
    ]
    stacked = np.stack([c.rate for c in rates])
    true = 20 * np.pi * np.cos(np.pi * T)
    middle = slice(10, -10)
    assert np.abs(stacked.mean(axis=0) - true)[middle].max() < 0.9
    stated = np.mean([c.rate_sd for c in rates], axis=0)
    np.testing.assert_allclose(stacked.std(axis=0)[middle].mean(), stated[middle].mean(), rtol=0.06)


def test_the_velocity_curve_has_units_and_peaks_of_its_own():
    fast = velocity_of(angle_curves(leaning(30 + 20 * np.sin(np.pi * T)))["trunk_tilt"])
    assert (fast.name, fast.unit) == ("trunk_tilt_velocity", "°/s")
    assert fast.part(1e6, 3e6).highest.value == pytest.approx(20 * np.pi, rel=0.01)
    assert abs(fast.part(1e6, 3e6).highest.at_us - 2e6) < 8000


def test_what_all_frames_share_drops_out_of_a_range():
    swing = 30 + 20 * np.sin(np.pi * T)
    sure = angle_curves(leaning(swing))["trunk_tilt"]
    rolled = angle_curves(leaning(swing, upright_sd_deg=2.0))["trunk_tilt"]
    assert rolled.highest.sd > 1.9
    assert rolled.range.sd == pytest.approx(sure.range.sd, rel=1e-6)


def test_a_peak_at_the_very_end_may_go_on_and_is_none():
    curve = angle_curves(leaning(np.linspace(0, 40, 90)))["trunk_tilt"]
    assert curve.peaks(1.0) == ()
    assert curve.highest.at_us == curve.times_us[-1]
    assert curve.highest.at_sd_us == 0


def test_values_between_frames_and_in_gaps():
    curve = angle_curves(leaning(np.linspace(0, 40, 90)))["trunk_tilt"]
    assert curve.at(curve.times_us[10] + 16_667).value == pytest.approx(
        np.mean(curve.values[10:12]), abs=1e-3
    )
    assert np.isnan(curve.at(-1).value)


def test_a_curve_that_is_never_known_says_so():
    level = leaning(np.linspace(0, 40, 90))
    curve = angle_curves(level)["trunk_tilt"].part(10e6, 11e6)
    with pytest.raises(MeasureError, match="Trunk tilt is not known on any frame"):
        _ = curve.highest


def moved(**options) -> dict:
    """A hip that goes 100 px right and 200 px up, in a picture 1920 px high."""
    t = np.linspace(0, 1, 90)[:, None]
    way = np.array([300.0, 1000.0]) + t * np.array([100.0, -200.0])
    return displacement_curves(Level(smooth(made({"hip": way}, **options), 6.0)))


def test_displacement_is_in_cm_with_a_scale():
    curves = moved(px_per_cm=8.0)
    assert curves["hip_across"].unit == "cm"
    assert curves["hip_across"].values[-1] == pytest.approx(12.5, abs=0.01)
    assert curves["hip_up"].values[-1] == pytest.approx(25.0, abs=0.01)
    # 0.4 % of 25 cm from the scale, and 1 px on either end.
    assert curves["hip_up"].sd[-1] == pytest.approx(np.hypot(0.1, np.sqrt(2) / 8), rel=0.1)


def test_without_a_scale_displacement_is_in_percent_of_picture_height():
    curves = moved()
    assert curves["hip_up"].unit == "% of picture height"
    assert curves["hip_up"].values[-1] == pytest.approx(100 * 200 / 1920, abs=0.01)


def test_forward_is_where_the_client_faces():
    assert moved(facing="left")["hip_across"].values[-1] < 0


def test_a_doubtful_plumb_line_swings_height_into_level_distance():
    curves = moved(px_per_cm=8.0, upright_sd_deg=1.0, sd_px=0.001)
    swung = np.radians(1.0) * 200 / 8
    scale = 0.004 * 12.5
    assert curves["hip_across"].sd[-1] == pytest.approx(np.hypot(swung, scale), rel=0.01)


def test_displacement_begins_at_nought_for_certain():
    curves = moved(px_per_cm=8.0)
    assert curves["hip_up"].values[0] == 0.0
    assert curves["hip_up"].sd[0] == 0.0
