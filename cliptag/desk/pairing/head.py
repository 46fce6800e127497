"""The window's first line while two reviews are on the desk: menus, undo and redo, export."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from PyQt6.QtCore import QSize, Qt
from PyQt6.QtGui import QAction, QResizeEvent
from PyQt6.QtWidgets import QHBoxLayout, QMenu, QMenuBar, QPushButton, QSizePolicy, QWidget

from cliptag.desk import look
from cliptag.desk.commands import Commands
from cliptag.desk.controls import button_for, dress
from cliptag.desk.pairing.actions import PAIR_GROUPS
from cliptag.desk.pairing.state import PairState

_MENUS: Final = dict(zip(PAIR_GROUPS, ("&Two reviews", "&Go", "&Notes and goals"), strict=True))
_AFTER_A_LINE: Final = frozenset(
    (
        *("layout", "see_more", "changed", "export", "first_review", "close"),
        *("note_on", "first", "faster", "note_here", "kind_seen", "goal_less"),
    )
)
"""The commands that start a new part of their menu."""
_ROOMY_EM: Final = 52.0
_LEAST_EM: Final = 30.0
_OF_DESK: Final = {
    "&File": ("open", "recent", "demo", "quit"),
    "&Help": ("keys", "message", "caution", "full_screen", "preferences"),
}


class PairHead(QWidget):
    """Tells what undo would take back before it is pressed."""

    def __init__(self, state: PairState, commands: Commands, desk: Commands) -> None:
        """``desk``: the desk's own commands, of which some hold here too."""
        super().__init__()
        self._state, self._commands = state, commands
        self.menus = QMenuBar()
        self.menus.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._add_menu("&File", (desk.action(name) for name in _OF_DESK["&File"]))
        for group, members in commands.by_group().items():
            self._add_menu(_MENUS[group], (commands.action(c.name) for c in members))
        self._add_menu("&Help", (desk.action(name) for name in _OF_DESK["&Help"]))
        self._undo = button_for(commands.action("undo"), "undo", "Undo")
        self._redo = button_for(commands.action("redo"), "redo")
        self._back = [QPushButton(), QPushButton()]
        for button, name in zip(self._back, ("first_review", "second_review"), strict=True):
            _press(button, commands.action(name))
        self._send = QPushButton("Make the comparison")
        self._send.setProperty("role", "main")
        _press(self._send, commands.action("export"))
        layout = QHBoxLayout(self)
        layout.setContentsMargins(0, look.space(0.2), look.space(0.4), look.space(0.2))
        layout.setSpacing(look.space(0.3))
        layout.addWidget(self.menus, 1)
        for widget in (self._undo, self._redo, *self._back, self._send):
            layout.addWidget(widget)
        for signal in (state.noted, state.compared, look.look().changed):
            signal.connect(self._show)

    def resizeEvent(self, event: QResizeEvent | None) -> None:  # noqa: N802 - Qt's name
        super().resizeEvent(event)
        has_room = self.width() > look.space(_ROOMY_EM)
        for button in self._back:
            button.setVisible(has_room)  # the menu has both too

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        return QSize(look.space(_LEAST_EM), super().minimumSizeHint().height())

    def _add_menu(self, title: str, actions: Iterable[QAction]) -> None:
        menu = QMenu(title, self.menus)
        for action in actions:
            if action.objectName() in _AFTER_A_LINE:
                menu.addSeparator()
            menu.addAction(action)
        self.menus.addMenu(menu)

    def _show(self) -> None:
        document, comparison = self._state.document, self._state.comparison
        if document is None or comparison is None:
            return
        for button, verb, words in (
            (self._undo, "Undo", document.undo_words),
            (self._redo, "Redo", document.redo_words),
        ):
            says = f"{verb}: {words}" if words else verb
            self._commands.action(verb.lower()).setText(says.replace("&", "&&"))
            button.setToolTip(says)
            button.setAccessibleName(says)
            dress(button)
        for side, back in zip(comparison.sides, self._back, strict=True):
            back.setText(side.words.replace("&", "&&"))
            back.setAccessibleName(f"Go on with the review of {side.words}")


def _press(button: QPushButton, action: QAction) -> None:
    button.setToolTip(action.toolTip())
    button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
    button.clicked.connect(lambda: action.trigger())
    action.changed.connect(lambda: button.setEnabled(action.isEnabled()))
    button.setEnabled(action.isEnabled())
