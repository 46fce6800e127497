from __future__ import annotations

import cv2
import numpy as np
import pytest
from support.films import cloth

from cliptag.errors import MeasureError
from cliptag.measure.tracking import placement_sd, sd_of_repeats
from cliptag.measure.tracking.placement import HAND_PX, edge_blur


def edge(blur_px: float) -> np.ndarray:
    """A straight edge with a Gaussian blur of this standard deviation, finely drawn."""
    fine = np.zeros((33 * 8, 33 * 8))
    fine[:, 33 * 4 :] = 200
    soft = cv2.GaussianBlur(fine, (0, 0), blur_px * 8)
    return cv2.resize(soft, (33, 33), interpolation=cv2.INTER_AREA).round().astype(np.uint8)


@pytest.mark.parametrize("blur_px", [1.0, 2.0, 3.0, 4.0])
def test_the_blur_of_an_edge_is_measured(blur_px: float):
    assert edge_blur(edge(blur_px)) == pytest.approx(blur_px, rel=0.15)


def test_a_blurred_picture_makes_placing_less_sure():
    sharp = cloth(33, 33, 3)
    sds = [placement_sd(cv2.GaussianBlur(sharp, (0, 0), blur)) for blur in (0.5, 2, 4)]
    assert sds == sorted(sds)
    assert sds[0] < sds[-1]


def test_zooming_in_makes_placing_surer_down_to_the_blur():
    patch = edge(2.0)
    assert placement_sd(patch, 4.0) < placement_sd(patch, 1.0)
    assert placement_sd(patch, 1e6) == pytest.approx(0.5 * edge_blur(patch))
    assert placement_sd(patch, 0.25) > HAND_PX / 0.25


def test_a_plain_patch_is_the_least_sure():
    assert placement_sd(np.full((33, 33), 128, np.uint8)) > 5


def test_repeats_tell_the_scatter_of_one_placement():
    rng = np.random.default_rng(0)
    variances = [
        sd_of_repeats([tuple(p) for p in rng.normal(0, 2, (3, 2))]) ** 2 for _ in range(4000)
    ]
    assert np.mean(variances) == pytest.approx(4.0, rel=0.05)
    assert sd_of_repeats([(0, 0), (2, 0)]) == pytest.approx(1.0)


@pytest.mark.parametrize("points", [[], [(1.0, 2.0)]])
def test_one_placement_tells_no_scatter(points):
    with pytest.raises(MeasureError, match="at least twice"):
        sd_of_repeats(points)


def test_a_patch_or_zoom_that_cannot_be_used_is_refused():
    with pytest.raises(MeasureError, match="5 × 5"):
        placement_sd(np.zeros((4, 9), np.uint8))
    with pytest.raises(MeasureError, match="zoom"):
        placement_sd(np.zeros((9, 9), np.uint8), 0.0)
