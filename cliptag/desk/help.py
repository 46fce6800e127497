"""The list of keys: every command, what it does and how it is reached, searchable."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QGridLayout, QLabel, QLineEdit, QWidget

from cliptag.desk import look
from cliptag.desk.commands import Command, Commands, key_words
from cliptag.desk.fields import heading, quiet
from cliptag.desk.side_panel import SidePanel


class KeysPage(SidePanel):
    """Reads the table of commands, so nothing can be missing from it."""

    def __init__(self, commands: Sequence[Commands], host: QWidget) -> None:
        super().__init__("Keys", host, width=27.0)
        self._search = QLineEdit()
        self._search.setPlaceholderText("Search, such as 'note' or 'Ctrl'")
        self._search.setAccessibleName("Search the keys")
        self._search.setToolTip("Show only the lines with these letters")
        self._search.setClearButtonEnabled(True)
        self._search.textChanged.connect(self._filter)
        self._nothing = quiet("No key has these letters in its line.")
        self._nothing.hide()
        self._outer.insertWidget(1, self._search)
        self.body.addWidget(self._nothing)
        self._groups: list[tuple[QLabel, QWidget, list[tuple[str, QLabel, QLabel]]]] = []
        for table in commands:
            for group, members in table.by_group().items():
                self._add_group(group, members)
        self.body.addStretch(1)

    @property
    def shown(self) -> tuple[str, ...]:
        """What the lines say that can be seen now."""
        return tuple(
            words
            for _, holder, lines in self._groups
            if not holder.isHidden()
            for words, what, _ in lines
            if not what.isHidden()
        )

    def focus_first(self) -> None:
        """The keyboard goes to the search, its last words chosen so that typing replaces them."""
        self._search.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._search.selectAll()

    def _add_group(self, group: str, members: list[Command]) -> None:
        title = heading(group)
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(look.space(0.8))
        grid.setVerticalSpacing(look.space(0.25))
        grid.setColumnStretch(0, 1)
        lines = []
        for number, command in enumerate(members):
            what, keys = QLabel(command.words), QLabel(keys_of(command))
            what.setWordWrap(True)
            keys.setAlignment(Qt.AlignmentFlag.AlignRight)
            keys.setProperty("role", "key")
            grid.addWidget(what, number, 0)
            grid.addWidget(keys, number, 1)
            lines.append((f"{command.words}\t{keys.text()}", what, keys))
        self.body.addWidget(title)
        self.body.addWidget(holder)
        self._groups.append((title, holder, lines))

    def _filter(self, letters: str) -> None:
        wanted = letters.strip().casefold()
        any_shown = False
        for title, holder, lines in self._groups:
            group_shown = False
            for words, what, keys in lines:
                is_shown = wanted in words.casefold()
                what.setVisible(is_shown)
                keys.setVisible(is_shown)
                group_shown |= is_shown
            title.setVisible(group_shown)
            holder.setVisible(group_shown)
            any_shown |= group_shown
        self._nothing.setVisible(not any_shown)


def keys_of(command: Command) -> str:
    """All keys of a command as this system writes them; where to find it if it has none."""
    if command.keys:
        return "  or  ".join(key_words(keys) for keys in command.keys)
    return f"menu {command.group}"
