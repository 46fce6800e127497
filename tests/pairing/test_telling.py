"""The numbers of one line agree with each other in unit, sign, digits and verdict."""

from __future__ import annotations

import math
import re

import pytest

from cliptag.pairing import Quantity, row_of
from cliptag.pairing.differences import Difference, difference_of
from cliptag.pairing.telling import change_words, verdict_sentences
from cliptag.words import words_of


def difference(first: float, second: float, sd: float, unit: str = "cm", ways=("", "")):
    """Of two values whose direction is told by their signs."""

    def quantity(value: float) -> Quantity:
        sense = ways[0] if value >= 0 else ways[1]
        words = "Knee from the toe"
        return Quantity("knee", words, unit, value, sd, 1, 0.0, math.inf, "movement", None, sense)

    return difference_of(quantity(first), quantity(second))


WAYS = ("beyond the toe", "behind the toe")


def test_a_change_goes_with_the_amounts_that_are_shown():
    row = row_of(difference(-14.0, -8.5, 0.4, ways=WAYS))
    assert row.first == "14.0 cm ± 0.8 cm behind the toe"
    assert row.second == "8.5 cm ± 0.8 cm behind the toe"
    assert row.change == "−5.5 cm"


def test_a_change_from_one_way_to_the_other_has_no_sign():
    turned = difference(-13.9, 3.0, 0.3, ways=WAYS)
    row = row_of(turned)
    assert row.first.endswith("behind the toe") and row.second.endswith("beyond the toe")
    assert row.change == "16.9 cm"
    assert change_words(turned) == "16.9 cm ± 0.8 cm"
    (sentence,) = verdict_sentences([turned])
    assert sentence == (
        "Knee from the toe: 13.9 cm behind the toe → 3.0 cm beyond the toe (16.9 cm ± 0.8 cm)."
    )


def test_a_value_without_a_way_makes_both_show_their_signs():
    mixed = Difference(
        difference(3.0, 3.0, 0.3, ways=WAYS).first,
        difference(-1.0, -1.0, 0.3).first,
        -4.0,
        0.4,
        0.8,
    )
    row = row_of(mixed)
    assert (row.first, row.second) == ("3.0 cm ± 0.6 cm", "−1.0 cm ± 0.6 cm")
    assert row.change == "−4.0 cm"


@pytest.mark.parametrize(
    ("first", "second", "unit"), [(2.21, 2.0, "s"), (1.9, 0.03, "s"), (0.25, 0.036, "ms")]
)
def test_a_row_tells_times_in_one_unit(first: float, second: float, unit: str):
    row = row_of(difference(first, second, 0.02, unit="s"))
    for text in (row.first, row.second, row.change, row.detectable):
        assert set(re.findall(r"\d (\w+)", text)) == {unit}


@pytest.mark.parametrize(
    ("change", "sd"), [(1.0, 0.32), (1.1, 0.47), (0.021, 0.0076), (20.64, 0.36), (12.2, 4.33)]
)
def test_the_verdict_can_be_read_off_change_and_measuring_error(change: float, sd: float):
    for found in (difference(5.0, 5.0 + change, sd), difference(5.0 + change, 5.0, sd)):
        row = row_of(found)
        shown, error = (
            float(text.removesuffix(" cm").replace("−", "-"))
            for text in (row.change, row.detectable)
        )
        assert (abs(shown) > error) == row.is_changed
        decimals = {
            len(text.partition(".")[2].split(" ")[0]) for text in (row.change, row.detectable)
        }
        assert len(decimals) == 1


def test_no_change_has_no_sign():
    row = row_of(difference(3.0, 3.01, 0.4))
    assert row.change == "0.0 cm"
    assert change_words(difference(3.0, 3.01, 0.4)) == "0.0 cm ± 1.0 cm" or (
        change_words(difference(3.0, 3.01, 0.4)) == "0 cm ± 1 cm"
    )


def test_a_row_is_told_in_the_clients_language():
    row = row_of(difference(-13.9, 3.0, 0.3, ways=WAYS), words_of("de"))
    assert row.first == "13,9 cm ± 0,6 cm hinter der Zehe"
    assert row.verdict == "geändert"
    hebrew = row_of(difference(-13.9, -3.0, 0.3, ways=WAYS), words_of("he"))
    assert hebrew.change == "\u2066−10.9 cm\u2069"
