"""Short lists that drop down over the desk: recent files, moments, movements."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPoint
from PyQt6.QtGui import QAction
from PyQt6.QtWidgets import QMenu

from cliptag.desk.proposals import moment_title
from cliptag.desk.reviewing import MOVEMENT_CHOICES
from cliptag.review import MOMENTS_OF

if TYPE_CHECKING:
    from cliptag.desk.window import DeskWindow


class DropMenus:
    """Built when they are asked for, from what is on the desk then; for arrow keys and Return."""

    def __init__(self, window: DeskWindow) -> None:
        self._window = window

    def show_recent(self) -> None:
        """Drop down the list of files that were open last."""
        menu = self._menu("Open recent")
        for path in self._window.remembered.recent:
            _add(menu, path.name, partial(self._window.open_path, path), hint=str(path))
        if menu.isEmpty():
            self._window.state.say("Nothing was open yet: Ctrl+O opens a clip.")
            return
        menu.addSeparator()
        _add(menu, "Forget these", self._window.forget_recent)
        self._drop(menu)

    def show_moments(self) -> None:
        """Drop down the moments of the movement, to set one here or take it away."""
        edits, state = self._window.reviewing, self._window.state
        review = edits.review
        if review is None:
            return
        names = MOMENTS_OF[review.movement]
        if not names:
            state.say("This movement has no moments: choose another one with Ctrl+M.")
            return
        number = edits.repetition_here()
        known = {moment.name for moment in review.moments if moment.repetition == number}
        title = partial(moment_title, repetition=number, is_one_of_several=number > 1)
        menu = self._menu("Moments")
        for name in names:
            verb = "Move here" if name in known else "Set here"
            _add(menu, f"{verb}: {title(name)}", partial(edits.set_moment, name, number))
        menu.addSeparator()
        for name in names:
            if name in known:
                take_away = partial(edits.remove_moment, name, number)
                _add(menu, f"Take away: {title(name)}", take_away)
        self._drop(menu)

    def show_movements(self) -> None:
        """Drop down the movements."""
        edits = self._window.reviewing
        review = edits.review
        if review is None:
            return
        menu = self._menu("Movement")
        for movement, words in MOVEMENT_CHOICES.items():
            _add(
                menu,
                words,
                partial(edits.set_movement, movement),
                is_on=movement == review.movement,
            )
        self._drop(menu)

    def _menu(self, name: str) -> QMenu:
        menu = QMenu(name, self._window)
        menu.setAccessibleName(name)
        menu.setToolTipsVisible(True)
        menu.aboutToHide.connect(menu.deleteLater)
        return menu

    def _drop(self, menu: QMenu) -> None:
        """Show a menu in the middle of the desk, its first line chosen."""
        body = self._window.centralWidget()
        assert body is not None
        size = menu.sizeHint()
        menu.popup(
            body.mapToGlobal(
                QPoint((body.width() - size.width()) // 2, (body.height() - size.height()) // 3)
            )
        )
        actions = menu.actions()
        menu.setActiveAction(actions[0])


def _add(
    menu: QMenu,
    words: str,
    run: Callable[[], object],
    *,
    hint: str = "",
    is_on: bool | None = None,
) -> None:
    action = QAction(words.replace("&", "&&"), menu)
    action.setToolTip(hint or words)
    if is_on is not None:
        action.setCheckable(True)
        action.setChecked(is_on)
    action.triggered.connect(lambda _checked: run())
    menu.addAction(action)
