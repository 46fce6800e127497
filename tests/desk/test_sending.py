"""What the coach prefers to send is what the desk makes, the voice included."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from support.desk import note, opened_desk, saved_review
from support.exporting import sound
from support.media import make_clip
from support.spoken import OTHER, place_of, speech, take_of, voice_in

from cliptag.desk.export_job import export_options
from cliptag.desk.saving import Saver, spare_path
from cliptag.desk.window import DeskWindow
from cliptag.opening import review_path_of
from cliptag.review import edit, load_review, save_review
from cliptag.voice import take_file

RATE = 48_000


@pytest.fixture
def spoken_review(tmp_path: Path) -> Path:
    clip = make_clip(tmp_path / "ines.mp4", seconds=3)
    path = saved_review(clip, note(1, 1_000_000, 1_500_000))
    take = take_of(speech(OTHER), path)
    voice = voice_in(take, path, 0, len(speech(OTHER)) * 1_000_000 // RATE)
    save_review(edit.with_voice(load_review(path), "n1", voice), path)
    return path


@pytest.fixture
def desk(qtbot, spoken_review) -> Iterator[DeskWindow]:
    with opened_desk(spoken_review) as window:
        yield window


def made(qtbot, desk: DeskWindow, folder: Path) -> list[str]:
    """Make the take-home; gives what the bar said meanwhile."""
    said: list[str] = []
    say = desk.bar.say
    desk.bar.say = lambda sentence: (said.append(sentence), say(sentence))[1]  # type: ignore[method-assign]
    desk.exporter.start(folder)
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=120_000)
    return said


def test_the_voice_is_in_the_take_home_that_the_desk_makes(qtbot, desk, tmp_path):
    made(qtbot, desk, tmp_path / "out")
    rate, samples = sound(tmp_path / "out" / "commentary.mp4")
    assert rate == RATE
    part = speech(OTHER)[RATE // 4 : RATE]
    assert place_of(part, samples.mean(axis=1)) == pytest.approx(3.5 + 1.0 + 0.25, abs=0.020)


def test_the_size_is_said_before_and_met(qtbot, desk, tmp_path):
    desk.preferences.set(purpose="messenger", most_mb=5.0, clean=True)
    said = made(qtbot, desk, tmp_path / "out")
    assert any("The video for a messenger will be about" in sentence for sentence in said)
    assert (tmp_path / "out" / "clean.mp4").stat().st_size < 5e6


def test_every_choice_of_sending_reaches_the_export(desk):
    desk.preferences.set(purpose="archive", most_mb=7.0, clean=True)
    options = export_options(desk.preferences.now)
    assert (options.purpose, options.most_mb, options.clean) == ("archive", 7.0, True)


def test_the_page_sets_what_is_sent_and_spoken_into(qtbot, desk):
    page = desk.pages.page("preferences")
    page._purpose._group.buttons()[1].click()
    assert desk.preferences.now.purpose == "messenger" and page._most_mb.isEnabled()
    page._most_mb.setValue(25)
    page._clean.click()
    page._speech_model.setText(" /models/small ")
    page._speech_model.editingFinished.emit()
    now = desk.preferences.now
    assert (now.most_mb, now.clean, now.speech_model) == (25.0, True, "/models/small")
    kept = json.loads(desk.preferences._path.read_text("utf-8"))
    assert kept["purpose"] == "messenger"


def test_a_review_that_is_kept_elsewhere_still_finds_its_takes(
    qtbot, spoken_review, tmp_path, monkeypatch
):
    review = load_review(spoken_review)
    saver = Saver(spoken_review, tmp_path / "ines.mp4")
    real = save_review

    def refuse(changed, path):
        if Path(path) == spoken_review:
            from cliptag.errors import ReviewError

            raise ReviewError("The review can't be saved there.")
        return real(changed, path)

    monkeypatch.setattr("cliptag.desk.saving.save_review", refuse)
    saver.take(edit.with_fields(review, client="Ines"))
    saver.close()
    spare = spare_path(review_path_of(tmp_path / "ines.mp4"), review.clip.digest)
    voice = load_review(spare).notes[0].voice
    assert voice is not None and take_file(voice.path, spare.parent).is_file()
