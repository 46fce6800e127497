"""REBA's printed tables.

Source: Hignett S, McAtamney L. Rapid Entire Body Assessment (REBA). Applied Ergonomics
2000;31:201-205. Read on a one-page worksheet, except the end of Table C (row 11 from its eighth
score on, and row 12), which is from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final, TypeAlias

Row: TypeAlias = tuple[int, ...]


def _rows(rows: str) -> dict[int, Row]:
    return {i: tuple(int(n) for n in row.split()) for i, row in enumerate(rows.split("/"), 1)}


TABLE_A: Final[Mapping[int, Row]] = _rows(
    "1 2 3 4  1 2 3 4  3 3 5 6 /"
    "2 3 4 5  3 4 5 6  4 5 6 7 /"
    "2 4 5 6  4 5 6 7  5 6 7 8 /"
    "3 5 6 7  5 6 7 8  6 7 8 9 /"
    "4 6 7 8  6 7 8 9  7 8 9 9"
)
"""By trunk 1 to 5: neck 1 to 3, each with legs 1 to 4."""

TABLE_B: Final[Mapping[int, Row]] = _rows(
    "1 2 2  1 2 3 / 1 2 3  2 3 4 / 3 4 5  4 5 5 / 4 5 5  5 6 7 / 6 7 8  7 8 8 / 7 8 8  8 9 9"
)
"""By upper arm 1 to 6: lower arm 1 and 2, each with wrist 1 to 3."""

TABLE_C: Final[Mapping[int, Row]] = _rows(
    " 1  1  1  2  3  3  4  5  6  7  7  7 /"
    " 1  2  2  3  4  4  5  6  6  7  7  8 /"
    " 2  3  3  3  4  5  6  7  7  8  8  8 /"
    " 3  4  4  4  5  6  7  8  8  9  9  9 /"
    " 4  4  4  5  6  7  8  8  9  9  9  9 /"
    " 6  6  6  7  8  8  9  9 10 10 10 10 /"
    " 7  7  7  8  9  9  9 10 10 11 11 11 /"
    " 8  8  8  9 10 10 10 10 10 11 11 11 /"
    " 9  9  9 10 10 10 11 11 11 12 12 12 /"
    "10 10 10 11 11 11 11 12 12 12 12 12 /"
    "11 11 11 11 12 12 12 12 12 12 12 12 /"
    "12 12 12 12 12 12 12 12 12 12 12 12"
)
"""By score A 1 to 12: score B 1 to 12."""


def table_a(trunk: int, neck: int, legs: int) -> int:
    """Posture score of trunk, neck and legs."""
    return TABLE_A[trunk][4 * (neck - 1) + legs - 1]


def table_b(upper_arm: int, lower_arm: int, wrist: int) -> int:
    """Posture score of arm and wrist."""
    return TABLE_B[upper_arm][3 * (lower_arm - 1) + wrist - 1]


def table_c(score_a: int, score_b: int) -> int:
    """Score of both together."""
    return TABLE_C[score_a][score_b - 1]
