"""First start: what to do, the demo one click away, and the caution."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtCore import QMimeData, QPointF, Qt, QUrl
from PyQt6.QtGui import QDragEnterEvent, QDropEvent
from PyQt6.QtWidgets import QLabel, QLineEdit, QPlainTextEdit, QPushButton, QWidget
from support.desk import opened_desk, small_clip

from cliptag.demo import demo_folder
from cliptag.desk import demo_copy
from cliptag.desk.demo_copy import copy_demo
from cliptag.desk.window import DeskWindow
from cliptag.errors import CliptagError
from cliptag.review import DEFAULT_CAUTION


@pytest.fixture
def desk(qtbot, tmp_path: Path, monkeypatch):
    monkeypatch.setattr(demo_copy.platformdirs, "user_documents_path", lambda: tmp_path / "docs")
    with opened_desk() as window:
        yield window


def words_on(widget: QWidget) -> list[str]:
    labels = [label for label in widget.findChildren(QLabel) if label.isVisible()]
    return [label.text() for label in labels]


def button(desk: DeskWindow, words: str) -> QPushButton:
    return next(b for b in desk._empty.findChildren(QPushButton) if b.text().startswith(words))


def test_it_says_what_to_do_in_three_lines_and_shows_the_caution(desk: DeskWindow):
    words = words_on(desk._empty)
    assert sum(line.startswith(f"<b>{n}. ") for n in (1, 2, 3) for line in words) == 3
    assert DEFAULT_CAUTION in words
    assert not desk.strip.isVisible() and not desk.controls.isVisible()


def test_the_demo_is_one_click_away_and_the_installed_one_stays_as_it_is(
    qtbot, desk: DeskWindow, tmp_path: Path
):
    installed = {file.name: file.stat().st_mtime_ns for file in demo_folder().iterdir()}
    qtbot.mouseClick(button(desk, "Try it"), Qt.MouseButton.LeftButton)
    assert desk.state.document.path.parent == tmp_path / "docs" / "cliptag demo"
    assert desk.state.document.review.notes and desk.strip.isVisible()
    desk.reviewing.set_facing("left")
    assert desk.keeper.flush()
    assert {file.name: file.stat().st_mtime_ns for file in demo_folder().iterdir()} == installed


def test_a_second_try_keeps_what_was_changed_in_the_first(tmp_path: Path):
    path = copy_demo(tmp_path / "demo")
    path.write_text(path.read_text() + "\n")
    assert copy_demo(tmp_path / "demo") == path
    assert path.read_text().endswith("\n\n")
    assert sorted(file.suffix for file in path.parent.iterdir()) == [".json", ".mp4"]


def test_a_demo_that_cant_be_copied_is_told_in_a_sentence(tmp_path: Path):
    (tmp_path / "demo").write_text("a file where a folder should be")
    with pytest.raises(CliptagError, match="can't be copied"):
        copy_demo(tmp_path / "demo")


def test_what_was_open_last_is_offered(qtbot, desk: DeskWindow, tmp_path: Path):
    clip = small_clip(tmp_path, "nora & co.mp4")
    assert desk.open_path(clip)
    desk.clear()
    link = button(desk, "nora")
    assert link.accessibleName() == "Open nora & co.mp4"
    qtbot.mouseClick(link, Qt.MouseButton.LeftButton)
    assert desk.state.clip.path == clip
    desk.clear()
    desk.forget_recent()
    assert not any(
        b.text().startswith("nora") for b in desk._empty.findChildren(QPushButton) if b.isVisible()
    )


def test_files_of_the_same_name_are_told_apart_by_their_folders(desk: DeskWindow, tmp_path: Path):
    for folder in ("week 1", "week 2"):
        (tmp_path / folder).mkdir()
        assert desk.open_path(small_clip(tmp_path / folder))
    assert desk.open_path(small_clip(tmp_path, "nora.mp4"))
    desk.clear()
    assert button(desk, "ines.mp4 in week 1").accessibleName() == "Open ines.mp4 in week 1"
    assert button(desk, "ines.mp4 in week 2").accessibleName() == "Open ines.mp4 in week 2"
    assert button(desk, "nora").text() == "nora.mp4"


def drop(desk: DeskWindow, *paths: Path) -> bool:
    """Drop files as a file manager would; gives whether they were welcome."""
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    action, left, none = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton, Qt.KeyboardModifier(0)
    enter = QDragEnterEvent(QPointF(300, 300).toPoint(), action, data, left, none)
    enter.ignore()
    desk.dragEnterEvent(enter)
    if enter.isAccepted():
        desk.dropEvent(QDropEvent(QPointF(300, 300), action, data, left, none))
    return enter.isAccepted()


def test_a_file_can_be_dropped_anywhere_in_the_window(desk: DeskWindow, tmp_path: Path):
    first, second = small_clip(tmp_path, "a.mp4"), small_clip(tmp_path, "b.mp4")
    assert drop(desk, first) and desk.state.clip.path == first
    assert drop(desk, second, first) and desk.state.clip.path == second
    assert "One clip at a time" in desk.bar.sentence


def test_what_is_no_file_is_not_welcome(desk: DeskWindow):
    data = QMimeData()
    data.setText("words")
    enter = QDragEnterEvent(
        QPointF(1, 1).toPoint(), Qt.DropAction.CopyAction, data, Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier(0),
    )  # fmt: skip
    enter.ignore()
    desk.dragEnterEvent(enter)
    assert not enter.isAccepted()


def test_a_strange_file_is_told_in_the_bar_and_the_desk_stays(desk: DeskWindow, tmp_path: Path):
    strange = tmp_path / "letter.txt"
    strange.write_text("Dear coach")
    assert drop(desk, strange)
    assert desk.state.clip is None and desk._empty.isVisible()
    assert desk.bar.earlier[0].is_trouble and "letter.txt" in desk.bar.sentence


def test_no_text_takes_a_dropped_file_for_words(desk: DeskWindow, tmp_path: Path):
    desk.open_path(small_clip(tmp_path))
    desk.reviewing.new_note()
    for page in ("clip", "preferences", "keys"):
        desk.pages.toggle(page)
    texts = desk.findChildren(QLineEdit) + desk.findChildren(QPlainTextEdit)
    assert len(texts) > 10
    for text in texts:
        assert not text.acceptDrops(), text.accessibleName()
        if isinstance(text, QPlainTextEdit):
            assert not text.viewport().acceptDrops()
