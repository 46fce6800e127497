"""Published ranges of motion row by row, and the neutral-zero notation.

38 CFR 4.71 Plates I and II as printed (its spine from memory); AAOS 1965 and CDC from memory.
"""

from __future__ import annotations

import math

import pytest

from cliptag.errors import MeasureError
from cliptag.measure import Estimate
from cliptag.measure.published import GUIDE, RANGES_DEG, neutral_zero_text, range_of_motion

# Motion | 38 CFR 4.71 | AAOS 1965 | CDC women | CDC men, 20 to 44 years
PRINTED = """
hip flexion               | 125 | 120 | 133.8 | 130.4
hip extension             |     |  30 |  18.1 |  17.4
hip abduction             |  45 |  45 |       |
hip adduction             |  25 |  30 |       |
hip external rotation     |  60 |  45 |       |
hip internal rotation     |  40 |  45 |       |
knee flexion              | 140 | 135 | 141.9 | 137.7
ankle dorsiflexion        |  20 |  20 |  13.8 |  12.7
ankle plantarflexion      |  45 |  50 |  62.1 |  54.6
shoulder flexion          | 180 | 180 | 172.0 | 168.8
shoulder abduction        | 180 | 180 |       |
shoulder external rotation|  90 |  90 |       |
shoulder internal rotation|  90 |  70 |       |
elbow flexion             | 145 | 150 | 150.0 | 144.6
forearm pronation         |  80 |  80 |       |
forearm supination        |  85 |  80 |       |
wrist dorsiflexion        |  70 |  70 |       |
wrist palmar flexion      |  80 |  80 |       |
wrist radial deviation    |  20 |  20 |       |
wrist ulnar deviation     |  45 |  30 |       |
trunk flexion             |  90 |  80 |       |
trunk extension           |  30 |  30 |       |
trunk side bend           |  30 |  35 |       |
trunk rotation            |  30 |  45 |       |
"""
TABLES = ("va", "aaos", "cdc female", "cdc male")


def test_every_printed_range():
    rows = [[cell.strip() for cell in row.split("|")] for row in PRINTED.strip().split("\n")]
    for motion, *values in rows:
        for table, value in zip(TABLES, values, strict=True):
            found = RANGES_DEG[table].get(motion)
            assert found == (float(value) if value else None), (motion, table)
    assert {motion for table in RANGES_DEG.values() for motion in table} == {r[0] for r in rows}


def test_a_measured_range_beside_the_tables():
    result = range_of_motion("knee flexion", Estimate(131.0, 1.5), "aaos")
    assert result.difference_deg == -4.0
    assert "Knee flexion 131° ± 3°; the AAOS table of 1965 prints 135°" in result.meaning
    assert "no finding by itself" in result.meaning
    assert result.meaning.endswith(GUIDE)
    assert range_of_motion("knee flexion", 131.0).table == "va"


def test_a_motion_that_a_table_lacks_is_refused_with_those_that_have_it():
    with pytest.raises(MeasureError) as raised:
        range_of_motion("hip extension", 10.0)
    assert str(raised.value) == (
        "The table of 38 CFR 4.71 has no hip extension: choose aaos or cdc female or cdc male."
    )


# Neutral-zero method (Debrunner, from memory): 140-0-5, and 130-10-0 where ten degrees are missing.
@pytest.mark.parametrize(
    ("ends", "text"),
    [
        ((140, 5), "140-0-5"),
        ((130, -10), "130-10-0"),
        ((120, 0), "120-0-0"),
        ((-20, 45), "0-20-45"),
        ((139.6, 4.7), "140-0-5"),
    ],
)
def test_neutral_zero_notation(ends, text):
    assert neutral_zero_text(*ends) == text


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: range_of_motion("toe wiggle", 10.0), "The motion is 'toe wiggle'"),
        (lambda: range_of_motion("knee flexion", 10.0, "mine"), "The table is 'mine'"),
        (lambda: range_of_motion("knee flexion", math.nan), "knee flexion is not a number"),
        (lambda: range_of_motion("knee flexion", 230.0), "knee flexion is 230 degrees"),
        (lambda: neutral_zero_text(20, -30), "The two ends are crossed"),
        (lambda: neutral_zero_text(math.inf, 0), "The first end is not a number"),
    ],
)
def test_bad_input_is_refused(call, words):
    with pytest.raises(MeasureError, match=words):
        call()
