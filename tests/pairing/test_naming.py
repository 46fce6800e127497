"""Which review comes first, and what their pairing's file is called."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import msgspec
import pytest
from support.desk import saved_review, small_clip

from cliptag.pairing import pairing_in_order, pairing_of, pairing_path_of


@pytest.fixture
def two(tmp_path: Path):
    def made(first: dict[str, object], second: dict[str, object]) -> tuple[Path, Path]:
        one = saved_review(small_clip(tmp_path, "one.mp4"), **first)
        return one, saved_review(small_clip(tmp_path, "two.mp4"), **second)

    return made


@pytest.mark.parametrize(
    ("first", "second", "is_later"),
    [
        ({"week": 10}, {"week": 1}, True),
        ({"week": 1}, {"week": 10}, False),
        ({"recorded_on": date(2026, 3, 1)}, {"recorded_on": date(2026, 1, 1)}, True),
        ({"week": 3, "recorded_on": date(2026, 3, 1)}, {"recorded_on": date(2026, 1, 1)}, True),
        (
            {"week": 2, "recorded_on": date(2026, 1, 1)},
            {"week": 1, "recorded_on": date(2026, 5, 1)},
            True,
        ),
        ({"recorded_on": date(2026, 3, 1)}, {"recorded_on": None}, False),
        ({"recorded_on": None}, {"recorded_on": None}, False),
    ],
)
def test_the_earlier_one_comes_first_by_week_else_by_date(two, first, second, is_later: bool):
    one, other = two(first, second)
    expected = (other, one) if is_later else (one, other)
    assert pairing_in_order(one, other).reviews == tuple(map(str, expected))


def test_a_pairing_is_kept_beside_its_last_review_under_both_names(tmp_path: Path):
    pairing = pairing_of(tmp_path / "old" / "w1.review.json", tmp_path / "w10.review.json")
    assert pairing_path_of(pairing) == tmp_path / "w1 and w10.pairing.json"


def test_very_long_names_still_make_a_name_that_a_file_system_takes(tmp_path: Path):
    names = [tmp_path / f"{letter * 200}.review.json" for letter in "ab"]
    path = pairing_path_of(pairing_of(*names))
    path.write_text("{}")
    assert msgspec.structs.asdict(pairing_of(*names))["reviews"][0].endswith("a.review.json")
