"""The table of commands: each key means one thing, and everything can be reached by keyboard."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtGui import QKeySequence
from PyQt6.QtWidgets import QMenu, QToolButton
from support.desk import note, opened_desk, press, saved_review, small_clip

from cliptag.desk.actions import TOOL_WORDS
from cliptag.desk.window import DeskWindow
from cliptag.review import KIND_WORDS, edit


@pytest.fixture(scope="module")
def clip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return small_clip(tmp_path_factory.mktemp("clip"))


@pytest.fixture
def desk(qtbot, clip: Path):
    path = saved_review(
        clip,
        note(1, 200_000, 600_000, text="First."),
        note(2, 1_000_000, 1_400_000, region="hips", text="Second."),
    )
    with opened_desk(path) as window:
        yield window
    path.unlink()


def all_commands(desk: DeskWindow):
    return [c for members in desk.commands.by_group().values() for c in members]


def test_no_two_commands_share_a_key(desk: DeskWindow):
    seen: dict[str, str] = {}
    for command in all_commands(desk):
        for keys in command.keys:
            sequence = QKeySequence(keys)
            assert not sequence.isEmpty(), f"{command.name}: {keys} is no key"
            words = sequence.toString()
            assert words not in seen, f"{words}: {command.name} and {seen.get(words)}"
            seen[words] = command.name


def test_every_command_has_a_key_and_is_in_a_menu(desk: DeskWindow):
    menus = desk._head.menus.findChildren(QMenu)
    in_menus = {action.objectName() for menu in menus for action in menu.actions()}
    for command in all_commands(desk):
        assert command.keys, command.name
        assert command.name in in_menus


def test_every_tooltip_of_a_command_tells_its_key(desk: DeskWindow):
    for command in all_commands(desk):
        key = QKeySequence(command.keys[0]).toString(QKeySequence.SequenceFormat.NativeText)
        assert key in desk.commands.action(command.name).toolTip()


def test_what_cant_be_done_without_a_clip_is_off(qtbot):
    with opened_desk() as empty:
        on = {c.name for c in all_commands(empty) if empty.commands.action(c.name).isEnabled()}
    assert on == {
        *("open", "recent", "demo", "quit", "sound", "full_screen", "next_part", "preferences"),
        *("keys", "message", "caution", "step_back"),
        *("casebook", "today", "find", "add_client"),
    }


def test_arrows_step_by_a_frame_and_with_shift_by_a_second(desk: DeskWindow):
    playhead = desk.state.playhead
    press(desk, "Right")
    press(desk, "Right")
    assert playhead.index == 2
    press(desk, "Left")
    assert playhead.index == 1
    press(desk, "Shift+Right")
    assert playhead.index == 31, "30 frames a second"
    press(desk, "Shift+Left")
    assert playhead.index == 1
    press(desk, "End")
    assert playhead.index == playhead.last_index
    press(desk, "Home")
    assert playhead.index == 0


def test_with_ctrl_they_go_from_note_to_note(desk: DeskWindow):
    press(desk, "Ctrl+Right")
    assert desk.state.chosen_note.id == "n1" and desk.state.playhead.time_us == 200_000
    press(desk, "Ctrl+Right")
    assert desk.state.chosen_note.id == "n2" and desk.state.playhead.time_us == 1_000_000
    press(desk, "Ctrl+Right")
    assert desk.state.chosen_note.id == "n2", "it stops at the last one"
    press(desk, "Ctrl+Left")
    assert desk.state.chosen_note.id == "n1"


def test_with_alt_they_go_from_moment_to_moment(desk: DeskWindow):
    document = desk.state.document
    review = edit.with_movement(document.review, "bend")
    for name, at_us in (("start", 500_000), ("deepest", 900_000)):
        review = edit.with_moment(review, name, at_us)
    document.do(review, "moments")
    press(desk, "Alt+Right")
    assert desk.state.playhead.time_us == 500_000
    press(desk, "Alt+Right")
    assert desk.state.playhead.time_us == 900_000
    press(desk, "Alt+Left")
    assert desk.state.playhead.time_us == 500_000


def test_space_plays_and_up_and_down_change_the_speed(desk: DeskWindow):
    playhead = desk.state.playhead
    press(desk, "Space")
    assert playhead.is_playing
    press(desk, "Space")
    assert not playhead.is_playing
    press(desk, "Down")
    assert playhead.speed == 0.75
    press(desk, "Up")
    press(desk, "Up")
    assert playhead.speed == 1.5
    press(desk, "0")
    assert playhead.speed == 1.0


def test_the_chosen_notes_stretch_is_played_over_and_over(desk: DeskWindow):
    playhead = desk.state.playhead
    press(desk, "O")
    assert playhead.loop is None and "Choose a note" in desk.bar.sentence
    press(desk, "Ctrl+Right")
    press(desk, "O")
    assert playhead.loop == (200_000, 600_000) and playhead.is_playing
    press(desk, "O")
    assert playhead.loop is None


def test_n_starts_a_note_about_the_frame_and_takes_the_typing(qtbot, desk: DeskWindow):
    desk.state.stand_on("neck")
    desk.state.playhead.go_to(12)
    press(desk, "N")
    made = desk.state.chosen_note
    assert (made.region, made.start_us, made.kind) == ("neck", 400_000, "seen")
    for letter in "Chin in":
        press(desk, letter) if letter != " " else press(desk, "Space")
    assert desk.state.chosen_note.text.lower() == "chin in"
    assert not desk.state.playhead.is_playing, "what is typed is no command"


@pytest.mark.parametrize(("number", "kind"), list(enumerate(KIND_WORDS, 1)))
def test_digits_are_the_kinds(desk: DeskWindow, number: int, kind: str):
    press(desk, "Ctrl+Right")
    press(desk, str(number))
    assert desk.state.chosen_note.kind == kind


@pytest.mark.parametrize("tool", TOOL_WORDS)
def test_a_letter_takes_each_tool_and_lays_it_down(desk: DeskWindow, tool: str):
    key = TOOL_WORDS[tool][1]
    press(desk, key)
    assert desk.state.tool == tool
    button = desk.tools._tools[tool]
    assert isinstance(button, QToolButton) and button.isChecked()
    press(desk, key)
    assert desk.state.tool is None and not button.isChecked()


def test_m_sets_the_next_moment_that_is_not_set(desk: DeskWindow):
    press(desk, "M")
    assert "movement" in desk.bar.sentence
    desk.reviewing.set_movement("bend")
    for index in (3, 9, 15):
        desk.state.playhead.go_to(index)
        press(desk, "M")
    moments = {m.name: m.at_us for m in desk.state.document.review.moments}
    assert moments == {"start": 100_000, "deepest": 300_000, "back_up": 500_000}
    press(desk, "M")
    assert "All moments are set" in desk.bar.sentence


def test_the_climb_goes_up_to_what_is_open_and_f_tells_that_it_is_fine(desk: DeskWindow):
    state = desk.state
    assert state.rung == "whole"
    press(desk, "U")
    assert state.rung == "feet"
    press(desk, "F")
    assert state.document.review.looked_at == ("feet",)
    press(desk, "U")
    assert state.rung == "ankles"
    press(desk, "U")
    assert state.rung == "pelvis", "knees and hips have notes"
    press(desk, "Ctrl+Down")
    assert state.rung == "hips"


def test_facing_movement_and_the_part_to_send(desk: DeskWindow):
    document = desk.state.document
    press(desk, "Ctrl+Shift+R")
    assert document.review.facing == "right"
    desk.state.playhead.go_to(6)
    press(desk, "Ctrl+Home")
    desk.state.playhead.go_to(29)
    press(desk, "Ctrl+End")
    assert (document.review.part.start_us, document.review.part.end_us) == (200_000, 1_000_000)
    desk.state.playhead.go_to(40)
    press(desk, "Ctrl+Home")
    assert "end before it starts" in desk.bar.sentence
    assert document.review.part.start_us == 200_000
    press(desk, "Ctrl+Shift+Home")
    assert document.review.part is None


def test_delete_takes_the_note_and_one_click_brings_it_back(desk: DeskWindow):
    press(desk, "Ctrl+Right")
    press(desk, "Delete")
    assert [n.id for n in desk.state.document.review.notes] == ["n2"]
    assert desk.bar.earlier[0].words == "Undo"
    desk.bar.earlier[0].act()
    assert [n.id for n in desk.state.document.review.notes] == ["n1", "n2"]


def test_undo_and_redo_say_what_they_would_do(desk: DeskWindow):
    press(desk, "Ctrl+Shift+L")
    assert desk.commands.action("undo").text() == "Undo: facing left"
    press(desk, "Ctrl+Z")
    assert desk.state.document.review.facing is None
    assert desk.commands.action("redo").text() == "Redo: facing left"
    press(desk, "Ctrl+Y")
    assert desk.state.document.review.facing == "left"
    press(desk, "Ctrl+Z")
    press(desk, "Ctrl+Shift+Z")
    assert desk.state.document.review.facing == "left"


def test_a_time_or_a_frame_can_be_typed(desk: DeskWindow):
    for typed, index in (("0.5", 15), ("f 31", 31), ("0:01.2", 36), ("99", 59)):
        press(desk, "G")
        field = desk.focusWidget()
        for letter in typed:
            press(desk, {" ": "Space"}.get(letter, letter))
        press(desk, "Return")
        assert desk.state.playhead.index == index, typed
        assert desk.focusWidget() is not field
    press(desk, "G")
    press(desk, "X")
    press(desk, "Return")
    assert "is no time" in desk.bar.sentence and desk.state.playhead.index == 59
