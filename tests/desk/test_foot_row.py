"""The row under the stage: it gives the bar room, and never makes the window wider."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtTest import QTest
from support.desk import opened_desk, press, small_clip

from cliptag.desk.window import DeskWindow

LONG = (
    "letter.txt can't be opened as a video or photo. If it plays elsewhere, convert it to MP4; "
    "else copy it from the phone again."
)


@pytest.fixture
def desk(qtbot, tmp_path: Path):
    with opened_desk(small_clip(tmp_path)) as window:
        yield window


def settle() -> None:
    QTest.qWait(50)


def test_preview_progress_and_an_offer_together_leave_the_window_as_wide_as_it_was(
    desk: DeskWindow,
):
    press(desk, "Ctrl+P")
    desk.exporter.progress.begin()
    desk.exporter.progress.tell("Take-home 11%, 14 s left")
    desk.bar.offer(LONG, "Go on with that one", lambda: None)
    settle()
    assert desk.width() == 1280
    assert desk.centralWidget().minimumSizeHint().width() <= 1280


def test_a_sentence_without_room_beside_the_controls_goes_below_them(desk: DeskWindow):
    desk.bar.say("Done.")
    settle()
    assert desk.bar.x() >= desk.controls.width()
    press(desk, "Ctrl+P")
    desk.exporter.progress.begin()
    desk.exporter.progress.tell("Take-home 11%, 14 s left")
    desk.bar.offer(LONG, "Go on with that one", lambda: None)
    settle()
    assert desk.bar.y() >= desk.preview.row.y() + desk.preview.row.height()
    assert desk.bar.height() < 4 * desk.fontMetrics().height()
    press(desk, "Escape")
    desk.exporter.progress.hide()
    desk.bar.put_away()
    settle()
    assert desk.bar.x() >= desk.controls.width()


def test_what_was_said_of_a_file_that_could_not_be_opened_goes_when_another_one_opens(
    desk: DeskWindow, tmp_path: Path
):
    bad = tmp_path / "letter.txt"
    bad.write_text("Dear Mara")
    assert not desk.open_path(bad)
    said = desk.bar.sentence
    assert "letter.txt" in said
    assert not desk.open_path(bad)
    assert desk.bar.sentence == said
    desk.bar.say("Saved.")
    assert desk.open_path(small_clip(tmp_path, "nora.mp4"))
    desk.bar.put_away()
    assert said != desk.bar.sentence
    assert said in [message.sentence for message in desk.bar.earlier]
