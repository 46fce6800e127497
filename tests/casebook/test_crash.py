"""Killed at any line or moment: the casebook opens, and nothing that was acknowledged is lost."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ZYGOTE = Path(__file__).parents[1] / "support" / "casebook_zygote.py"
LINES_APART = 150
ROUNDS = 4

pytestmark = pytest.mark.skipif(not hasattr(__import__("os"), "fork"), reason="needs fork")


def killings(mode: str, folder: Path, tiny: Path, script: str, count: int) -> list[dict]:
    command = [sys.executable, str(ZYGOTE), mode, str(folder), str(tiny), script, str(count)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return [json.loads(line) for line in done.stdout.splitlines()]


def is_sound(told: dict) -> bool:
    return not told["lost"] and not any(line.startswith("error") for line in told["acked"])


@pytest.mark.parametrize("script", ["clients", "clips", "consent", "states", "erasing", "mending"])
def test_a_change_that_is_killed_at_any_line_loses_nothing_acknowledged(
    tmp_path: Path, tiny: Path, script: str
):
    """The lines are those of the casebook's own code, every so many of them."""
    told = killings("lines", tmp_path / "z", tiny, script, LINES_APART)
    assert [one for one in told if not is_sound(one)] == []
    assert sum(one["killed"] for one in told) >= 3
    assert not told[-1]["killed"]  # the last one was let through to the end


@pytest.mark.parametrize("script", ["clips", "erasing"])
def test_a_change_that_is_killed_at_any_moment_loses_nothing_acknowledged(
    tmp_path: Path, tiny: Path, script: str
):
    told = killings("times", tmp_path / "z", tiny, script, ROUNDS)
    assert [one for one in told if not is_sound(one)] == []
