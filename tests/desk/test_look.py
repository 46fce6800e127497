"""The desk's colours: readable by WCAG 2.2's contrast, light and dark as the system is."""

from __future__ import annotations

from itertools import product

import pytest
import wcag_contrast_ratio
from PyQt6.QtCore import Qt
from PyQt6.QtGui import QColor
from PyQt6.QtWidgets import QApplication, QLabel

from cliptag.desk import look
from cliptag.desk.look import PALETTES, Palette

GROUNDS = ("ground", "plate", "well", "chosen")
INKS = ("ink", "quiet_ink", "accent", "danger")
PARTS = ("edge", "focus")
NAMED = {f"{'dark' if dark else 'light'} {name}": p for (dark, name), p in PALETTES.items()}


def contrast(colours: Palette, first: str, second: str) -> float:
    """By a library that isn't ours; WCAG 2.2 forbids rounding before the comparison."""
    pair = [QColor(getattr(colours, name)).getRgbF()[:3] for name in (first, second)]
    return wcag_contrast_ratio.rgb(*pair)


@pytest.fixture(autouse=True)
def plain_look(qapp: QApplication):
    look.look().set("system", "normal", 1.0)
    yield
    look.look().set("system", "normal", 1.0)


@pytest.mark.parametrize("name", NAMED)
@pytest.mark.parametrize(("ink", "ground"), [*product(INKS, GROUNDS), ("on_accent", "accent")])
def test_every_ink_is_readable_on_every_ground(name: str, ink: str, ground: str):
    # WCAG 2.2, 1.4.3 (AA) asks 4.5:1 of text, 1.4.6 (AAA) 7:1.
    least = 7.0 if "strong" in name else 4.5
    assert contrast(NAMED[name], ink, ground) >= least, (name, ink, ground)


@pytest.mark.parametrize("name", NAMED)
@pytest.mark.parametrize(("part", "ground"), [*product(PARTS, GROUNDS)])
def test_the_edge_of_a_control_and_the_focus_ring_stand_out(name: str, part: str, ground: str):
    # WCAG 2.2, 1.4.11: 3:1 for what one needs to see in order to use a control.
    assert contrast(NAMED[name], part, ground) >= 3.0, (name, part, ground)


def test_colours_follow_the_system_while_it_runs_unless_told_otherwise(qtbot, qapp: QApplication):
    hints = qapp.styleHints()
    try:
        hints.colorSchemeChanged.emit(Qt.ColorScheme.Dark)
        assert look.palette() == look.DARK
        hints.colorSchemeChanged.emit(Qt.ColorScheme.Light)
        assert look.palette() == look.LIGHT
        look.look().set("light", "normal", 1.0)
        hints.colorSchemeChanged.emit(Qt.ColorScheme.Dark)
        assert look.palette() == look.LIGHT
    finally:
        hints.colorSchemeChanged.emit(Qt.ColorScheme.Light)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("strength", ["normal", "strong"])
def test_a_plain_widget_is_painted_in_the_chosen_colours(qtbot, scheme, strength):
    look.look().set(scheme, strength, 1.0)
    label = QLabel()
    qtbot.addWidget(label)
    label.resize(20, 20)
    ground = label.grab().toImage().pixelColor(10, 10)
    assert ground == look.palette().colour("ground")
    assert look.palette() == PALETTES[scheme == "dark", strength]


def test_lengths_and_fonts_grow_with_the_text_size(qtbot):
    before, title = look.space(2), look.font(1.5).pointSizeF()
    look.look().set("system", "normal", 2.0)
    assert look.space(2) == pytest.approx(2 * before, rel=0.1)
    assert look.font(1.5).pointSizeF() == pytest.approx(2 * title)


def test_text_is_never_smaller_than_ten_points(qtbot):
    assert QApplication.font().pointSizeF() >= 10.0


def test_a_change_is_told_once_and_only_if_it_is_one(qtbot):
    with qtbot.waitSignal(look.look().changed):
        look.look().set("dark", "normal", 1.0)
    with qtbot.assertNotEmitted(look.look().changed):
        look.look().set("dark", "normal", 1.0)
