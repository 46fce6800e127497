"""The window: what it says of itself, what it remembers, how it ends."""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest
from PyQt6.QtCore import QSize
from support.desk import note, opened_desk, press, saved_review, small_clip
from support.media import make_clip

from cliptag.desk import keeping, run
from cliptag.desk.window import DeskWindow
from cliptag.review import load_review


@pytest.fixture
def clip(tmp_path: Path) -> Path:
    return small_clip(tmp_path)


@pytest.fixture
def desk(qtbot, clip: Path):
    with opened_desk(clip) as window:
        yield window


def test_the_title_tells_the_clip_and_whether_it_is_saved(qtbot, desk: DeskWindow, clip: Path):
    assert desk.windowTitle() == "ines.mp4 \u00b7 unchanged \u2013 cliptag"
    press(desk, "Ctrl+Shift+R")
    assert "saving" in desk.windowTitle()
    qtbot.waitUntil(lambda: "saved" in desk.windowTitle(), timeout=3000)
    assert load_review(clip.with_name("ines.review.json")).facing == "right"
    desk.clear()
    assert desk.windowTitle() == "cliptag"


def test_opening_and_closing_alone_makes_no_file(desk: DeskWindow, clip: Path):
    press(desk, "Right")
    desk.close()
    assert [file.name for file in clip.parent.iterdir()] == ["ines.mp4"]


def test_the_last_change_is_saved_at_the_end(desk: DeskWindow, clip: Path):
    press(desk, "Ctrl+Shift+L")
    desk.close()
    assert load_review(clip.with_name("ines.review.json")).facing == "left"


def test_the_last_change_is_saved_when_another_clip_is_opened(desk: DeskWindow, clip: Path):
    press(desk, "Ctrl+Shift+L")
    other = small_clip(clip.parent, "nora.mp4")
    assert desk.open_path(other)
    assert load_review(clip.with_name("ines.review.json")).facing == "left"
    assert desk.state.document.review.facing is None


def test_a_clip_that_breaks_off_is_opened_and_told(qtbot, tmp_path: Path):
    whole = make_clip(tmp_path / "whole.mp4", "-movflags", "+faststart", seconds=4.0)
    cut = tmp_path / "cut.mp4"
    data = whole.read_bytes()
    cut.write_bytes(data[: len(data) * 6 // 10])
    with opened_desk(cut) as desk:
        assert "breaks off" in desk.bar.sentence
        assert desk.open_path(whole)
        assert "breaks off" not in desk.bar.sentence


def test_its_size_is_that_of_the_last_end(qtbot):
    window = DeskWindow()
    window.resize(701, 602)
    window.show()
    window.close()
    again = DeskWindow()
    qtbot.addWidget(again)
    assert again.size() == QSize(701, 602)
    again.close()


def test_a_review_opens_with_its_clip_and_a_clip_with_its_review(desk: DeskWindow, clip: Path):
    path = saved_review(clip, note(1, 0, 100_000))
    for given in (path, clip):
        assert desk.open_path(given)
        assert desk.state.clip.path == clip
        assert [n.id for n in desk.state.document.review.notes] == ["n1"]


def test_two_windows_on_one_review_are_told(qtbot, desk: DeskWindow, clip: Path):
    with opened_desk(clip) as other:
        assert "open in another window" in other.bar.sentence


def test_a_review_kept_elsewhere_is_offered_when_its_clip_is_opened(
    qtbot, desk: DeskWindow, clip: Path, monkeypatch: pytest.MonkeyPatch
):
    from cliptag.desk import saving
    from cliptag.errors import ReviewError

    real, own = saving.save_review, clip.with_name("ines.review.json")

    def full(review, path):
        if path == own:
            raise ReviewError("The disk is full.")
        return real(review, path)

    monkeypatch.setattr(saving, "save_review", full)
    press(desk, "Ctrl+Shift+L")
    assert desk.keeper.flush()
    qtbot.waitUntil(lambda: "kept in" in desk.bar.sentence, timeout=3000)
    desk.clear()
    desk.bar.put_away()
    assert desk.open_path(clip)
    assert desk.state.document.review.facing is None
    desk.bar._act()
    assert desk.state.document.review.facing == "left"
    assert desk.state.clip.path == clip


def test_work_that_no_file_could_take_is_asked_about_before_leaving(
    qtbot, desk: DeskWindow, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(keeping.Saver, "flush", lambda self, timeout_s=0.0: False)
    desk.close()
    assert desk.isVisible() and desk.bar.earlier[0].words == "Leave without them"


def test_a_bug_is_logged_and_told_in_a_sentence_and_the_desk_goes_on(
    qtbot, desk: DeskWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
):
    monkeypatch.setattr(sys, "excepthook", sys.excepthook)
    monkeypatch.setattr(threading, "excepthook", threading.excepthook)
    run._catch_bugs(desk.state.warned.emit)
    try:
        raise RuntimeError("secret inside")
    except RuntimeError:
        sys.excepthook(*sys.exc_info())
    assert "secret" not in desk.bar.sentence and "cliptag.log" in desk.bar.sentence
    log = Path(desk.bar.sentence.split("the file ")[1].rstrip("."))
    assert "secret inside" in log.read_text() and "Traceback" in log.read_text()

    def fall() -> None:
        raise RuntimeError("in a thread")

    desk.bar.put_away()
    worker = threading.Thread(target=fall)
    worker.start()
    worker.join()
    qtbot.waitUntil(lambda: "cliptag.log" in desk.bar.sentence, timeout=2000)
    assert "in a thread" in log.read_text()
    press(desk, "Right")
    assert desk.state.playhead.index == 1


@pytest.mark.parametrize("size", [(640, 400), (960, 540), (1280, 800), (1920, 1080)])
def test_the_picture_has_room_at_every_size_of_window(qtbot, desk: DeskWindow, size):
    desk.resize(*size)
    qtbot.wait(50)
    box = desk.stage.viewport
    assert box is not None and box.size[1] > 0.18 * size[1]
    for part in (desk.controls, desk.bar, desk.strip, desk.climb, desk.tools):
        assert part.isVisible()
        shown = part.geometry().translated(
            part.parentWidget().mapTo(desk, part.geometry().topLeft()) - part.geometry().topLeft()
        )
        assert desk.rect().contains(shown.topLeft()), part
