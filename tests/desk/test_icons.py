"""The desk's signs: each one is drawn, each differently, in the palette's colours."""

from __future__ import annotations

import pytest
from PyQt6.QtGui import QImage

from cliptag.desk import look
from cliptag.desk.icons import _SIGNS, picture, window_icon
from cliptag.desk.state import TOOLS


def pixels(name: str) -> bytes:
    image = picture(name, look.palette().colour("ink"), 24, 2).toImage()
    image = image.convertToFormat(QImage.Format.Format_ARGB32)
    return bytes(image.constBits().asarray(image.sizeInBytes()))


def test_every_tool_has_a_sign(qapp):
    assert set(TOOLS) <= set(_SIGNS)


@pytest.mark.parametrize("name", _SIGNS)
def test_a_sign_is_drawn_inside_its_square(qapp, name: str):
    image = picture(name, look.palette().colour("ink"), 24, 2).toImage()
    inked = [
        (x, y)
        for y in range(image.height())
        for x in range(image.width())
        if image.pixelColor(x, y).alpha() > 20
    ]
    assert len(inked) > 60
    edge = {0, image.width() - 1}
    assert not any(x in edge or y in edge for x, y in inked)


def test_no_two_signs_look_the_same(qapp):
    assert len({pixels(name) for name in _SIGNS}) == len(_SIGNS)


def test_the_programs_own_sign_is_there_in_every_size(qapp):
    sizes = {size.width() for size in window_icon().availableSizes()}
    assert {16, 32, 48, 256} <= sizes
