"""``cliptag compare`` as a person types it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from support.truth import FOLDER

from cliptag.cli import COULD_NOT, DONE, WRONG_USE, main
from cliptag.pairing import load_pairing

BOTH = tuple(str(FOLDER / f"bend_week{week}.review.json") for week in ("01", "10"))


def test_without_a_folder_it_tells_the_table_alone(capsys: pytest.CaptureFixture[str]):
    assert main(["compare", *BOTH, "--json"]) == DONE
    facts = json.loads(capsys.readouterr().out)
    by_name = {row["name"]: row for row in facts["differences"]}
    knee = by_name["knee_flexion_highest"]
    assert knee["verdict"] == "changed"
    assert knee["change"] == pytest.approx(44, abs=3)
    assert knee["towards"] is None
    assert facts["warnings"] == []


def test_a_goal_is_judged_and_a_pairing_kept(tmp_path: Path, capsys: pytest.CaptureFixture[str]):
    path = tmp_path / "ines.pairing.json"
    goal = ["--goal", "knee_flexion_highest=more", "--layout", "above", "--mirror", "no"]
    assert main(["compare", *BOTH, *goal, "--save", str(path), "--json"]) == DONE
    rows = json.loads(capsys.readouterr().out)["differences"]
    row = next(r for r in rows if r["name"] == "knee_flexion_highest")
    assert row["towards"] == "towards the goal"
    kept = load_pairing(path)
    assert kept.goals == {"knee_flexion_highest": "more"}
    assert (kept.layout, kept.mirror) == ("above", "no")
    assert main(["compare", str(path), "--json"]) == DONE
    assert json.loads(capsys.readouterr().out)["differences"] == rows


@pytest.mark.parametrize(
    ("arguments", "code", "words"),
    [
        ([BOTH[0]], COULD_NOT, "Only one review is named"),
        ([BOTH[0], "nowhere.review.json"], COULD_NOT, "There is no review at"),
        ([*BOTH, "--goal", "elegance=more"], COULD_NOT, "names elegance, which is not measured"),
        ([*BOTH, "--from", "seat_off"], COULD_NOT, "seat_off is not known in both reviews"),
        ([*BOTH, "--goal", "knee=better"], WRONG_USE, "is no goal"),
        ([*BOTH, "--layout", "diagonal"], WRONG_USE, "invalid choice"),
        (["x.pairing.json"], COULD_NOT, "can't be read"),
    ],
)
def test_bad_input_gets_one_sentence(
    arguments: list[str], code: int, words: str, capsys: pytest.CaptureFixture[str]
):
    try:
        found = main(["compare", *arguments])
    except SystemExit as stopped:
        found = int(str(stopped.code))
    said = capsys.readouterr()
    assert found == code
    assert words in said.err
    assert len(said.err.strip().splitlines()) == 1
    assert said.out == ""


def test_an_unwritable_folder_is_told_and_nothing_made(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    blocked = tmp_path / "file"
    blocked.write_text("here")
    assert main(["compare", *BOTH, "--out", str(blocked / "out")]) == COULD_NOT
    assert "can't be written" in capsys.readouterr().err
    assert blocked.read_text() == "here"


@pytest.mark.skipif(os.name != "posix", reason="sends SIGINT as a terminal does")
def test_ctrl_c_leaves_nothing_half_written(tmp_path: Path):
    out = tmp_path / "out"
    process = subprocess.Popen(
        [sys.executable, "-m", "cliptag.cli", "compare", *BOTH, "--out", str(out)],
        stderr=subprocess.PIPE,
        stdout=subprocess.DEVNULL,
    )
    deadline = time.monotonic() + 60
    while not list(out.glob(".take-home.*")) and process.poll() is None:
        assert time.monotonic() < deadline
        time.sleep(0.05)
    process.send_signal(signal.SIGINT)
    _, said = process.communicate(timeout=60)
    assert process.returncode == COULD_NOT, said
    assert not out.exists()
