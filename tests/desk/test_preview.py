"""What the client will see, on the stage, and the way back to the review."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtGui import QImage
from support.desk import note, opened_desk, press, saved_review, small_clip

from cliptag.desk.window import DeskWindow

PATIENCE_MS = 20_000


@pytest.fixture(scope="module")
def review_path(tmp_path_factory: pytest.TempPathFactory) -> Path:
    clip = small_clip(tmp_path_factory.mktemp("preview"))
    return saved_review(clip, note(1, 200_000, 600_000, text="Let the knees come forward."))


@pytest.fixture
def desk(qtbot, review_path: Path):
    with opened_desk(review_path) as window:
        yield window


@pytest.fixture
def pictures(desk: DeskWindow) -> list[QImage]:
    seen: list[QImage] = []
    desk.preview.player.pictured.connect(seen.append)
    return seen


def start(qtbot, desk: DeskWindow, pictures: list[QImage]) -> None:
    press(desk, "Ctrl+P")
    qtbot.waitUntil(lambda: bool(pictures), timeout=PATIENCE_MS)
    qtbot.waitUntil(lambda: desk.preview.player.duration_us > 0, timeout=PATIENCE_MS)


def test_it_takes_the_place_of_the_clip_and_of_its_controls(qtbot, desk, pictures):
    start(qtbot, desk, pictures)
    assert desk.preview.is_on and desk.preview.row.isVisible()
    assert not desk.controls.isVisible() and not desk.tools.isEnabled()
    assert desk.preview.player.duration_us > 2_000_000, "a hold and cards are in it"
    press(desk, "Escape")
    assert not desk.preview.is_on and not desk.preview.row.isVisible()
    assert desk.controls.isVisible() and desk.tools.isEnabled()
    assert desk.focusWidget() is desk.stage


def test_space_plays_and_pauses_the_clients_video(qtbot, desk, pictures):
    start(qtbot, desk, pictures)
    qtbot.waitUntil(lambda: desk.preview.player.is_playing, timeout=PATIENCE_MS)
    press(desk, "Space")
    assert not desk.preview.player.is_playing and not desk.state.playhead.is_playing
    assert desk.preview.row.play_button.accessibleName() == "Play"
    press(desk, "Space")
    assert desk.preview.player.is_playing


def test_the_keyboard_finds_a_place_in_it(qtbot, desk, pictures):
    start(qtbot, desk, pictures)
    qtbot.waitUntil(lambda: desk.preview.player.is_playing, timeout=PATIENCE_MS)
    press(desk, "Space")
    before_us = desk.preview.player.position_us
    press(desk, "Right")
    assert desk.preview.is_on, "the arrow moves in the video, not in the clip"
    assert 500_000 < desk.preview.player.position_us - before_us < 1_500_000


def test_it_starts_where_the_coach_is(qtbot, desk, pictures):
    desk.state.playhead.go_to(30)
    start(qtbot, desk, pictures)
    timeline_us = desk.preview.player.position_us
    assert timeline_us > 1_000_000


def test_going_on_with_the_review_ends_it(qtbot, desk, pictures):
    for go_on in (
        lambda: desk.state.playhead.go_to(7),
        lambda: desk.reviewing.set_facing("left" if desk.reviewing.review.facing else "right"),
        lambda: press(desk, "J"),
        lambda: press(desk, "Ctrl+Right"),
    ):
        pictures.clear()
        desk.state.take_tool(None)
        start(qtbot, desk, pictures)
        go_on()
        assert not desk.preview.is_on


def test_the_note_that_was_chosen_is_chosen_again(qtbot, desk, pictures):
    press(desk, "Ctrl+Right")
    start(qtbot, desk, pictures)
    assert not desk.card.isVisible()
    press(desk, "Ctrl+P")
    assert desk.state.chosen_note.id == "n1" and desk.card.isVisible()


def test_preferences_reach_it(qtbot, desk, pictures):
    start(qtbot, desk, pictures)
    usual_us = desk.preview.player.duration_us
    press(desk, "Escape")
    pictures.clear()
    desk.preferences.set(reading_cps=8)
    start(qtbot, desk, pictures)
    assert desk.preview.player.duration_us > usual_us
    desk.preferences.set(sound=False)
    assert not desk.preview.player.sound.is_on
    desk.preferences.set(sound=True, reading_cps=17)


def test_a_part_that_cant_be_sent_is_told_in_the_bar(qtbot, desk, pictures):
    from cliptag.review import Part, edit

    document = desk.state.document
    wrong = Part(start_us=50_000_000, end_us=60_000_000)
    document.do(edit.with_fields(document.review, part=wrong), "a wrong part")
    press(desk, "Ctrl+P")
    qtbot.waitUntil(lambda: not desk.preview.is_on, timeout=PATIENCE_MS)
    assert "choose an earlier part" in desk.bar.sentence
    assert desk.controls.isVisible()
