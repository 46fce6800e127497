"""The list of keys: complete, searchable, away with Esc."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtWidgets import QLineEdit
from support.desk import opened_desk, press, small_clip

from cliptag.desk.commands import key_words
from cliptag.desk.window import DeskWindow


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_clip(tmp_path_factory.mktemp("clip"))


@pytest.fixture
def desk(qtbot, clip: Path):
    with opened_desk(clip) as window:
        yield window


def shown(desk: DeskWindow) -> tuple[str, ...]:
    return desk.pages.page("keys").shown


@pytest.mark.parametrize("key", ["?", "F1"])
def test_a_key_shows_every_command_with_its_keys(desk: DeskWindow, key: str):
    press(desk, key)
    lines = shown(desk)
    for members in desk.commands.by_group().values():
        for command in members:
            assert any(command.words in line for line in lines), command.name
            for keys in map(key_words, command.keys):
                assert any(command.words in line and keys in line for line in lines), keys


def test_letters_find_words_and_keys_whatever_their_case(desk: DeskWindow):
    press(desk, "?")
    assert isinstance(desk.focusWidget(), QLineEdit)
    desk.focusWidget().setText("MOMENT")
    assert len(shown(desk)) == 6
    assert all("moment" in line.casefold() for line in shown(desk))
    desk.focusWidget().setText("ctrl+e")
    assert [line.split("\t")[0] for line in shown(desk)] == [
        "Make the take-home",
        "Send until this frame",
    ]
    desk.focusWidget().setText("no such thing")
    assert shown(desk) == () and desk.pages.page("keys")._nothing.isVisible()
    desk.focusWidget().clear()
    assert len(shown(desk)) > 50


def test_it_closes_with_its_key_or_esc_and_gives_the_keyboard_back(desk: DeskWindow):
    desk.strip.setFocus()
    press(desk, "?")
    press(desk, "Escape")
    assert not desk.pages.page("keys").isVisible() and desk.focusWidget() is desk.strip
    press(desk, "F1")
    press(desk, "F1")
    assert not desk.pages.page("keys").isVisible()


def test_one_page_at_a_time(desk: DeskWindow):
    press(desk, "?")
    press(desk, "Ctrl+,")
    assert not desk.pages.page("keys").isVisible() and desk.pages.page("preferences").isVisible()


def test_words_of_undo_do_not_change_the_list(desk: DeskWindow):
    press(desk, "Ctrl+Shift+R")
    press(desk, "?")
    assert any(line.startswith("Undo\t") for line in shown(desk))
