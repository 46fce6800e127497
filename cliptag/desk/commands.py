"""Every command of the desk, once: menu, tooltips, keys and the list of keys read this table."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from PyQt6.QtGui import QAction, QKeySequence
from PyQt6.QtWidgets import QWidget


def _always() -> bool:
    return True


@dataclass(frozen=True, slots=True)
class Command:
    """Something that a person can ask for.

    ``words`` say what it does, as a menu would. ``keys`` are portable key names ('Ctrl+Z'); the
    first is the one that is shown. ``group`` is the heading under which it is listed.
    """

    name: str
    words: str
    group: str
    run: Callable[[], object]
    keys: tuple[str, ...] = ()
    is_enabled: Callable[[], bool] = field(default=_always)
    is_repeating: bool = False
    """Whether holding the key down goes on."""


class Commands:
    """The table of commands, and one QAction for each that widgets and menus share."""

    def __init__(self, owner: QWidget, commands: Iterable[Command]) -> None:
        self._commands = {command.name: command for command in commands}
        self._actions = {name: _action(owner, c) for name, c in self._commands.items()}
        _refuse_twins(self._commands.values())
        for action in self._actions.values():
            owner.addAction(action)

    def action(self, name: str) -> QAction:
        """The action of a command, to put on a button or into a menu."""
        return self._actions[name]

    def by_group(self) -> dict[str, list[Command]]:
        """All commands under their headings, in the table's order."""
        groups: dict[str, list[Command]] = {}
        for command in self._commands.values():
            groups.setdefault(command.group, []).append(command)
        return groups

    def refresh(self) -> None:
        """Enable what can be done now and disable the rest."""
        for name, command in self._commands.items():
            self._actions[name].setEnabled(command.is_enabled())


def key_words(keys: str) -> str:
    """A key as this system writes it."""
    return QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)


def _action(owner: QWidget, command: Command) -> QAction:
    action = QAction(command.words, owner)
    action.setObjectName(command.name)
    action.setShortcuts([QKeySequence(keys) for keys in command.keys])
    action.setAutoRepeat(command.is_repeating)
    shown = f" ({key_words(command.keys[0])})" if command.keys else ""
    action.setToolTip(command.words + shown)
    action.triggered.connect(lambda _checked: command.run())
    return action


def _refuse_twins(commands: Iterable[Command]) -> None:
    seen: dict[str, str] = {}
    for command in commands:
        for keys in command.keys:
            if keys in seen:
                raise ValueError(f"{keys} means both {seen[keys]} and {command.name}")
            seen[keys] = command.name
