"""A part of a page: a heading, what can be done about all of it, and its rows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final

from PyQt6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from cliptag.desk import look
from cliptag.desk.casebook.pieces import button, empty_out, words_label
from cliptag.desk.fields import heading

_SHOWN: Final = 30
"""So many rows stand at first; a person asks for more, since each costs time to make."""


class Section(QWidget):
    """Rows are made when they are shown, from the makers that ``fill`` is given."""

    def __init__(self, title: str, nothing: str, *, is_counted: bool = True) -> None:
        super().__init__()
        self._title, self._nothing, self._is_counted = title, nothing, is_counted
        self._makers: Sequence[Callable[[], QWidget]] = ()
        self._count = _SHOWN
        self._heading = heading(title)
        self._head = QHBoxLayout()
        self._head.addWidget(self._heading)
        self._head.addStretch(1)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(look.space(0.1))
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, look.space(0.3))
        layout.setSpacing(look.space(0.2))
        layout.addLayout(self._head)
        layout.addLayout(self._rows)

    def add_to_head(self, widget: QWidget) -> None:
        """Put a widget beside the heading."""
        self._head.addWidget(widget)

    def fill(self, makers: Sequence[Callable[[], QWidget]]) -> None:
        """Have other rows."""
        self._makers = makers
        count = f" ({len(makers)})" if makers and self._is_counted else ""
        self._heading.setText(f"{self._title}{count}")
        self._show()

    def say(self, sentence: str) -> None:
        """Say something else where there are no rows."""
        self._nothing = sentence
        self._show()

    def _show(self) -> None:
        empty_out(self._rows)
        for make in self._makers[: self._count]:
            row = make()
            self._rows.addWidget(row)
            row.show()  # at once, so that it can be given the keyboard
        left = len(self._makers) - self._count
        if left > 0:
            more = f"Show {min(left, _SHOWN)} more of {len(self._makers)}"
            self._rows.addWidget(button(more, self._more, role="link", key=f"more {self._title}"))
        if not self._makers and self._nothing:
            self._rows.addWidget(words_label(self._nothing, "quiet"))

    def _more(self) -> None:
        self._count += _SHOWN
        self._show()
