"""Every printed entry of the revised NIOSH lifting equation's tables.

Source: DHHS (NIOSH) 94-110, Tables 1 to 5 and 7, in the layout of the one-page worksheet that
prints them; the frequency rows above 10 and the coupling table from memory.
"""

from __future__ import annotations

import math

import pytest

from cliptag.measure.published import niosh_multipliers as multiplier
from cliptag.measure.published.niosh_tables import METRIC, US

PRINTED = """
HM in 10 1.00 11 .91 12 .83 13 .77 14 .71 15 .67 16 .63 17 .59 18 .56 19 .53 20 .50 21 .48
HM in 22 .46 23 .44 24 .42 25 .40 25.01 0
HM cm 25 1.00 28 .89 30 .83 32 .78 34 .74 36 .69 38 .66 40 .63 42 .60 44 .57 46 .54 48 .52
HM cm 50 .50 52 .48 54 .46 56 .45 58 .43 60 .42 63 .40 63.1 0
VM in 0 .78 5 .81 10 .85 15 .89 20 .93 25 .96 30 1.00 35 .96 40 .93 45 .89 50 .85 55 .81
VM in 60 .78 65 .74 70 .70 70.1 0
VM cm 0 .78 10 .81 20 .84 30 .87 40 .90 50 .93 60 .96 70 .99 80 .99 90 .96 100 .93 110 .90
VM cm 120 .87 130 .84 140 .81 150 .78 160 .75 170 .72 175 .70 175.1 0
DM in 5 1.00 10 1.00 15 .94 20 .91 25 .89 30 .88 35 .87 40 .87 45 .86 50 .86 55 .85 60 .85
DM in 70 .85 70.1 0
DM cm 0 1.00 25 1.00 40 .93 55 .90 70 .88 85 .87 100 .87 115 .86 130 .86 145 .85 160 .85
DM cm 175 .85 175.1 0
AM deg 0 1.00 15 .95 30 .90 45 .86 60 .81 75 .76 90 .71 105 .66 120 .62 135 .57 135.1 0
"""

FREQUENCY = """
0.1  1.00 1.00 .95 .95 .85 .85
0.2  1.00 1.00 .95 .95 .85 .85
0.5  .97 .97 .92 .92 .81 .81
1    .94 .94 .88 .88 .75 .75
2    .91 .91 .84 .84 .65 .65
3    .88 .88 .79 .79 .55 .55
4    .84 .84 .72 .72 .45 .45
5    .80 .80 .60 .60 .35 .35
6    .75 .75 .50 .50 .27 .27
7    .70 .70 .42 .42 .22 .22
8    .60 .60 .35 .35 .18 .18
9    .52 .52 .30 .30 .00 .15
10   .45 .45 .26 .26 .00 .13
11   .41 .41 .00 .23 .00 .00
12   .37 .37 .00 .21 .00 .00
13   .00 .34 .00 .00 .00 .00
14   .00 .31 .00 .00 .00 .00
15   .00 .28 .00 .00 .00 .00
15.1 .00 .00 .00 .00 .00 .00
"""

NOT_THE_FORMULA = {("HM", "in", 22.0), ("HM", "in", 23.0), ("DM", "cm", 130.0)}
SYSTEMS = {"cm": METRIC, "in": US, "deg": METRIC}


def _value(name: str, unit: str, at: float, mode: multiplier.Mode) -> float:
    if name == "AM":
        return float(multiplier.asymmetry(at, mode))
    function = {
        "HM": multiplier.horizontal,
        "VM": multiplier.vertical,
        "DM": multiplier.travel,
    }[name]
    return float(function(at, SYSTEMS[unit], mode))


def _entries() -> list[tuple[str, str, float, float]]:
    found = []
    for line in PRINTED.split("\n"):
        name, unit, *numbers = line.split() or ("", "")
        pairs = zip(numbers[::2], numbers[1::2], strict=True)
        found += [(name, unit, float(at), float(value)) for at, value in pairs]
    return found


@pytest.mark.parametrize(("name", "unit", "at", "printed"), _entries())
def test_table_mode_gives_the_printed_entry(name, unit, at, printed):
    assert _value(name, unit, at, "table") == printed


def test_formula_mode_rounds_half_up_to_the_table_but_for_three_entries():
    differing = set()
    for name, unit, at, printed in _entries():
        exact = _value(name, unit, at, "formula")
        if math.floor(exact * 100 + 0.5 + 1e-9) / 100 != printed:
            differing.add((name, unit, at))
    assert differing == NOT_THE_FORMULA


def test_table_mode_rounds_the_formula_half_up_between_printed_entries():
    # The manual's own examples: V = 64, 27, 22, 59 in and D = 49, 17, 21, 37 in.
    heights = [_value("VM", "in", at, "table") for at in (64, 27, 22, 59)]
    travels = [_value("DM", "in", at, "table") for at in (49, 17, 21, 37)]
    assert heights == [0.75, 0.98, 0.94, 0.78]
    assert travels == [0.86, 0.93, 0.91, 0.87]


@pytest.mark.parametrize("mode", ["formula", "table"])
@pytest.mark.parametrize("row", FREQUENCY.strip().split("\n"))
def test_frequency_multiplier_is_the_printed_one(row, mode):
    lifts, *printed = (float(number) for number in row.split())
    columns = [(d, high) for d in ("short", "moderate", "long") for high in (False, True)]
    found = [float(multiplier.frequency(lifts, d, high, mode)) for d, high in columns]
    assert found == printed


def test_frequency_between_rows_is_interpolated_or_taken_from_the_next_row():
    assert float(multiplier.frequency(5.5, "short", True, "formula")) == pytest.approx(0.775)
    assert float(multiplier.frequency(5.5, "short", True, "table")) == 0.75


@pytest.mark.parametrize("mode", ["formula", "table"])
def test_a_frequency_beyond_the_last_allowed_row_is_never_interpolated(mode):
    assert multiplier.frequency(8.1, "long", False, mode) == 0
    assert multiplier.frequency(12.1, "short", False, mode) == 0


def test_coupling_multipliers():
    found = {
        (grip, high): float(multiplier.coupling(grip, high))
        for grip in ("good", "fair", "poor")
        for high in (False, True)
    }
    assert found == {
        ("good", False): 1.00,
        ("good", True): 1.00,
        ("fair", False): 0.95,
        ("fair", True): 1.00,
        ("poor", False): 0.90,
        ("poor", True): 0.90,
    }
