"""What holds for all published methods: the list, the door, the docs, and the tools they share."""

from __future__ import annotations

import math
from pathlib import Path

import pytest
import uncertainties
from hypothesis import given
from hypothesis import strategies as st

from cliptag.errors import MeasureError
from cliptag.measure import Estimate, published
from cliptag.measure.published import GUIDE, METHODS
from cliptag.measure.published.bands import Bands, span_of_scores
from cliptag.measure.published.quantity import estimate, propagated_sd, shown, whole

PACKAGE = Path(published.__file__).parent
DOCS = Path(__file__).parents[3] / "docs" / "published-methods.md"


def test_every_method_tells_its_source_inputs_and_limits():
    assert len(METHODS) == 13
    for key, method in METHODS.items():
        assert key == method.key
        assert method.name and method.gives and method.does_not_say.endswith(".")
        assert any(year in method.source for year in map(str, range(1965, 2025))), key
        assert method.known and method.inputs and method.limits
        assert {how for _, how in method.known} <= {"read", "quoted", "from memory"}


def test_every_method_of_the_package_is_listed():
    defined = sum(
        line.endswith("= Method(")
        for file in PACKAGE.glob("*.py")
        for line in file.read_text("utf-8").splitlines()
    )
    assert defined == len(METHODS)


def test_every_method_is_in_the_docs_with_what_is_from_memory():
    text = DOCS.read_text("utf-8")
    for key, method in METHODS.items():
        assert f"`{key}`" in text, key
        assert method.name in text, key
    assert "from memory" in text


def test_the_guide_defers_and_is_no_diagnosis():
    assert "not a diagnosis" in GUIDE
    assert "licensed practice" in GUIDE
    assert "local rules" in GUIDE


def test_the_list_cannot_be_changed():
    with pytest.raises(TypeError):
        METHODS["mine"] = METHODS["rula"]


def test_public_names_are_listed_once_and_exist():
    names = list(published.__all__)
    assert len(names) == len(set(names))
    for name in names:
        assert getattr(published, name) is not None


STEPS = Bands((0.0, 10.0, 20.0), (4, 1, 2, 3), frozenset({20.0}))


@pytest.mark.parametrize(
    ("value", "score"), [(-1, 4), (0, 1), (9.9, 1), (10, 2), (20, 2), (20.1, 3)]
)
def test_a_limit_belongs_to_the_band_that_is_named(value, score):
    assert STEPS.at(value) == score


# The interval is two standard uncertainties to either side; 10 and 20 both belong to the score 2.
@pytest.mark.parametrize(
    ("value", "sd", "scores"),
    [
        (5.0, 0.0, {1}),
        (5.0, 2.4, {1}),
        (5.0, 3.0, {1, 2, 4}),
        (15.0, 2.5, {2}),
        (15.0, 2.6, {1, 2, 3}),
        (5.0, 20.0, {1, 2, 3, 4}),
    ],
)
def test_all_scores_within_the_shown_interval(value, sd, scores):
    assert STEPS.possible(Estimate(value, sd)) == scores


def test_span_tries_all_combinations_since_a_total_may_fall():
    parts = {"a": frozenset({1, 2}), "b": frozenset({1, 2})}
    assert span_of_scores(parts, lambda p: abs(p["a"] - p["b"]) + 3) == (3, 4)


@given(st.floats(1, 9), st.floats(0.001, 0.1), st.floats(1, 9), st.floats(0.001, 0.1))
def test_propagation_agrees_with_another_package(a, sa, b, sb):
    one, two = uncertainties.ufloat(a, sa), uncertainties.ufloat(b, sb)
    expected = (one * two + one / two).s
    found = propagated_sd(lambda x, y: x * y + x / y, (Estimate(a, sa), Estimate(b, sb)))
    # Where the two shares of an input nearly cancel, first order itself says little.
    assert found == pytest.approx(expected, rel=0.02, abs=0.05 * max(sa, sb))


def test_shown_numbers_carry_their_uncertainty_or_stand_alone():
    assert shown(Estimate(41.6, 1.2), "°") == "42° ± 2°"
    assert shown(Estimate(-41.6, 0.0), "°") == "−41.6°"
    assert shown(Estimate(13.0, 0.0), "s") == "13 s"


def test_numbers_that_are_none_are_refused():
    for bad in (True, None, "12", math.nan, math.inf):
        with pytest.raises(MeasureError, match="is not a number"):
            estimate(bad, "The load", 0.0, 10.0, "kg")
    with pytest.raises(MeasureError, match="uncertainty of the load is not a number"):
        estimate(Estimate(5.0, math.nan), "The load", 0.0, 10.0, "kg")
    with pytest.raises(MeasureError, match="is not a whole number"):
        whole(2.0, "The age", 0, 10)
