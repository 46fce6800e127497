"""The command line: what a video is made for, its size, and the clean one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support.desk import note, saved_review
from support.media import make_clip

from cliptag.cli import main


@pytest.fixture(scope="module")
def review(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("sending") / "ines.mp4"
    clip = make_clip(path, seconds=2, sound=True, size=(480, 360))
    return saved_review(clip, note(1, 500_000, 900_000))


def test_the_size_is_told_before_and_met(review, tmp_path, capsys):
    out = tmp_path / "out"
    given = ["export", str(review), "--out", str(out), "--for", "messenger", "--mb", "4"]
    assert main([*given, "--clean", "--json"]) == 0
    said = capsys.readouterr()
    assert "The video for a messenger will be about" in said.err
    facts = json.loads(said.out)
    sizes = {file["name"]: file["size_bytes"] for file in facts["files"]}
    assert {"commentary.mp4", "clean.mp4"} <= set(sizes)
    assert sizes["commentary.mp4"] == pytest.approx(facts["predicted_bytes"], rel=0.05)


def test_without_a_purpose_nothing_is_predicted(review, tmp_path, capsys):
    assert main(["export", str(review), "--out", str(tmp_path / "out"), "--json"]) == 0
    said = capsys.readouterr()
    assert json.loads(said.out)["predicted_bytes"] is None
    assert "will be about" not in said.err


@pytest.mark.parametrize("mb", ["0", "-1", "nan"])
def test_a_size_that_cannot_be_is_one_sentence(review, tmp_path, capsys, mb):
    out = ["--out", str(tmp_path / "out"), "--for", "messenger", "--mb", mb]
    assert main(["export", str(review), *out]) == 1
    assert "name a size above 0" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_an_unknown_purpose_is_wrong_use(review, tmp_path, capsys):
    with pytest.raises(SystemExit) as ended:
        main(["export", str(review), "--out", str(tmp_path), "--for", "pigeon"])
    assert ended.value.code == 2
    assert "messenger" in capsys.readouterr().err
