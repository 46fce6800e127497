"""Tracks of the demo clips against the truth they were drawn from."""

from __future__ import annotations

import numpy as np
import pytest
from support import degraded
from support.films import PartOfClip
from support.tracking_scores import placed, pooled, score
from support.truth import read_truth

from cliptag.clip import open_clip
from cliptag.measure.tracking import track

FRAMES = 75
CLIPS = ("lift_week01", "sit_to_stand_week01_vfr", "bend_week01", "lift_week10")


@pytest.fixture(scope="module")
def scores():
    """By clip and by whether the placements are exact: every dot placed on one frame, followed."""
    found = {}
    for number, name in enumerate(CLIPS):
        truth = read_truth(name)
        with open_clip(truth.path) as clip:
            film = PartOfClip(clip, FRAMES)
            for noise in (0.0, 1.0):
                keys = placed(truth, 24 * number, np.random.default_rng(number), noise)
                found[name, noise] = score(truth, track(film, keys))
    return found


@pytest.mark.parametrize("name", CLIPS)
def test_following_exact_placements_adds_less_than_a_third_of_a_pixel(scores, name: str):
    assert scores[name, 0.0].rms_px < 0.3
    assert scores[name, 0.0].found > 0.95


@pytest.mark.parametrize("name", CLIPS)
def test_placed_with_one_pixel_of_noise_points_and_angles_are_good_enough(scores, name: str):
    assert scores[name, 1.0].rms_px <= 1.5
    assert scores[name, 1.0].angle_rms_deg <= 1.0
    assert scores[name, 1.0].found > 0.95


def test_two_standard_deviations_hold_nine_to_ten_of_ten_truths(scores):
    every = pooled([scores[name, 1.0] for name in CLIPS])
    assert 0.90 <= every.coverage <= 0.99
    assert every.angle_coverage >= 0.85


POOR = {"blurred": 1.5, "dark and noisy": 0.6, "15 % behind a moving bar": 0.5, "held by hand": 0.5}


@pytest.mark.parametrize("kind", POOR)
def test_in_poor_pictures_the_confidence_tells(tmp_path, kind: str):
    truth = read_truth("bend_week01")
    path = degraded.make(tmp_path, truth, kind, FRAMES)
    truth = degraded.shifted(truth, kind)
    hidden = None
    with open_clip(path) as clip:
        tracks = track(clip, placed(truth, 0, np.random.default_rng(0), 0.0))
    if degraded.KINDS[kind].has_bar:
        hidden = degraded.behind_bar(truth, FRAMES, margin_px=20)
        inside = degraded.behind_bar(truth, FRAMES, margin_px=-4)
        covered = np.concatenate([inside[name] for name in tracks.points])
        told = np.concatenate([np.isnan(places[:, 0]) for places in tracks.points.values()])
        assert covered.sum() > 100
        assert told[covered].mean() > 0.95
    found = score(truth, tracks, hidden)
    assert found.rms_px < POOR[kind]
    assert found.found > 0.8
    assert found.coverage >= 0.90
