"""``cliptag measure`` on a review that tracks points: from placed points to what a coach reads."""

from __future__ import annotations

import csv
import json
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from subprocess import PIPE

import numpy as np
import pytest
from support.truth import read_truth
from trc import TRCData

from cliptag import cli
from cliptag.demo import demo_folder
from cliptag.errors import MeasureError
from cliptag.measure.followed import follow_movement
from cliptag.opening import open_reviewed_clip
from cliptag.review import edit, load_review, save_review

NAME = "lift_week01"
FRAME_US = 33_334


@pytest.fixture(scope="module")
def review_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("lift")
    for suffix in (".mp4", ".review.json"):
        shutil.copy(demo_folder() / (NAME + suffix), folder)
    return folder / f"{NAME}.review.json"


def test_a_tracked_lift_is_told_as_it_was_drawn(
    review_path: Path, capsys: pytest.CaptureFixture[str]
):
    table = review_path.with_name("lift.csv")
    assert cli.main(["measure", str(review_path), "--json", "--csv", str(table)]) == 0
    movement = json.loads(capsys.readouterr().out)["movement"]
    truth = read_truth(NAME)
    (repetition,) = movement["repetitions"]
    found = {moment["name"]: moment["at_us"] for moment in repetition["moments"]}
    for name in ("load_off", "passing_knees", "upright", "set_down"):
        (true,) = truth.moments(name)
        assert abs(found[name] - true["time_us"]) <= 2.5 * FRAME_US, name
    lean = next(d for d in movement["descriptors"] if d["name"] == "peak_trunk_lean")
    # Three standard uncertainties: a peak is the largest of many samples.
    assert abs(lean["value"] - truth.angle("trunk_tilt").max()) <= 3 * lean["sd"]
    assert movement["caution"]
    lines = table.with_suffix(".curves.csv").read_text("utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert len(rows) == len(truth.times_us)
    column = next(name for name in rows[0] if name.startswith("knee_flexion"))
    knee = np.array([float(row[column] or "nan") for row in rows])
    error = knee - truth.angle("knee_flexion")
    assert np.isfinite(error).mean() > 0.9
    assert np.sqrt(np.nanmean(error**2)) < 1.5


def test_a_lift_without_a_facing_is_refused_with_what_to_do(review_path: Path, tmp_path: Path):
    copy = tmp_path / review_path.name
    shutil.copy(review_path.with_name(f"{NAME}.mp4"), tmp_path)
    save_review(edit.with_fields(load_review(review_path), facing=None), copy)
    review, clip = open_reviewed_clip(copy)
    with clip, pytest.raises(MeasureError, match="which way the client faces"):
        follow_movement(review, clip)


def test_several_files_are_written_in_one_go_and_the_json_stays_alone(
    review_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    table, points = tmp_path / "lift.csv", tmp_path / "lift.trc"
    asked = ["--csv", str(table), "--trc", str(points), "--cutoff", "6", "--velocity", "--json"]
    assert cli.main(["measure", str(review_path), *asked]) == 0
    told = capsys.readouterr()
    facts = json.loads(told.out)
    assert told.err == ""
    assert facts["movement"]["how"]["cutoff_hz"] == 6
    assert facts["movement"]["how"]["cutoff_from"] == "set by hand"
    assert {path.name for path in tmp_path.iterdir()} == {"lift.csv", "lift.trc", "lift.curves.csv"}
    for row in (*facts["readings"], *facts["numbers"], *facts["velocities"]):
        # Weir 2005: the smallest detectable change is 1.96 sqrt(2) times the standard error.
        change = 1.96 * 2**0.5 * row["standard_uncertainty"]
        assert row["smallest_detectable_change"] == pytest.approx(change, rel=1e-3, abs=2e-3)
    assert "turned from the camera by up to 20" in facts["if_turned"][1]
    assert "2 cm can be told" in facts["heights"][0]
    lines = [line for line in table.read_text("utf-8").splitlines() if not line.startswith("#")]
    rows = list(csv.DictReader(lines))
    assert len(rows) == len(facts["readings"]) + len(facts["numbers"])
    assert any(row["name"] == "load_to_low_back" and row["unit"] == "cm" for row in rows)


def test_the_trc_file_is_read_by_another_program(review_path: Path, tmp_path: Path):
    """trc-data-reader, an independent reader of the format."""
    points = tmp_path / "lift.trc"
    assert cli.main(["measure", str(review_path), "--trc", str(points)]) == 0
    data = TRCData()
    data.load(str(points))
    assert int(data["NumMarkers"]) == len(load_review(review_path).tracked)
    assert int(data["NumFrames"]) == len(read_truth(NAME).times_us)


def test_the_velocity_is_the_slope_of_the_true_angle(
    review_path: Path, capsys: pytest.CaptureFixture[str]
):
    assert cli.main(["measure", str(review_path), "--velocity", "--json"]) == 0
    told = {row["name"]: row for row in json.loads(capsys.readouterr().out)["velocities"]}
    truth = read_truth(NAME)
    rate = np.gradient(truth.angle("trunk_tilt"), truth.times_us / 1e6)
    # Central differences and the filter make a quick swing a few percent too slow (docs/curves.md).
    assert told["trunk_tilt_velocity_highest"]["value"] == pytest.approx(rate.max(), rel=0.05)
    assert told["trunk_tilt_velocity_lowest"]["value"] == pytest.approx(rate.min(), rel=0.05)
    assert told["trunk_tilt_velocity_highest"]["unit"] == "°/s"


@pytest.mark.parametrize("asked", [["--trc", "a.trc"], ["--cutoff", "6"], ["--velocity"]])
def test_what_needs_tracked_points_says_so(
    asked: list[str], review_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    bare = tmp_path / review_path.name
    save_review(edit.with_fields(load_review(review_path), tracked=()), bare)
    asked = [str(tmp_path / word) if word.endswith(".trc") else word for word in asked]
    assert cli.main(["measure", str(bare), *asked]) == 1
    assert "No point is tracked in this review" in capsys.readouterr().err
    assert [path.name for path in tmp_path.iterdir()] == [bare.name]


@pytest.mark.parametrize("word", ["0", "-3", "quick", "nan", "1e9"])
def test_a_cutoff_that_is_none_is_wrong_use(
    word: str, review_path: Path, capsys: pytest.CaptureFixture[str]
):
    with pytest.raises(SystemExit) as stop:
        cli.main(["measure", str(review_path), "--cutoff", word])
    assert stop.value.code == 2
    assert f"{word} is no cut-off: give hertz" in capsys.readouterr().err


def test_a_place_that_cant_be_written_is_told(
    review_path: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
):
    assert cli.main(["measure", str(review_path), "--trc", str(tmp_path / "no" / "a.trc")]) == 1
    assert "Choose another place" in capsys.readouterr().err


def test_ctrl_c_while_following_leaves_nothing_behind(
    review_path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
):
    """Stopped as soon as the first frames are followed; what was asked for isn't begun."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    out = tmp_path / "out"
    out.mkdir()
    command = [sys.executable, "-m", "cliptag", "measure", str(review_path)]
    command += ["--csv", str(out / "a.csv"), "--trc", str(out / "a.trc")]
    with subprocess.Popen(command, stdout=PIPE, stderr=PIPE, text=True) as run:
        time.sleep(3.0)
        run.send_signal(signal.SIGINT)
        _, said = run.communicate(timeout=60)
    assert run.returncode == 1, said
    assert said.count("\n") == 1
    assert "stopped" in said.lower()
    assert list(out.iterdir()) == []
