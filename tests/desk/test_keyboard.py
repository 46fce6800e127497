"""Who gets a key: what is typed into, the pressed button, or the command."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QAbstractButton
from support.desk import opened_desk, press, small_clip

from cliptag.desk.window import DeskWindow


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_clip(tmp_path_factory.mktemp("clip"))


@pytest.fixture
def desk(qtbot, clip: Path):
    with opened_desk(clip) as window:
        yield window
    clip.with_name("ines.review.json").unlink(missing_ok=True)


def test_typing_into_a_page_starts_no_command(desk: DeskWindow):
    press(desk, "Ctrl+I")
    for letter in "Nora":
        press(desk, letter)
    press(desk, "Space")
    press(desk, "1")
    assert desk.state.document.review.client == "nora 1"
    assert desk.state.document.review.notes == () and not desk.state.playhead.is_playing


def test_return_in_a_field_is_the_fields(desk: DeskWindow):
    press(desk, "N")
    note = desk.state.chosen_note
    press(desk, "A")
    press(desk, "Return")
    press(desk, "B")
    assert desk.state.chosen_note.id == note.id
    assert desk.state.chosen_note.text == "a\nb"


def test_undo_while_typing_is_the_desks(desk: DeskWindow):
    press(desk, "Ctrl+I")
    press(desk, "A")
    assert desk.state.document.review.client == "a"
    press(desk, "Ctrl+Z")
    assert desk.state.document.review.client == ""
    press(desk, "Ctrl+Y")
    assert desk.state.document.review.client == "a"


def test_space_and_return_press_the_button_that_has_the_keyboard(desk: DeskWindow):
    button = desk.controls._buttons[2]
    assert button.accessibleName() == "One frame on"
    button.setFocus(Qt.FocusReason.TabFocusReason)
    press(desk, "Space")
    assert desk.state.playhead.index == 1 and not desk.state.playhead.is_playing
    press(desk, "Return")
    assert desk.state.playhead.index == 2


def test_a_click_leaves_the_keyboard_with_the_stage(qtbot, desk: DeskWindow):
    desk.stage.setFocus()
    button = desk.controls._buttons[2]
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
    assert desk.state.playhead.index == 1
    press(desk, "Space")
    assert desk.state.playhead.is_playing


def test_esc_takes_one_thing_back_at_a_time(desk: DeskWindow):
    press(desk, "N")
    press(desk, "A")
    note = desk.state.chosen_note
    press(desk, "Escape")
    assert desk.state.chosen_note.id == note.id and desk.focusWidget() is desk.stage
    press(desk, "J")
    press(desk, "?")
    page = desk.pages.page("keys")
    assert page.isVisible()
    press(desk, "Escape")
    assert not page.isVisible() and desk.state.tool == "joint"
    press(desk, "Escape")
    assert desk.state.tool is None and desk.state.chosen_note is not None
    press(desk, "Escape")
    assert desk.state.chosen_note is None


def test_f6_goes_round_the_parts_of_the_desk(desk: DeskWindow):
    parts = [desk.climb, desk.stage, desk.tools, desk.controls, desk.strip]
    met = set()
    for _ in range(12):
        press(desk, "F6")
        focus = desk.focusWidget()
        met |= {n for n, part in enumerate(parts) if part is focus or part.isAncestorOf(focus)}
    assert met == set(range(len(parts)))


def test_tab_reaches_every_control_that_can_be_seen(desk: DeskWindow):
    """From the menus' right end to the strip; Qt says which widget would be next."""
    desk.stage.setFocus()
    wanted = {
        button
        for part in (desk._head, desk.tools, desk.controls)
        for button in part.findChildren(QAbstractButton)
        if button.isVisible() and button.isEnabled()
    }
    reached, here = set(), desk.stage
    for _ in range(2000):
        here = here.nextInFocusChain()
        if here.focusPolicy() & Qt.FocusPolicy.TabFocus and here.isVisible():
            reached.add(here)
        if here is desk.stage:
            break
    assert wanted <= reached


def test_arrows_choose_among_several_and_climb_the_ladder(desk: DeskWindow):
    speed, index = desk.state.playhead.speed, desk.state.playhead.index
    desk.pages.toggle("preferences")
    contrast = desk.pages.page("preferences")._contrast._group
    contrast.button(0).setFocus(Qt.FocusReason.TabFocusReason)
    press(desk, "Right")
    assert desk.focusWidget() is contrast.button(1)
    press(desk, "Escape")
    desk.climb.take_focus()
    desk.state.stand_on("knees")
    desk.climb.take_focus()
    press(desk, "Up")
    assert desk.state.rung == "hips"
    assert (desk.state.playhead.speed, desk.state.playhead.index) == (speed, index)
