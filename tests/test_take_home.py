"""The main job, from the demo review to everything that the client gets."""

from __future__ import annotations

import json
import shutil
import threading
from itertools import pairwise
from pathlib import Path

import av
import pytest
import webvtt
from support.browser import ask_chromium
from support.truth import read_truth

import cliptag
from cliptag.demo import demo_folder, demo_review
from cliptag.errors import ExportCancelled, ExportError, ReviewError
from cliptag.export import ExportOptions, check_vtt, export_take_home, plan_export
from cliptag.measure import number_text, readings_of
from cliptag.review import BODY_REGIONS, Mark, load_review, save_review

PAGES = Path(__file__).parent / "support" / "pages"
FILES = {
    *("commentary.mp4", "commentary.vtt", "chapters.vtt", "transcript.txt"),
    *("index.html", "summary.pdf"),
}


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> cliptag.TakeHome:
    """The demo's take-home, and every step of its progress."""
    out = tmp_path_factory.mktemp("demo") / "for-ines"
    steps: list[float] = []
    made = export_take_home(
        demo_review(),
        out,
        lambda done, _: steps.append(done),
        options=ExportOptions(source_time=True),
    )
    assert steps == sorted(steps)
    assert steps[-1] == 1.0
    return made


@pytest.fixture
def bend(tmp_path: Path) -> Path:
    """A copy of another demo review with its clip, in a folder of its own."""
    for suffix in (".mp4", ".review.json"):
        shutil.copy(demo_folder() / f"bend_week01{suffix}", tmp_path)
    return tmp_path / "bend_week01.review.json"


def test_the_demo_review_goes_from_the_feet_up_with_every_kind_of_mark():
    review = load_review(demo_review())
    assert {type(mark) for note in review.notes for mark in note.marks} == set(Mark.__args__)
    assert len(review.notes) >= 8
    sitting = [note.region for note in review.notes if note.start_us < 1_000_000]
    body = [BODY_REGIONS.index(region) for region in sitting if region in BODY_REGIONS]
    assert body == sorted(body)
    assert {note.kind for note in review.notes} == {"seen", "good", "try", "exercise", "care"}
    assert review.consent is not None


def test_the_demo_numbers_agree_with_the_truth():
    review, truth = load_review(demo_review()), read_truth("sit_to_stand_week01")
    found = {reading.name: reading for reading in readings_of(review)}
    names = {
        "Knee flexion": "knee_flexion",
        "Trunk tilt": "trunk_tilt",
        "Craniovertebral angle": "craniovertebral",
    }
    with cliptag.open_clip(demo_folder() / review.clip.path) as clip:
        for name, angle in names.items():
            reading = found[name]
            true = truth.angle(angle)[clip.index_at(reading.at_us)]
            assert abs(reading.value - true) <= 2 * reading.sd, name
    # The stool is drawn with its seat at 46 cm.
    assert abs(found["Height"].value - 46.0) <= 2 * found["Height"].sd


def test_the_take_home_is_whole_and_nothing_else_is_left(made: cliptag.TakeHome):
    assert {file.name for file in made.files} == FILES | {"commentary.source.vtt"}
    assert {file.name for file in made.folder.iterdir()} == {file.name for file in made.files}
    assert made.advice == ()


def test_its_captions_and_chapters_are_sound_and_readable(made: cliptag.TakeHome):
    captions = (made.folder / "commentary.vtt").read_bytes()
    assert check_vtt(captions) == ()
    assert check_vtt((made.folder / "chapters.vtt").read_bytes(), kind="chapters") == ()
    assert len(webvtt.from_string(captions.decode("utf-8"))) == made.cue_count
    source = check_vtt((made.folder / "commentary.source.vtt").read_bytes())
    assert [finding for finding in source if finding.severity == "error"] == []


def test_the_videos_facts_and_chapters_are_the_plans(made: cliptag.TakeHome):
    review = load_review(demo_review())
    with cliptag.open_clip(demo_folder() / review.clip.path) as clip:
        plan = plan_export(review, clip)
    with av.open(str(made.folder / "commentary.mp4")) as video:
        stream = video.streams.video[0]
        assert (stream.codec_context.name, stream.profile) == ("h264", "High")
        assert (stream.width, stream.height) == (1080, 1920)
        assert stream.frames == made.frame_count
        assert video.duration == pytest.approx(plan.timeline.duration_us, abs=60_000)
        titles = [chapter["metadata"]["title"] for chapter in video.chapters()]
    assert titles == [chapter.title for chapter in plan.chapters]
    for before, after in pairwise(plan.chapters):
        assert before.end_us == after.start_us


