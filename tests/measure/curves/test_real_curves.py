"""Knee angles of real people as the truth: given to a drawn leg, blurred by placement, found again.

Besier et al. 2009 (knee flexion in the stance of walking and running, 41 people, 100 samples each)
and Neptune et al. 1999 (knee in three axes in two cutting tasks, 8 people, 101 samples), as shipped
with the package spm1d. Their times are parts of a step; here a step takes 1 s at 100 frames a
second for the first and 60 for the second.
"""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from support.trajectories import made

from cliptag.measure.curves import Level, angle_curves, smooth

FOLDER = Path(importlib.util.find_spec("spm1d").origin).parent / "data" / "datafiles"
BESIER = np.load(FOLDER / "Besier2009kneeflexion.npz")["Y"]
NEPTUNE = -np.load(FOLDER / "Neptune1999kneekin.npz")["YA"][:, :, 0]
STILL = 20


def leg(flexion: np.ndarray, rate_hz: float, seed: int, noise_px: float = 1.25):
    """A thigh of 340 px over a planted shank of 360 px, the knee bent as a person bent it."""
    rng = np.random.default_rng(seed)
    flexion = np.radians(np.pad(flexion, STILL, "edge"))
    lean = flexion / 2
    ankle = np.tile([600.0, 1500.0], (len(flexion), 1))
    knee = ankle + 360 * np.stack([np.sin(lean), -np.cos(lean)], 1)
    hip = knee + 340 * np.stack([np.sin(lean - flexion), -np.cos(lean - flexion)], 1)
    points = {"ankle": ankle, "knee": knee, "hip": hip}
    points = {name: p + rng.normal(0, noise_px, p.shape) for name, p in points.items()}
    trajectories = made(points, rate_hz=rate_hz, sd_px=noise_px)
    return angle_curves(Level(smooth(trajectories)))["knee_flexion"], np.degrees(flexion)


@pytest.mark.parametrize(("people", "rate"), [(BESIER, 100.0), (NEPTUNE, 60.0)])
def test_real_knee_curves_come_back_within_a_degree(people, rate):
    errors, scores = [], []
    for seed, truth in enumerate(people):
        curve, flexion = leg(truth, rate, seed)
        errors.append(curve.values - flexion)
        scores.append(errors[-1] / curve.sd)
    assert np.sqrt(np.mean(np.square(errors))) < 0.6
    assert 0.90 <= np.mean(np.abs(scores) < 2) <= 0.99


def test_real_peaks_and_their_times_come_back():
    # Each person's most bent knee, where it turns; five draws of noise for each.
    value_scores, time_scores, off_deg = [], [], []
    for seed in range(40):
        curve, flexion = leg(NEPTUNE[seed % 8], 60.0, seed)
        true = int(flexion[STILL + 5 : STILL + 96].argmax()) + STILL + 5
        found = curve.part(curve.times_us[STILL + 5], curve.times_us[STILL + 95]).highest
        off_deg.append(found.value - flexion[true])
        value_scores.append(off_deg[-1] / found.sd)
        # The true peak is read off frames, half a frame to either side.
        half_frame_us = 1e6 / 60 / np.sqrt(12)
        off_us = found.at_us - curve.times_us[true]
        time_scores.append(off_us / np.hypot(found.at_sd_us, half_frame_us))
    assert np.sqrt(np.mean(np.square(off_deg))) < 0.8
    assert np.mean(np.abs(value_scores) < 2) > 0.85
    assert np.mean(np.abs(time_scores) < 2) > 0.85


def test_the_range_of_a_real_knee_is_that_of_its_curve():
    for seed, truth in enumerate(BESIER[:10]):
        curve, flexion = leg(truth, 100.0, seed)
        assert abs(curve.range.value - np.ptp(flexion)) < 4 * curve.range.sd + 0.5
