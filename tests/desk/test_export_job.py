"""The take-home is made in the background, from the review as it was when it was asked for."""

from __future__ import annotations

import time
from pathlib import Path

import pytest
from support.desk import note, opened_desk, press, saved_review, small_clip

from cliptag.desk import exporting
from cliptag.desk.window import DeskWindow
from cliptag.review import edit

pytestmark = pytest.mark.timeout(120) if hasattr(pytest.mark, "timeout") else []
PATIENCE_MS = 60_000


@pytest.fixture
def desk(qtbot, tmp_path: Path):
    clip = small_clip(tmp_path)
    saved_review(clip, note(1, 200_000, 600_000, text="Let the knees come forward."))
    with opened_desk(clip) as window:
        yield window


def folder_of(desk: DeskWindow) -> Path:
    folder = desk.exporter.usual_folder()
    assert folder is not None
    return folder


def test_it_goes_beside_the_clip_and_one_click_opens_the_folder(
    qtbot, desk: DeskWindow, monkeypatch: pytest.MonkeyPatch
):
    opened: list[Path] = []
    monkeypatch.setattr(exporting, "open_folder", opened.append)
    press(desk, "Ctrl+E")
    assert desk.exporter.is_running and desk.exporter.progress.isVisible()
    assert not desk.commands.action("take_home").isEnabled()
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=PATIENCE_MS)
    assert {f.name for f in folder_of(desk).iterdir()} == {
        *("commentary.mp4", "commentary.vtt", "chapters.vtt", "transcript.txt"),
        *("index.html", "summary.pdf"),
    }
    assert folder_of(desk) == desk.state.clip.path.parent / "ines take-home"
    message = desk.bar.earlier[0]
    assert message.words == "Open the folder"
    message.act()
    assert opened == [folder_of(desk)]
    assert not desk.exporter.progress.isVisible()
    assert desk.commands.action("take_home").isEnabled()


def test_what_the_coach_should_read_before_sending_is_not_lost(qtbot, desk: DeskWindow):
    press(desk, "Ctrl+E")
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=PATIENCE_MS)
    assert "Before you send it" in desk.bar.sentence
    desk.bar.put_away()
    said = [desk.bar.sentence]
    while desk.bar.sentence:
        desk.bar.put_away()
        said.append(desk.bar.sentence)
    assert any("No written consent" in sentence for sentence in said)


def test_later_changes_do_not_reach_it_and_it_holds_up_nobody(qtbot, desk: DeskWindow):
    press(desk, "Ctrl+E")
    started_s = time.monotonic()
    document = desk.state.document
    review = edit.with_note_fields(document.review, "n1", text="Changed while it was made.")
    document.do(review, "write")
    assert desk.keeper.flush()
    assert time.monotonic() - started_s < 5.0
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=PATIENCE_MS)
    transcript = (folder_of(desk) / "transcript.txt").read_text()
    assert "Let the knees come forward." in transcript and "Changed" not in transcript


def test_stopping_leaves_nothing_behind(qtbot, desk: DeskWindow, monkeypatch):
    # Held up until it is asked to stop, so that it can't be done before.
    from cliptag.desk import export_job

    real = export_job.export_take_home

    def slow(*arguments, is_cancelled, **more):
        while not is_cancelled():
            time.sleep(0.01)
        return real(*arguments, is_cancelled=is_cancelled, **more)

    monkeypatch.setattr(export_job, "export_take_home", slow)
    press(desk, "Ctrl+E")
    press(desk, "Ctrl+.")
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=PATIENCE_MS)
    assert not folder_of(desk).exists()
    assert "was not made" in desk.bar.sentence


def test_a_folder_that_cant_be_written_is_told_in_a_sentence(qtbot, desk: DeskWindow):
    folder_of(desk).write_text("a file where the folder should be")
    press(desk, "Ctrl+E")
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=PATIENCE_MS)
    assert desk.bar.earlier[0].is_trouble
    assert "can't be written" in desk.bar.sentence and "Traceback" not in desk.bar.sentence


def test_a_bug_in_it_is_logged_and_told_without_a_traceback(qtbot, desk: DeskWindow, monkeypatch):
    from cliptag.desk import export_job

    def broken(*_, **__):
        raise RuntimeError("secret inside")

    monkeypatch.setattr(export_job, "export_take_home", broken)
    press(desk, "Ctrl+E")
    qtbot.waitUntil(lambda: not desk.exporter.is_running, timeout=PATIENCE_MS)
    assert "secret" not in desk.bar.sentence and "cliptag.log" in desk.bar.sentence


def test_progress_and_the_time_left_are_told(qtbot, desk: DeskWindow):
    progress = desk.exporter.progress
    progress.show_part(0.25, 90.0)
    assert progress._words.text() == "Take-home 25%, 2 min left" and progress._gauge.value() == 250
    progress.show_part(0.9, 4.4)
    assert progress._words.text() == "Take-home 90%, 4 s left"
    progress.show_part(0.0, None)
    assert progress._words.text() == "Take-home 0%"


def test_leaving_while_it_is_made_is_asked_about_in_the_bar(qtbot, desk: DeskWindow):
    press(desk, "Ctrl+E")
    desk.close()
    assert desk.isVisible() and desk.bar.earlier[0].words == "Stop it and leave"
    desk.bar.earlier[0].act()
    assert not desk.isVisible() and not desk.exporter.is_running
