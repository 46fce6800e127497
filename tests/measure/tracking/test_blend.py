from __future__ import annotations

import numpy as np
import pytest

from cliptag.measure.tracking.blend import Trail, blended
from cliptag.measure.tracking.tracks import State


def trail(x: list[float], var: float = 0.01, placed_sd: float = 1.0) -> Trail:
    places = np.array([[value, 0.0] for value in x])
    known = ~np.isnan(places[:, 0])
    return Trail(
        np.where(known[:, None], places, np.nan),
        np.where(known, var, np.nan),
        np.where(known, State.FOLLOWED, State.HIDDEN).astype(np.uint8),
        np.ones(len(x)),
        placed_sd,
    )


def test_two_ways_that_differ_are_joined_by_a_slope():
    found = blended(trail([0.0] * 9), trail([1.0] * 9), 15)
    assert found.places[:, 0] == pytest.approx(np.arange(1, 10) / 10, abs=0.02)


def test_where_one_way_is_hidden_the_other_counts():
    found = blended(trail([0.0, 0.0, np.nan, np.nan]), trail([np.nan, 1.0, 1.0, np.nan]), 15)
    assert found.places[[0, 2], 0].tolist() == [0.0, 1.0]
    assert found.states.tolist() == [State.FOLLOWED] * 3 + [State.HIDDEN]
    assert np.sqrt(found.var[[0, 2]]) == pytest.approx(np.sqrt(1.01))
    assert np.isnan(found.var[3])


def test_ways_far_apart_are_disputed_and_nothing_is_claimed():
    found = blended(trail([0.0, 0.0]), trail([0.5, 40.0]), 15)
    assert found.states.tolist() == [State.FOLLOWED, State.DISPUTED]
    assert np.isnan(found.places[1]).all() and np.isnan(found.var[1])


def test_two_ways_are_surer_than_one_and_their_difference_makes_less_sure():
    alike = blended(trail([0.0] * 3), trail([0.0] * 3), 15)
    apart = blended(trail([0.0] * 3), trail([4.0] * 3), 15)
    assert alike.var[1] < 1.0 < apart.var[1]


def test_the_stated_uncertainty_of_blended_ways_is_that_of_many_trials():
    rng = np.random.default_rng(0)
    errors, sds = [], []
    for _ in range(3000):
        one, other = rng.normal(0, 1, 2)
        found = blended(trail([one] * 3), trail([other] * 3), 60)
        errors.append(found.places[1, 0])
        sds.append(np.sqrt(found.var[1]))
    inside = np.abs(errors) <= 2 * np.array(sds)
    assert 0.90 <= inside.mean() <= 0.995
