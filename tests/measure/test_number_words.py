"""A note's number says what it is, how surely it is known, and when two of them differ."""

from __future__ import annotations

import math
import subprocess
import sys
from typing import Any

import pytest

from cliptag.measure import detectable_change, detectable_change_text, number_text
from cliptag.review import Number


def number(**fields: Any) -> Number:
    usual = {"name": "peak_trunk_lean", "words": "Trunk lean, at most", "value": 48.2, "sd": 1.0}
    return Number(**(usual | {"unit": "°"} | fields))


@pytest.mark.parametrize(
    ("fields", "text"),
    [
        ({"sense": "forward"}, "Trunk lean, at most: 48° ± 2° forward"),
        ({"value": -48.2, "sense": "backward"}, "Trunk lean, at most: 48° ± 2° backward"),
        ({"value": -3.0}, "Trunk lean, at most: −3° ± 2°"),
        ({"repetition": 1}, "Trunk lean, at most: 48° ± 2°"),
        ({"repetition": 3}, "Trunk lean, at most, repetition 3: 48° ± 2°"),
        ({"words": ""}, "Peak trunk lean: 48° ± 2°"),
        ({"words": "Load", "unit": "cm", "value": 41.26, "sd": 0.2}, "Load: 41.3 cm ± 0.4 cm"),
        ({"words": "Rises", "unit": "", "value": 12.0, "sd": 0.0}, "Rises: 12"),
        ({"words": "Lead", "unit": "s", "value": 0.118, "sd": 0.02}, "Lead: 118 ms ± 40 ms"),
        ({"words": "Time", "unit": "s", "value": 11.24, "sd": 0.07}, "Time: 11.2 s ± 0.1 s"),
    ],
)
def test_a_number_reads_as_a_person_would_say_it(fields, text):
    assert number_text(number(**fields)) == text


def test_the_smallest_detectable_change_is_that_of_weir_2005():
    """SDC = 1.96 sqrt(2) SEM, about 2.77 SEM (Weir JP, J Strength Cond Res 2005;19:231-240)."""
    assert detectable_change(number(sd=1.5)) == pytest.approx(2.77 * 1.5, rel=1e-3)
    assert detectable_change(number(sd=1.5)) == pytest.approx(1.96 * math.sqrt(2) * 1.5)


@pytest.mark.parametrize(
    ("fields", "amount"),
    [
        ({"sd": 1.0}, "2.8°"),
        ({"sd": 0.4, "unit": "cm"}, "1.2 cm"),
        ({"sd": 10.0}, "28°"),
        ({"sd": 0.02, "unit": "s"}, "56 ms"),
    ],
)
def test_the_change_is_told_with_two_digits_and_never_rounded_down(fields, amount):
    sentence = detectable_change_text(number(**fields))
    assert sentence == f"Less than {amount} between two clips may be the measuring alone."


def test_what_was_counted_has_no_such_change():
    assert detectable_change_text(number(sd=0.0)) == ""


def test_the_words_come_without_loading_what_is_slow():
    code = (
        "import sys, cliptag.measure; cliptag.measure.number_text; "
        "sys.exit(any(m in sys.modules for m in ('scipy', 'cv2')))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
