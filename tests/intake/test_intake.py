"""The intake check tells what is wrong with clips that were made wrong on purpose."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import get_args

import cv2
import numpy as np
import pytest
from PIL import Image
from support.media import real_clip, write_frames
from support.people import moved, person, shifts, write_person

from cliptag.cli import main
from cliptag.clip import open_clip
from cliptag.demo import demo_review
from cliptag.intake import Intake, intake_of
from cliptag.intake.client import HEIGHT_IN_FACES
from cliptag.intake.facts import findings_of_facts
from cliptag.intake.finding import Ask, graded, worst
from cliptag.intake.message import ask_words, message_of
from cliptag.words import ENGLISH, LANGUAGES, words_of

MEDIA = demo_review().parent


def by_name(intake: Intake) -> dict[str, str]:
    return {finding.name: finding.grade for finding in intake.findings}


def checked(path: Path) -> Intake:
    with open_clip(path) as clip:
        return intake_of(clip)


def test_a_photo_taken_as_the_guide_asks_is_fine_throughout():
    intake = checked(MEDIA / "standing_week01.jpg")
    assert intake.grade == "fine"
    assert intake.message(ENGLISH, "Ines") == ""
    assert by_name(intake)["view"] == "fine"


def test_the_height_that_is_guessed_is_near_the_true_one():
    truth = json.loads((MEDIA / "standing_week01.truth.json").read_text("utf-8"))
    sentence = next(
        f.sentence
        for f in checked(MEDIA / "standing_week01.jpg").findings
        if f.name == "size of the client"
    )
    told = float(sentence.split("about ")[1].split(" ")[0])
    ear, ankle = (truth["points"][name]["y"][0] for name in ("ear", "ankle"))
    # From the ear to the ankle a person is 0.936 - 0.039 of the height (Drillis & Contini 1966,
    # as in Winter, fig. 4.1: from memory).
    height = (ankle - ear) / (0.936 - 0.039)
    assert told == pytest.approx(height, rel=0.2)
    assert 9 < HEIGHT_IN_FACES < 12


def test_a_real_clip_of_a_face_in_a_car_is_asked_for_again():
    grades = by_name(checked(real_clip("carphone")))
    assert grades["picture"] == grades["view"] == grades["whole client"] == "again"
    assert grades["frame rate"] == "fine"


@pytest.mark.parametrize(("who", "grade"), [("astronaut", "again"), ("cameraman", "fine")])
def test_front_and_side_are_told_apart_on_real_people(tmp_path: Path, who, grade: str):
    picture = tmp_path / "still.png"
    Image.fromarray(person(who)).save(picture)
    assert by_name(checked(picture))["view"] == grade


def test_a_picture_that_lies_on_its_side_is_told_of(tmp_path: Path):
    picture = tmp_path / "still.png"
    Image.fromarray(person("astronaut")).rotate(90).save(picture)
    assert by_name(checked(picture))["upright"] == "again"


def test_darkness_shaking_and_smear_are_told_of(tmp_path: Path):
    rng = np.random.default_rng(5)
    room = person("astronaut")
    frames = [moved(room, by) for by in shifts(24)]
    jumps = rng.normal(0, 9, (24, 2))
    broken = {
        "light": [(frame * 0.12).astype(np.uint8) for frame in frames],
        "stand": [moved(room, (float(x), float(y))) for x, y in jumps],
        "sharpness": [cv2.GaussianBlur(room, None, 7.0) for _ in range(24)],
    }
    good = by_name(checked(write_frames(tmp_path / "good.mp4", [room] * 24, 30)))
    for name, pictures in broken.items():
        bad = by_name(checked(write_frames(tmp_path / f"{name}.mp4", pictures, 30)))
        assert good[name] == "fine", name
        assert bad[name] != "fine", name


@pytest.mark.parametrize(
    ("changes", "name", "grade"),
    [
        ({"width": 1080, "height": 1920}, "picture", "fine"),
        ({"width": 480, "height": 848}, "picture", "care"),
        ({"width": 360, "height": 640}, "picture", "again"),
        ({"nominal_fps": 29.97}, "frame rate", "fine"),
        ({"nominal_fps": 25.0}, "frame rate", "fine"),
        ({"nominal_fps": 24.0}, "frame rate", "care"),
        ({"nominal_fps": 10.0}, "frame rate", "again"),
        ({"duration_us": 8_000_000}, "length", "fine"),
        ({"duration_us": 3_000_000}, "length", "care"),
        ({"duration_us": 1_000_000}, "length", "again"),
        ({"duration_us": 400_000_000}, "length", "care"),
        ({"missing_frames": 30}, "whole file", "again"),
        ({"hdr": "hlg"}, "colour", "fine"),
    ],
)
def test_facts_are_graded_by_their_thresholds(tmp_path: Path, changes, name, grade):
    with open_clip(write_person(tmp_path / "clip.mp4", "astronaut", count=5)) as clip:
        info = replace(clip.info, **changes)
    found = {finding.name: finding for finding in findings_of_facts(info)}
    assert found[name].grade == grade
    assert found[name].why
    assert (found[name].ask is None) == (grade == "fine")


def test_a_clip_is_as_good_as_its_worst():
    assert worst(["fine", "care", "fine"]) == "care"
    assert worst(["again", "care"]) == "again"
    assert worst([]) == "fine"
    assert [graded(v, 0.3, 0.1) for v in (0.5, 0.2, 0.05)] == ["fine", "care", "again"]
    assert [graded(v, 0.1, 0.3) for v in (0.05, 0.2, 0.5)] == ["fine", "care", "again"]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_wish_is_said_once_in_the_clients_language(language: str):
    words = words_of(language)
    asks = list(get_args(Ask))
    said = [ask_words(ask, words) for ask in asks]
    assert len(set(said)) == len(asks)
    message = message_of([*asks, *asks], words, "Ines")
    assert message.count("•") == len(asks)
    assert "Ines" in message
    if language != "en":
        assert not set(said) & {ask_words(ask, ENGLISH) for ask in asks}


def test_what_is_cut_off_is_not_asked_to_come_nearer():
    with open_clip(real_clip("carphone")) as clip:
        intake = intake_of(clip)
    asks = {finding.ask for finding in intake.findings}
    assert {"nearer", "whole_body"} <= asks
    assert ask_words("nearer", ENGLISH) not in intake.message(ENGLISH)
    assert ask_words("whole_body", ENGLISH) in intake.message(ENGLISH)


def test_the_command_tells_it_in_a_table_and_as_json(capsys):
    photo = str(real_clip("carphone"))
    assert main(["inspect", photo, "--intake"]) == 0
    assert "Ask again" in capsys.readouterr().out
    assert main(["inspect", photo, "--intake", "--json"]) == 0
    facts = json.loads(capsys.readouterr().out)["intake"]
    assert facts["grade"] == "again" and facts["message"].startswith("Hello,")
