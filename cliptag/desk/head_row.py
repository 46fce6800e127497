"""The window's first line: the menus, and at its right undo and redo, preview, take-home."""

from __future__ import annotations

from typing import Final

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeySequence
from PyQt6.QtWidgets import QHBoxLayout, QMenu, QMenuBar, QPushButton, QSizePolicy, QWidget

from cliptag.desk import look
from cliptag.desk.actions import GROUPS
from cliptag.desk.commands import Commands
from cliptag.desk.controls import button_for, dress
from cliptag.desk.state import DeskState

_MENUS: Final = dict(
    zip(
        GROUPS,
        ("&Clip", "&Go", "&Note", "&Mark", "Clim&b", "&Look", "C&asebook", "&Help"),
        strict=True,
    )
)
_AFTER_A_LINE: Final = frozenset(
    (
        *("about_clip", "preview", "send_from", "close", "note_on", "first", "loop"),
        *("kind_seen", "note_earlier", "tool_joint", "tool_scale", "step_back"),
        *("fine", "next_moment", "facing_left", "references", "strip_in", "sound", "preferences"),
        *("add_clips", "make_all_due"),
    )
)
"""The commands that start a new part of their menu."""
_MOST_LETTERS: Final = 36


class HeadRow(QWidget):
    """Tells what undo would take back before it is pressed."""

    def __init__(self, state: DeskState, commands: Commands) -> None:
        super().__init__()
        self._state = state
        self._is_away = False
        self._commands = commands
        self.menus = _menu_bar(commands)
        self._undo = button_for(commands.action("undo"), "undo", "Undo")
        self._redo = button_for(commands.action("redo"), "redo")
        self._preview = button_for(commands.action("preview"), "preview", "Preview")
        action = commands.action("take_home")
        self._send = QPushButton(action.text())
        self._send.setToolTip(action.toolTip())
        self._send.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._send.setProperty("role", "main")
        self._send.clicked.connect(lambda: action.trigger())
        action.changed.connect(lambda: self._send.setEnabled(action.isEnabled()))
        self._send.setEnabled(action.isEnabled())
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, look.space(0.2), look.space(0.4), look.space(0.2))
        layout.setSpacing(look.space(0.3))
        layout.addWidget(self.menus, 1)
        for widget in (self._undo, self._redo, self._preview, self._send):
            layout.addWidget(widget)
        state.reviewed.connect(self._show)
        state.opened.connect(self._show)
        look.look().changed.connect(self._show)
        self._show()

    def show_work(self, is_shown: bool) -> None:
        """Show what belongs to the clip on the stage, or only the menus."""
        self._is_away = not is_shown
        self._show()

    def _show(self) -> None:
        document = self._state.document
        undo = document.undo_words if document else None
        redo = document.redo_words if document else None
        for button, verb, words in ((self._undo, "Undo", undo), (self._redo, "Redo", redo)):
            says = f"{verb}: {words}" if words else verb
            action = self._commands.action(verb.lower())
            action.setText(says.replace("&", "&&"))
            key = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            button.setToolTip(f"{says} ({key})")
            button.setAccessibleName(says)
            dress(button)
        self._undo.setText(_short(f"Undo: {undo}" if undo else "Undo").replace("&", "&&"))
        dress(self._preview)
        for widget in (self._undo, self._redo, self._preview, self._send):
            widget.setVisible(document is not None and not self._is_away)


def _menu_bar(commands: Commands) -> QMenuBar:
    bar = QMenuBar()
    bar.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
    for group, members in commands.by_group().items():
        menu = QMenu(_MENUS[group], bar)
        for command in members:
            if command.name in _AFTER_A_LINE:
                menu.addSeparator()
            menu.addAction(commands.action(command.name))
        bar.addMenu(menu)
    return bar


def _short(words: str) -> str:
    return words if len(words) <= _MOST_LETTERS else f"{words[: _MOST_LETTERS - 1].rstrip()}\u2026"
