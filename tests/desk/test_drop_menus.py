"""The short lists: what can be chosen in them, and that the keyboard is enough."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QMenu
from support.desk import opened_desk, press, small_clip

from cliptag.desk.window import DeskWindow
from cliptag.review import MOVEMENT_WORDS


@pytest.fixture
def desk(qtbot, tmp_path: Path):
    with opened_desk(small_clip(tmp_path)) as window:
        yield window


def opened(qtbot) -> QMenu:
    qtbot.waitUntil(lambda: isinstance(QApplication.activePopupWidget(), QMenu), timeout=3000)
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    return menu


def lines(menu: QMenu) -> list[str]:
    return [action.text() for action in menu.actions() if not action.isSeparator()]


def test_the_movement_is_chosen_with_arrow_and_return(qtbot, desk: DeskWindow):
    press(desk, "Ctrl+M")
    menu = opened(qtbot)
    assert lines(menu) == [*list(MOVEMENT_WORDS.values())[:-1], "Another movement"]
    assert [action.text() for action in menu.actions() if action.isChecked()] == [
        "Another movement"
    ]
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    assert desk.state.document.review.movement == "bend"
    assert desk.state.playhead.speed == 1.0, "the arrow was the list's"


def test_each_moment_can_be_set_moved_and_taken_away(qtbot, desk: DeskWindow):
    press(desk, "Shift+M")
    assert "no moments" in desk.bar.sentence
    desk.reviewing.set_movement("bend")
    desk.state.playhead.go_to(6)
    press(desk, "Shift+M")
    menu = opened(qtbot)
    assert lines(menu) == ["Set here: Start", "Set here: Deepest", "Set here: Back up"]
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    (moment,) = desk.state.document.review.moments
    assert (moment.name, moment.at_us) == ("deepest", 200_000)
    desk.state.playhead.go_to(9)
    press(desk, "Shift+M")
    menu = opened(qtbot)
    assert lines(menu)[1:] == ["Move here: Deepest", "Set here: Back up", "Take away: Deepest"]
    menu.actions()[-1].trigger()
    menu.close()
    assert desk.state.document.review.moments == ()


def test_recent_files_open_and_can_be_forgotten(qtbot, desk: DeskWindow, tmp_path: Path):
    other = small_clip(tmp_path, "nora.mp4")
    assert desk.open_path(other)
    press(desk, "Ctrl+Shift+O")
    menu = opened(qtbot)
    assert lines(menu) == ["nora.mp4", "ines.mp4", "Forget these"]
    QTest.keyClick(menu, Qt.Key.Key_Down)
    QTest.keyClick(menu, Qt.Key.Key_Return)
    assert desk.state.clip.path.name == "ines.mp4"
    press(desk, "Ctrl+Shift+O")
    menu = opened(qtbot)
    menu.actions()[-1].trigger()
    menu.close()
    press(desk, "Ctrl+Shift+O")
    assert "Nothing was open yet" in desk.bar.sentence
