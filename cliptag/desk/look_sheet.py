"""The style sheet: Qt's plain Fusion controls in the desk's colours and proportions."""

from __future__ import annotations

from collections.abc import Mapping
from string import Template
from typing import Final

_SHEET: Final = Template(
    """
QToolTip { background: $plate; color: $ink; border: 1px solid $edge; padding: ${tight}px; }

QPushButton, QToolButton {
    background: transparent; color: $ink; border: 1px solid transparent;
    border-radius: ${round}px; padding: ${tight}px ${near}px;
}
QPushButton, QToolButton, QCheckBox { outline: none; }
QPushButton { background: $plate; border-color: $edge; padding: ${tight}px ${wide}px; }
QPushButton:hover, QToolButton:hover { background: $chosen; }
QPushButton:pressed, QToolButton:pressed, QToolButton:checked, QPushButton:checked {
    background: $chosen; color: $accent; border-color: $accent;
}
QPushButton:focus, QToolButton:focus { border: 2px solid $focus; padding: ${tight_focus}px; }
QPushButton:focus { padding: ${tight_focus}px ${wide_focus}px; }
QToolButton:focus { padding: ${tight_focus}px ${near_focus}px; }
QPushButton:disabled, QToolButton:disabled { color: $quiet_ink; border-color: $hairline; }
QToolButton:disabled { border-color: transparent; }
QPushButton[role="main"] { background: $accent; color: $on_accent; border-color: $accent; }
QPushButton[role="main"]:hover { background: $ink; color: $ground; }
QPushButton[role="main"]:focus { background: $plate; color: $accent; border: 2px solid $focus; }
QPushButton[role="main"]:disabled {
    background: $hairline; color: $quiet_ink; border-color: $hairline;
}
QToolButton[role="fold"], QToolButton[role="fold"]:checked {
    background: transparent; border-color: transparent; color: $ink; font-weight: 600;
}
QToolButton[role="fold"]:hover { background: $chosen; }
QToolButton[role="fold"]:focus { border: 2px solid $focus; }
QToolButton[role="tool"] { padding: ${tight}px ${tight}px; }
QToolButton[role="tool"]:focus { padding: ${tight_focus}px ${tight_focus}px; }
QToolButton::menu-indicator { image: none; width: 0; }

QLineEdit, QPlainTextEdit, QTextEdit, QComboBox, QSpinBox, QDoubleSpinBox, QDateEdit {
    background: $plate; color: $ink; border: 1px solid $edge; border-radius: ${round}px;
    padding: ${tight}px; selection-background-color: $accent; selection-color: $on_accent;
}
QLineEdit:focus, QPlainTextEdit:focus, QTextEdit:focus, QComboBox:focus, QSpinBox:focus,
QDoubleSpinBox:focus, QDateEdit:focus { border: 2px solid $focus; padding: ${tight_focus}px; }
QComboBox::drop-down { border: none; width: ${arrow}px; }

QComboBox { padding-left: ${near}px; combobox-popup: 0; }
QComboBox:focus { padding-left: ${near_focus}px; }
QMenuBar { background: transparent; color: $ink; }
QMenuBar::item { background: transparent; padding: ${tight}px ${near}px; }
QMenuBar::item:selected { background: $chosen; }
QMenu { background: $plate; color: $ink; border: 1px solid $edge; padding: ${tight}px 0; }
QMenu::item { padding: ${tight}px ${wide}px; }
QMenu::item:selected { background: $chosen; color: $ink; }
QMenu::item:disabled { color: $quiet_ink; }
QMenu::separator { height: 1px; background: $hairline; margin: ${tight}px ${near}px; }

QProgressBar { background: $well; border: 1px solid $edge; border-radius: ${tight}px; }
QProgressBar::chunk { background: $accent; border-radius: ${tight}px; }

QSlider:horizontal { min-height: ${arrow}px; }
QSlider::groove:horizontal { background: $edge; height: ${tight}px; border-radius: 2px; }
QSlider::sub-page:horizontal { background: $accent; height: ${tight}px; border-radius: 2px; }
QSlider::handle:horizontal {
    background: $plate; border: 2px solid $accent; border-radius: ${near}px;
    width: ${wide_focus}px; margin: -${near_focus}px 0;
}
QSlider::handle:horizontal:focus { background: $accent; }

QScrollBar { background: transparent; border: none; margin: 0; }
QScrollBar:vertical { width: ${bar}px; }
QScrollBar:horizontal { height: ${bar}px; }
QScrollBar::handle { background: $edge; border-radius: ${bar_round}px; }
QScrollBar::handle:vertical { min-height: ${wide}px; }
QScrollBar::handle:horizontal { min-width: ${wide}px; }
QScrollBar::add-line, QScrollBar::sub-line { width: 0; height: 0; }
QScrollBar::add-page, QScrollBar::sub-page { background: transparent; }
QScrollArea { border: none; background: transparent; }
QScrollArea > QWidget > QWidget { background: transparent; }

QLabel[role="title"] { font-size: ${title}pt; font-weight: 600; }
QLabel[role="page"] { font-size: ${lead}pt; font-weight: 600; }
QLabel[role="lead"] { font-size: ${lead}pt; }
QLabel[role="heading"] { font-size: ${heading}pt; font-weight: 600; padding-top: ${near}px; }
QLabel[role="strong"] { font-weight: 600; }
QLabel[role="quiet"] { color: $quiet_ink; }
QLabel[role="trouble"] { color: $danger; }
QLabel[role="key"] { color: $accent; font-weight: 600; }
QPushButton[role="choice"] { padding: ${tight}px ${near}px; }
QPushButton[role="choice"]:checked { background: $accent; color: $on_accent; }
QPushButton[role="choice"]:focus { padding: ${tight_focus}px ${near_focus}px; }
QPushButton[role="link"] {
    background: transparent; border-color: transparent; color: $accent; text-align: left;
    padding: ${tight}px;
}
QPushButton[role="link"]:hover { background: $chosen; }
"""
)


def sheet_of(colours: Mapping[str, str], points: float, text_height: float) -> str:
    """The sheet for a palette's colours by token, a font's size and its height in pixels."""
    tight, near, wide = (max(2, round(part * text_height)) for part in (0.2, 0.4, 0.8))
    bar = max(6, round(0.5 * text_height))
    return _SHEET.substitute(
        colours,
        arrow=round(1.2 * text_height),
        round=max(2, round(0.25 * text_height)),
        tight=tight,
        near=near,
        wide=wide,
        # A focus ring is 1 px wider than the edge: what is inside must not move.
        tight_focus=tight - 1,
        near_focus=near - 1,
        wide_focus=wide - 1,
        title=round(2.0 * points, 1),
        lead=round(1.25 * points, 1),
        heading=round(1.12 * points, 1),
        bar=bar,
        bar_round=bar // 2,
    )
