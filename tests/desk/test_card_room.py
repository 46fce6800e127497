"""Stage and card: beside each other where the picture leaves room, and nothing jumps."""

from __future__ import annotations

from pathlib import Path

import pytest
from PyQt6.QtWidgets import QLabel
from support.desk import opened_desk
from support.media import make_clip

from cliptag.desk.card_room import CardRoom
from cliptag.desk.window import DeskWindow


@pytest.fixture(params=[(96, 160), (160, 96)], ids=["upright", "across"])
def desk(qtbot, tmp_path: Path, request):
    clip = make_clip(tmp_path / "ines.mp4", size=request.param, seconds=1.0)
    with opened_desk(clip) as window:
        yield window


def is_upright(desk: DeskWindow) -> bool:
    return desk.state.clip.info.height > desk.state.clip.info.width


def test_the_card_covers_no_upright_picture(qtbot, desk: DeskWindow):
    desk.resize(1280, 800)
    desk.reviewing.new_note()
    qtbot.wait(50)
    card, body = desk.card.geometry(), desk.card.parentWidget()
    view = desk.stage.viewport
    corner = desk.stage.mapTo(body, desk.stage.rect().topLeft())
    right_end = corner.x() + view.left + view.size[0]
    assert (card.left() >= right_end) == is_upright(desk)
    assert body.rect().contains(card)


def test_the_picture_stays_where_it_is_when_the_card_opens_and_closes(qtbot, desk: DeskWindow):
    qtbot.wait(50)
    before = (desk.stage.geometry(), desk.stage.viewport)
    desk.reviewing.new_note()
    qtbot.wait(50)
    assert (desk.stage.geometry(), desk.stage.viewport) == before
    desk.state.choose(None)
    qtbot.wait(50)
    assert (desk.stage.geometry(), desk.stage.viewport) == before


@pytest.mark.parametrize("size", [(1280, 800), (960, 540), (1920, 1080)])
def test_what_to_do_next_is_told_where_there_is_room_and_never_cut_off(qtbot, desk, size):
    desk.resize(*size)
    qtbot.wait(50)
    room = desk.stage.parentWidget()
    assert isinstance(room, CardRoom)
    hints = room._hints
    assert hints.isVisible() == (room.room_beside() > 0)
    for line in hints.findChildren(QLabel):
        if line.isVisible():
            assert line.height() >= line.heightForWidth(line.width()), line.text()
            assert hints.rect().contains(line.geometry())
    desk.reviewing.new_note()
    assert not hints.isVisible()
