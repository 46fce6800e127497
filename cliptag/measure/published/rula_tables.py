"""RULA's printed tables.

Source: McAtamney L, Corlett EN. RULA: a survey method for the investigation of work-related upper
limb disorders. Applied Ergonomics 1993;24(2):91-99, Tables 1 to 3.

Two versions of Table A are in circulation. ``worksheet`` was read on a one-page university
worksheet; ``other`` is from memory and differs in the rows of upper arm 1 to 4 and 6. Which of
them the paper prints was not read. Table B: neck 1 to 4 read on the worksheet, 5 and 6 from memory.
Table C (the grand score): from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, Literal, TypeAlias

Version: TypeAlias = Literal["worksheet", "other"]
Row: TypeAlias = tuple[int, ...]


def _row(digits: str) -> Row:
    return tuple(int(digit) for digit in digits)


def _arm(rows: str) -> dict[tuple[int, int], Row]:
    """Rows in order of upper arm 1 to 6, each with lower arm 1 to 3."""
    keys = ((upper, lower) for upper in range(1, 7) for lower in range(1, 4))
    return dict(zip(keys, (_row(row) for row in rows.split()), strict=True))


TABLE_A: Final[Mapping[Version, Mapping[tuple[int, int], Row]]] = {
    "worksheet": _arm(
        "12222333 22223333 23233344 "
        "22233344 22233344 23333445 "
        "23334455 23334455 23344455 "
        "34444455 34444455 34455566 "
        "55555667 56666777 66677778 "
        "77777889 78888999 99999999"
    ),
    "other": _arm(
        "12222333 22223333 23333344 "
        "23333444 33333444 34444455 "
        "33444455 34444455 44444555 "
        "44444555 44444555 44455566 "
        "55555667 56666777 66677778 "
        "77777889 88888999 99999999"
    ),
}
"""By (upper arm, lower arm): wrist 1 to 4, each with wrist twist 1 and 2."""

TABLE_B: Final[Mapping[int, Row]] = {
    1: _row("132334556677"),
    2: _row("232345556777"),
    3: _row("333445566777"),
    4: _row("555667777788"),
    5: _row("777778888888"),
    6: _row("888888899999"),
}
"""By neck: trunk 1 to 6, each with legs 1 and 2."""

TABLE_C: Final[Mapping[int, Row]] = {
    1: _row("1233455"),
    2: _row("2234455"),
    3: _row("3334456"),
    4: _row("3334566"),
    5: _row("4445677"),
    6: _row("4456677"),
    7: _row("5566777"),
    8: _row("5567777"),
}
"""By score C (8 stands for more): score D, 1 to 7 (7 stands for more)."""


def table_a(version: Version, upper_arm: int, lower_arm: int, wrist: int, twist: int) -> int:
    """Posture score of arm and wrist."""
    return TABLE_A[version][upper_arm, lower_arm][2 * (wrist - 1) + twist - 1]


def table_b(neck: int, trunk: int, legs: int) -> int:
    """Posture score of neck, trunk and legs."""
    return TABLE_B[neck][2 * (trunk - 1) + legs - 1]


def table_c(score_c: int, score_d: int) -> int:
    """Grand score."""
    return TABLE_C[min(score_c, 8)][min(score_d, 7) - 1]
