"""The revised NIOSH lifting equation's constants and printed tables.

Source: Waters TR, Putz-Anderson V, Garg A. Applications Manual for the Revised NIOSH Lifting
Equation. DHHS (NIOSH) 94-110, 1994, revised 2021, Tables 1 to 5 and 7. Read on the one-page
worksheet that prints these tables, except, from memory: the frequency rows above 10 lifts a minute
and the coupling table.

Three printed entries are not the rounded formula: HM at 22 in (.46) and 23 in (.44), DM at 130 cm
(.86). They are kept as printed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final, Literal, TypeAlias

Duration: TypeAlias = Literal["short", "moderate", "long"]
Coupling: TypeAlias = Literal["good", "fair", "poor"]
Table: TypeAlias = Mapping[Decimal, Decimal]


def _table(keys: str, hundredths: str) -> Table:
    """Both as printed, separated by spaces; the values in hundredths."""
    pairs = zip(keys.split(), hundredths.split(), strict=True)
    return {Decimal(key): Decimal(value).scaleb(-2) for key, value in pairs}


@dataclass(frozen=True, slots=True, kw_only=True)
class Constants:
    """The equation in one system of units; lengths in ``length_unit``, loads in ``mass_unit``."""

    length_unit: Literal["cm", "in"]
    mass_unit: Literal["kg", "lb"]
    load: Decimal
    nearest: Decimal
    farthest: Decimal
    knuckle_height: Decimal
    per_height: Decimal
    highest: Decimal
    travel_part: Decimal
    shortest_travel: Decimal
    longest_travel: Decimal
    high_from: Decimal
    horizontal: Table
    vertical: Table
    travel: Table


METRIC: Final = Constants(
    length_unit="cm",
    mass_unit="kg",
    load=Decimal(23),
    nearest=Decimal(25),
    farthest=Decimal(63),
    knuckle_height=Decimal(75),
    per_height=Decimal("0.003"),
    highest=Decimal(175),
    travel_part=Decimal("4.5"),
    shortest_travel=Decimal(25),
    longest_travel=Decimal(175),
    high_from=Decimal(75),
    horizontal=_table(
        "25 28 30 32 34 36 38 40 42 44 46 48 50 52 54 56 58 60 63",
        "100 89 83 78 74 69 66 63 60 57 54 52 50 48 46 45 43 42 40",
    ),
    vertical=_table(
        "0 10 20 30 40 50 60 70 80 90 100 110 120 130 140 150 160 170 175",
        "78 81 84 87 90 93 96 99 99 96 93 90 87 84 81 78 75 72 70",
    ),
    travel=_table("25 40 55 70 85 100 115 130 145 160 175", "100 93 90 88 87 87 86 86 85 85 85"),
)

US: Final = Constants(
    length_unit="in",
    mass_unit="lb",
    load=Decimal(51),
    nearest=Decimal(10),
    farthest=Decimal(25),
    knuckle_height=Decimal(30),
    per_height=Decimal("0.0075"),
    highest=Decimal(70),
    travel_part=Decimal("1.8"),
    shortest_travel=Decimal(10),
    longest_travel=Decimal(70),
    high_from=Decimal(30),
    horizontal=_table(
        "10 11 12 13 14 15 16 17 18 19 20 21 22 23 24 25",
        "100 91 83 77 71 67 63 59 56 53 50 48 46 44 42 40",
    ),
    vertical=_table(
        "0 5 10 15 20 25 30 35 40 45 50 55 60 65 70",
        "78 81 85 89 93 96 100 96 93 89 85 81 78 74 70",
    ),
    travel=_table("10 15 20 25 30 35 40 45 50 55 60 70", "100 94 91 89 88 87 87 86 86 85 85 85"),
)

ASYMMETRY: Final = _table("0 15 30 45 60 75 90 105 120 135", "100 95 90 86 81 76 71 66 62 57")
WIDEST_ASYMMETRY_DEG: Final = Decimal(135)

FREQUENCIES: Final = tuple(Decimal(f) for f in ("0.2", "0.5", *range(1, 16)))
"""Lifts a minute; the first row stands for all lower frequencies, and above the last FM is 0."""


def _column(hundredths: str) -> tuple[Decimal, ...]:
    column = tuple(Decimal(value).scaleb(-2) for value in hundredths.split())
    return column + (Decimal(0),) * (len(FREQUENCIES) - len(column))


FREQUENCY: Final[Mapping[tuple[Duration, bool], tuple[Decimal, ...]]] = {
    ("short", False): _column("100 97 94 91 88 84 80 75 70 60 52 45 41 37"),
    ("short", True): _column("100 97 94 91 88 84 80 75 70 60 52 45 41 37 34 31 28"),
    ("moderate", False): _column("95 92 88 84 79 72 60 50 42 35 30 26"),
    ("moderate", True): _column("95 92 88 84 79 72 60 50 42 35 30 26 23 21"),
    ("long", False): _column("85 81 75 65 55 45 35 27 22 18"),
    ("long", True): _column("85 81 75 65 55 45 35 27 22 18 15 13"),
}
"""FM by duration and by whether the hands start at or above knuckle height (75 cm, 30 in)."""

COUPLING: Final[Mapping[tuple[Coupling, bool], Decimal]] = {
    ("good", False): Decimal("1.00"),
    ("good", True): Decimal("1.00"),
    ("fair", False): Decimal("0.95"),
    ("fair", True): Decimal("1.00"),
    ("poor", False): Decimal("0.90"),
    ("poor", True): Decimal("0.90"),
}
