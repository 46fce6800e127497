"""``cliptag measure`` on a review that tracks points: from placed points to what a coach reads."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from support.truth import read_truth

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