def test_the_transcript_says_all_that_the_coach_wrote(made: cliptag.TakeHome):
    review = load_review(demo_review())
    text = " ".join((made.folder / "transcript.txt").read_text("utf-8").split())
    for words in (review.impression, review.caution, *(note.text for note in review.notes)):
        assert " ".join(words.split()) in text
    with cliptag.open_clip(demo_folder() / review.clip.path) as clip:
        readings = plan_export(review, clip).readings
    assert {"knee", "trunk"} <= {mark_id for _, mark_id in readings}
    for reading in readings.values():
        assert reading in text
    for note in review.notes:
        for number in note.numbers:
            assert number_text(number) in text


def test_chromium_plays_the_video_and_fires_its_captions_in_time(made: cliptag.TakeHome):
    cues = webvtt.read(str(made.folder / "commentary.vtt"))
    times = [
        (cue.start_time.in_milliseconds() + cue.end_time.in_milliseconds()) / 2000
        for cue in list(cues)[::4]
    ]
    wishes = json.dumps({"times": times, "playFrom": times[1]}).encode()
    seen = ask_chromium(
        {
            "/": ("text/html; charset=utf-8", (PAGES / "watch.html").read_bytes()),
            "/wishes": ("application/json", wishes),
            "/commentary.mp4": ("video/mp4", (made.folder / "commentary.mp4").read_bytes()),
            "/commentary.vtt": ("text/vtt", (made.folder / "commentary.vtt").read_bytes()),
        }
    )
    assert "error" not in seen
    assert seen["duration"] == pytest.approx(made.duration_us / 1e6, abs=0.06)
    assert (seen["width"], seen["height"]) == (made.width, made.height)
    assert seen["cues"] == [[cue.identifier] for cue in cues][::4]
    assert seen["playedTo"] > times[1] + 0.2
    assert seen["frames"] > 3
    assert seen["soundBytes"] > 0


def test_an_export_that_is_stopped_leaves_the_folder_as_it_was(bend: Path, tmp_path: Path):
    out = tmp_path / "not" / "yet"
    stop = threading.Event()
    with pytest.raises(ExportCancelled):
        export_take_home(
            bend, out, lambda done, _: stop.set() if done > 0.05 else None, is_cancelled=stop.is_set
        )
    assert not (tmp_path / "not").exists()


def test_a_folder_that_cannot_be_is_said_in_a_sentence(bend: Path, tmp_path: Path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(ExportError, match="choose another folder"):
        export_take_home(bend, tmp_path / "file" / "out")


def test_a_review_without_its_clip_is_said_in_a_sentence(bend: Path, tmp_path: Path):
    (tmp_path / "bend_week01.mp4").unlink()
    with pytest.raises(ReviewError, match=r"bend_week01\.mp4 is not at"):
        export_take_home(bend, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_what_is_empty_is_told_before_it_is_sent(bend: Path, tmp_path: Path):
    fields = {"client": " ", "notes": (), "impression": ""}
    save_review(cliptag.review.edit.with_fields(load_review(bend), **fields), bend)
    made = export_take_home(bend, tmp_path / "out")
    assert any("no client's name" in sentence for sentence in made.advice)
    assert any("the video says nothing" in sentence for sentence in made.advice)


def test_without_a_recorded_consent_the_coach_is_told(bend: Path, tmp_path: Path):
    review = load_review(bend)
    part = cliptag.review.Part(start_us=0, end_us=200_000)
    fields = {"consent": None, "impression": "", "part": part}
    save_review(cliptag.review.edit.with_fields(review, **fields), bend)
    made = export_take_home(bend, tmp_path / "out")
    assert any("No written consent" in sentence for sentence in made.advice)
    outside = [sentence for sentence in made.advice if "outside the part" in sentence]
    assert outside and all(note.id not in " ".join(outside) for note in review.notes)
    assert any(sentence.startswith("The note on ") for sentence in outside)
