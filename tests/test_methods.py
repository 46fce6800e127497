"""``cliptag method``: listed, explained, worked out from answers and from a measured review."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from support.truth import read_truth

from cliptag import cli
from cliptag.demo import demo_folder
from cliptag.measure.published import GUIDE, METHODS

NAME = "lift_week01"
LEVER = ["lever-arm", "body_mass_kg=65", "stature_cm=168", "sex=female", "load_kg=12", "what=crate"]


@pytest.fixture(scope="module")
def review_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("lift")
    for suffix in (".mp4", ".review.json"):
        shutil.copy(demo_folder() / (NAME + suffix), folder)
    return folder / f"{NAME}.review.json"


def told(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    assert cli.main(["method", *words]) == 0
    return capsys.readouterr().out


def test_all_methods_are_listed_with_the_caution(capsys):
    text = told(capsys)
    assert all(key in text for key in METHODS)
    assert GUIDE in text
    assert [m["key"] for m in json.loads(told(capsys, "--json"))["methods"]] == list(METHODS)


@pytest.mark.parametrize("key", METHODS)
def test_a_method_tells_what_it_asks_its_source_and_its_limits(key, capsys):
    flat = " ".join(told(capsys, key.replace("-", "_")).split())
    method = METHODS[key]
    for sentence in (method.name, method.source, *method.limits, method.does_not_say, GUIDE):
        assert sentence in flat
    facts = json.loads(told(capsys, key, "--json"))
    for question in facts["questions"]:
        assert question["name"] in flat


def test_answers_give_the_result_with_source_limits_and_caution(capsys):
    """Manual example 1 at its origin in metric units would mix the systems, so a plain lift:
    all multipliers 1 but FM and CM, 23 kg x 0.85 x 1 (NIOSH 94-110, tables 5 and 7)."""
    words = ["load_kg=10", "horizontal_cm=25", "vertical_cm=75", "travel_cm=25"]
    words += ["lifts_per_min=0.2", "duration=long", "coupling=good"]
    facts = json.loads(told(capsys, "niosh-lifting", *words, "--json"))
    limit = next(n for n in facts["numbers"] if n["name"] == "niosh_weight_limit")
    assert limit["value"] == pytest.approx(23 * 0.85)
    assert GUIDE in facts["meaning"]
    assert facts["source"] and facts["limits"] and facts["does_not_say"]
    text = told(capsys, "niosh-lifting", *words)
    assert "Recommended weight limit (NIOSH): 19.55 kg" in text
    assert text.count("not a diagnosis") == 1


def test_a_review_fills_in_what_it_has_measured(review_path: Path, capsys):
    words = ["reba", "neck_deg=20", "wrist_deg=10", "--review", str(review_path), "--json"]
    facts = json.loads(told(capsys, *words, "--at", "2.9"))
    truth = read_truth(NAME)
    names = {
        "trunk_deg": "trunk_tilt",
        "knee_deg": "knee_flexion",
        "elbow_deg": "elbow_flexion",
    }
    assert set(facts["measured"]) == {*names, "upper_arm_deg"}
    for name, curve in names.items():
        measured = facts["measured"][name]["estimate"]
        true = np.interp(2.9e6, truth.times_us, truth.angle(curve))
        assert abs(measured["value"] - true) <= max(3 * measured["sd"], 1.5), name
        assert measured["sd"] > 0
        assert "0:02.90" in facts["measured"][name]["words"]


def test_an_answer_of_ones_own_goes_before_the_measured_one(review_path: Path, capsys):
    words = ["reba", "neck_deg=20", "wrist_deg=10", "trunk_deg=5", "--review", str(review_path)]
    facts = json.loads(told(capsys, *words, "--json"))
    assert "trunk_deg" not in facts["measured"]
    assert facts["given"]["trunk_deg"]["value"] == 5


def test_lengths_are_read_where_the_load_comes_off(review_path: Path, capsys):
    words = ["niosh-lifting", "load_kg=12", "lifts_per_min=0.2", "duration=short", "coupling=fair"]
    facts = json.loads(told(capsys, *words, "--review", str(review_path), "--json"))
    truth = read_truth(NAME)
    (off,), (up,) = (truth.moments(name) for name in ("load_off", "upright"))

    def at(name: str, moment) -> complex:
        z = truth.point(name) / truth.up[0]
        index = int(np.searchsorted(truth.times_us, moment["time_us"]))
        return complex(z[index]) / truth.data["px_per_cm"]

    measured = {name: one["estimate"] for name, one in facts["measured"].items()}
    reach = abs((at("wrist", off) - at("ankle", off)).imag)
    height = (at("wrist", off) - min(at("heel", off), at("toe", off), key=lambda z: z.real)).real
    travel = (at("wrist", up) - at("wrist", off)).real
    for name, true in (("horizontal_cm", reach), ("vertical_cm", height), ("travel_cm", travel)):
        assert measured[name]["value"] == pytest.approx(true, abs=2.0), name


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["luck"], "There is no method called 'luck'"),
        (["reba", "trunk_deg=10"], "also needs neck_deg"),
        (["reba", "tail_deg=10"], "doesn't ask for 'tail_deg'"),
        (["reba", "trunk_deg=ten"], "which is not a number"),
        (["reba", "trunk_deg=400"], "give -90 to 150"),
        (["reba", "trunk_deg=1", "trunk_deg=2"], "trunk_deg is given twice"),
        (["reba", "trunk_deg=1", "--at", "2"], "add --review"),
        (["five-times-sit-to-stand", "time_s=12", "age=9"], "no published time"),
        (["reba", "--picture", "a.png"], "also needs"),
    ],
)
def test_bad_input_is_one_sentence(words, said, capsys):
    assert cli.main(["method", *words]) == 1
    error = capsys.readouterr().err.strip()
    assert said in error
    assert "\n" not in error


@pytest.mark.parametrize("words", [["reba", "high"], ["reba", "--at", "soon"]])
def test_wrong_use_exits_with_2(words, capsys):
    with pytest.raises(SystemExit) as stop:
        cli.main(["method", *words])
    assert stop.value.code == 2
    assert "--help" in capsys.readouterr().err


def test_a_time_past_the_end_of_the_clip_is_told(review_path: Path, capsys):
    assert cli.main(["method", "reba", "--review", str(review_path), "--at", "99"]) == 1
    assert "past the end of the clip" in capsys.readouterr().err


@pytest.mark.parametrize(("wish", "size"), [([], (1080, 1920)), (["--landscape"], (1920, 1080))])
def test_the_lever_arm_lesson_is_a_picture(wish, size, tmp_path: Path, capsys):
    picture = tmp_path / "lesson.png"
    words = [*LEVER, "trunk_tilt_deg=50±4", "load_arm_cm=55±4", "--picture", str(picture), *wish]
    assert "20 cm closer takes" in told(capsys, *words)
    with Image.open(picture) as image:
        assert image.size == size
    assert [path.name for path in tmp_path.iterdir()] == ["lesson.png"]


@pytest.mark.parametrize(
    ("name", "said"), [("lesson.jpg", "end it with .png"), ("no/lesson.png", "can't be written")]
)
def test_a_picture_that_cant_be_is_told(name, said, tmp_path: Path, capsys):
    words = [*LEVER, "trunk_tilt_deg=50", "load_arm_cm=55", "--picture", str(tmp_path / name)]
    assert cli.main(["method", *words]) == 1
    assert said in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []
