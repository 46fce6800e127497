"""Intraclass correlation against Shrout and Fleiss's example and against pingouin."""

from __future__ import annotations

import math

import numpy as np
import pandas as pd
import pingouin
import pytest

from cliptag.errors import MeasureError
from cliptag.measure.published import intraclass

# pingouin 0.7 calls pandas 3 in a way that pandas will drop.
pytestmark = pytest.mark.filterwarnings("ignore:The inplace keyword")

# Shrout, Fleiss, Psychol Bull 1979;86:420-428: six targets, four judges (from memory).
SHROUT_FLEISS = [
    [9, 2, 5, 8],
    [6, 1, 3, 2],
    [8, 4, 6, 8],
    [7, 1, 2, 6],
    [10, 5, 6, 9],
    [6, 2, 4, 7],
]
FORMS = ("one_way", "absolute", "consistent", "one_way_mean", "absolute_mean", "consistent_mean")


def test_shrout_and_fleisss_example_to_the_printed_digits():
    result = intraclass(SHROUT_FLEISS)
    squares = (result.between, result.raters, result.within, result.error)
    assert [round(square, 2) for square in squares] == [11.24, 32.49, 6.26, 1.02]
    found = [round(getattr(result, form), 2) for form in FORMS]
    assert found == [0.17, 0.29, 0.71, 0.44, 0.62, 0.91]


def _by_pingouin(table: list[list[float]]) -> list[float]:
    rows = [(i, j, float(v)) for i, row in enumerate(table) for j, v in enumerate(row)]
    data = pd.DataFrame(rows, columns=["target", "rater", "value"])
    return pingouin.intraclass_corr(data, "target", "rater", "value")["ICC"].tolist()


@pytest.mark.parametrize("seed", range(5))
def test_all_forms_agree_with_pingouin(seed):
    rng = np.random.default_rng(seed)
    n, k = int(rng.integers(3, 12)), int(rng.integers(2, 6))
    table = rng.normal(90, 10, (n, 1)) + rng.normal(0, 3, (1, k)) + rng.normal(0, 4, (n, k))
    result = intraclass(table.tolist())
    found = [getattr(result, form) for form in FORMS]
    assert found == pytest.approx(_by_pingouin(table.tolist()), abs=1e-9)


def test_raters_who_differ_by_a_constant_are_consistent_but_not_alike():
    result = intraclass([[10.0, 13.0], [20.0, 23.0], [15.0, 18.0]])
    assert result.consistent == pytest.approx(1.0)
    assert result.absolute < 0.9


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ([[1.0, 2.0]], "two or more things"),
        ([[1.0], [2.0]], "two or more things"),
        ([[1.0, 2.0], [3.0]], "fill the gaps"),
        ([], "two or more things"),
        ([[1.0, math.nan], [2.0, 3.0]], "other than numbers"),
        ([[2.0, 2.0], [2.0, 2.0]], "nothing can be said"),
    ],
)
def test_bad_tables_are_refused(table, words):
    with pytest.raises(MeasureError, match=words):
        intraclass(table)
