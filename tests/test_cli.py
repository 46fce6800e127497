"""The command line: exit codes, one sentence for each failure, facts as JSON."""

from __future__ import annotations

import csv
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from support import reviews as made

from cliptag import cli
from cliptag.demo import demo_folder
from cliptag.review import Joint, Point, Review, save_review

VERBS = ["demo", "inspect", "export", "measure", "method", "check"]


def run(*arguments: object) -> subprocess.CompletedProcess[str]:
    """Run the program as a person would, in a process of its own."""
    command = [sys.executable, "-m", "cliptag", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=300)


@pytest.fixture
def review_path(tmp_path: Path) -> Path:
    knee = Joint(
        id="j",
        joint="knee",
        proximal=Point(0.0, 0.0),
        vertex=Point(300.0, 0.0),
        distal=Point(300.0, 300.0),
    )
    review = Review(clip=made.clip_ref(), notes=(made.note(1, marks=(knee,)), made.note(2)))
    return save_review(review, tmp_path / "ines.review.json")


@pytest.mark.parametrize("verb", VERBS)
def test_every_verb_helps_with_an_example(verb: str, capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit) as stop:
        cli.main([verb, "--help"])
    assert stop.value.code == 0
    assert f"Example: cliptag {verb}" in capsys.readouterr().out


@pytest.mark.parametrize(
    "arguments", [["sing"], ["inspect"], ["export", "a.review.json"], ["check", "a", "--loud"]]
)
def test_wrong_use_exits_with_2_and_one_line(arguments, capsys: pytest.CaptureFixture[str]):
    with pytest.raises(SystemExit) as stop:
        cli.main(arguments)
    assert stop.value.code == 2
    said = capsys.readouterr().err.strip()
    assert said.startswith("cliptag: ")
    assert "--help" in said
    assert "\n" not in said


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["inspect", "no.mp4"], "no.mp4"),
        (["measure", "no.review.json"], "There is no review at"),
        (["check", "no.vtt"], "no.vtt can't be read"),
        (["export", "no.review.json", "--out", "out"], "There is no review at"),
    ],
)
def test_a_missing_file_is_one_sentence_and_exit_1(
    arguments, said, tmp_path, monkeypatch, capsys: pytest.CaptureFixture[str]
):
    monkeypatch.chdir(tmp_path)
    assert cli.main(arguments) == 1
    error = capsys.readouterr().err
    assert said in error
    assert error.count("\n") == 1
    assert list(tmp_path.iterdir()) == []


def test_a_bug_is_logged_and_said_without_a_traceback(
    tmp_path, monkeypatch, capsys: pytest.CaptureFixture[str]
):
    from cliptag import verbs

    def broken(_: object) -> int:
        raise ZeroDivisionError("a slip")

    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setattr(verbs, "measure", broken)
    assert cli.main(["measure", "x"]) == 1
    said = capsys.readouterr().err
    assert "Something went wrong inside cliptag" in said
    assert "Traceback" not in said
    (log,) = tmp_path.rglob("cliptag.log")
    assert "ZeroDivisionError: a slip" in log.read_text("utf-8")


def test_measure_prints_each_number_with_its_uncertainty(review_path: Path):
    done = run("measure", review_path)
    assert done.returncode == 0
    assert "Knee flexion 90° ± 2°" in done.stdout
    assert "not medical diagnosis" in " ".join(done.stdout.split())


def test_measure_writes_json_and_csv_that_agree(review_path: Path, tmp_path: Path):
    table = tmp_path / "numbers.csv"
    done = run("measure", review_path, "--json", "--csv", table)
    (fact,) = json.loads(done.stdout)["readings"]
    lines = table.read_text("utf-8").splitlines()
    assert lines[0].startswith("# Angles in degrees")
    (row,) = csv.DictReader(line for line in lines if not line.startswith("#"))
    assert float(row["value"]) == fact["value"] == 90
    assert row["unit"] == fact["unit"] == "°"
    assert float(row["standard_uncertainty"]) == fact["standard_uncertainty"] > 0


def test_inspect_tells_what_the_clip_is():
    clip = demo_folder() / "sit_to_stand_week01.mp4"
    facts = json.loads(run("inspect", clip, "--json", "--frames").stdout)
    assert (facts["width"], facts["height"]) == (1080, 1920)
    assert facts["codec"] == "h264"
    assert len(facts["times_us"]) == facts["frame_count"]
    assert facts["times_us"][0] == 0
    table = run("inspect", clip)
    assert "1080 x 1920 pixels" in table.stdout
    assert table.returncode == 0


def test_check_exits_with_1_only_for_a_file_that_is_not_sound(tmp_path: Path):
    good, bad = tmp_path / "good.vtt", tmp_path / "bad.vtt"
    good.write_text("WEBVTT\n\n00:00.000 --> 00:02.000\nSit tall.\n", "utf-8")
    bad.write_text("WEBVTT\n\n00:02.000 --> 00:01.000\nSit tall.\n", "utf-8")
    assert run("check", good).returncode == 0
    done = run("check", bad, "--json")
    assert done.returncode == 1
    facts = json.loads(done.stdout)
    assert not facts["is_sound"]
    assert facts["findings"][0]["line"] == 3


@pytest.mark.skipif(os.name == "nt", reason="Windows sends another signal")
def test_ctrl_c_leaves_nothing_half_written(tmp_path: Path):
    out = tmp_path / "out"
    child = subprocess.Popen(
        [sys.executable, "-m", "cliptag", "demo", "--out", str(out)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    deadline = time.monotonic() + 60
    while not list(out.glob(".take-home.*/.commentary.mp4.*")) and time.monotonic() < deadline:
        time.sleep(0.05)
    child.send_signal(signal.SIGINT)
    _, said = child.communicate(timeout=60)
    assert child.returncode == 1
    assert "nothing was left" in said
    assert "Traceback" not in said
    assert not out.exists()
