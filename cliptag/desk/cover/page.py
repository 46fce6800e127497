"""The page 'Cover': where a face may be open, and the areas that were placed by hand."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final

from PyQt6.QtGui import QAction
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QSizePolicy, QVBoxLayout, QWidget

from cliptag.cover import WHY_WORDS, Doubt
from cliptag.desk import look
from cliptag.desk.cover.board import CoverBoard
from cliptag.desk.cover.model import CoverModel
from cliptag.desk.fields import TickBox, heading, quiet
from cliptag.desk.side_panel import SidePanel
from cliptag.desk.stage import StageView
from cliptag.desk.state import DeskState
from cliptag.review import CoverArea, CoverKind

_KIND_WORDS: Final[dict[CoverKind, str]] = {"head": "Head", "other": "Seen by nobody"}


class CoverPage(SidePanel):
    """Its areas lie over the stage for as long as it is open."""

    def __init__(
        self,
        state: DeskState,
        stage: StageView,
        make_take_home: QAction,
        host: QWidget,
        above: QWidget,
    ) -> None:
        super().__init__("Cover", host, width=24.0, above=above)
        self._state = state
        self.model = CoverModel(state, self)
        self.board = CoverBoard(self.model, stage)
        self._rows: dict[str, tuple[object, QWidget]] = {}
        self._status = QLabel()
        self._status.setWordWrap(True)
        self._status.setProperty("role", "strong")
        self._covered = TickBox("Show it as it will leave")
        self._covered.clicked.connect(self.model.show_covered)
        self._doubts, self._placed = _list(), _list()
        self._make = _button(make_take_home.text(), "Beside the clip", make_take_home.trigger)
        self._make.setProperty("role", "main")
        self._lay_out()
        self.model.changed.connect(self._show)
        state.tool_changed.connect(lambda: self.board.let_through(state.tool is not None))
        self.brought.connect(lambda: self._turn(True))
        self.closed.connect(lambda: self._turn(False))
        self.destroyed.connect(self.model.close)

    def bring(self) -> None:
        """Show the page, unless there is no clip that it could speak of."""
        if self._state.document is not None:
            super().bring()

    def _lay_out(self) -> None:
        add = self.body.addWidget
        add(
            quiet(
                "Where a video is made to be shown with the face covered, these areas are "
                "destroyed in it and in every picture beside it."
            )
        )
        add(self._status)
        add(self._covered)
        add(self._doubts)
        self._by_hand = heading("Placed by hand")
        add(self._by_hand)
        add(self._placed)
        buttons = QHBoxLayout()
        head = "Cover a head on this frame (H)"
        other = "Cover what nobody shall see, in every video (Shift+H)"
        buttons.addWidget(_button("Head here", head, lambda: self.place_new("head")))
        buttons.addWidget(_button("Something else here", other, lambda: self.place_new("other")))
        buttons.addStretch(1)
        self.body.addLayout(buttons)
        add(
            quiet(
                "Drag an area on the picture to place it on this frame, its edge to size it. "
                "Between two frames on which it was placed it moves straight."
            )
        )
        add(self._make)
        self.body.addStretch(1)

    def place_new(self, what: CoverKind) -> None:
        """Cover something on the shown frame; the keyboard goes to it."""
        self.model.place(what)
        self.board.setFocus()

    def _turn(self, is_on: bool) -> None:
        self.model.turn_on(is_on)
        self.board.show_over(is_on)
        self._show()

    def _show(self) -> None:
        if self._state.document is None:
            self.put_away()
            return
        if not self.isVisible():
            return
        model = self.model
        self._status.setText(_status_words(model))
        self._covered.setChecked(model.is_previewed)
        wanted: dict[str, tuple[object, Callable[[], QWidget]]] = {}
        here = model.doubt_here()
        for doubt in model.doubts:
            is_here = doubt == here
            make = partial(self._doubt_row, doubt, is_here)
            wanted[f"doubt {doubt.first}"] = (doubt, is_here), make
        for area, _ in model.placed():
            key = (area, model.is_key_here(area), model.chosen == area)
            wanted[f"area {area.id}"] = key, partial(self._area_row, area)
        self._fill(wanted)
        self._by_hand.setVisible(bool(model.placed()))

    def _fill(self, wanted: dict[str, tuple[object, Callable[[], QWidget]]]) -> None:
        """Make only those rows anew whose words are others."""
        for name in [n for n, (key, _) in self._rows.items() if wanted.get(n, (None,))[0] != key]:
            gone = self._rows.pop(name)[1]
            gone.hide()
            gone.deleteLater()
        for name, (key, make) in wanted.items():
            if name not in self._rows:
                self._rows[name] = key, make()
            holder = self._doubts if name.startswith("doubt") else self._placed
            layout = holder.layout()
            assert layout is not None
            layout.addWidget(self._rows[name][1])  # one that is there already goes to the end

    def _doubt_row(self, doubt: Doubt, is_here: bool) -> QWidget:
        start, end = (f"{at_us / 1e6:.1f}" for at_us in (doubt.start_us, doubt.end_us))
        seconds = f"{start} s" if start == end else f"{start} – {end} s"
        go = _button(seconds, f"Go there: {WHY_WORDS[doubt.why]}", lambda: self.model.go_to(doubt))
        go.setProperty("role", "choice")
        go.setCheckable(True)
        go.setChecked(is_here)
        fine = _button("Fine", f"No face is open at {seconds}", lambda: self.model.is_fine(doubt))
        return _row(go, quiet(_first_large(WHY_WORDS[doubt.why])), fine)

    def _area_row(self, area: CoverArea) -> QWidget:
        times = "once" if len(area.keys) == 1 else f"on {len(area.keys)} frames"
        name = QLabel(f"{_KIND_WORDS[area.what]}, placed {times}")
        name.setWordWrap(True)
        parts: list[QWidget] = [name]
        if self.model.is_key_here(area) and len(area.keys) > 1:
            words = "Take back where it was placed on this frame"
            parts.append(_button("Not here", words, lambda: self.model.take_back_here(area.id)))
        remove = _button("Remove", "Cover it no longer", lambda: self.model.remove(area.id))
        return _row(*parts, remove)


def _status_words(model: CoverModel) -> str:
    if model.trouble:
        return model.trouble
    if model.is_looking:
        return f"Looking for faces… {model.progress * 100:.0f} %"
    count = len(model.doubts)
    if not count:
        return "On every frame that is sent, a face was found or you looked."
    stretches = "one stretch" if count == 1 else f"{count} stretches"
    return f"A face may be open on {stretches}: look, then place an area or press Fine."


def _list() -> QWidget:
    holder = QWidget()
    holder.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
    layout = QVBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(look.space(0.3))
    return holder


def _row(first: QWidget, *others: QWidget) -> QWidget:
    holder = QWidget()
    layout = QHBoxLayout(holder)
    layout.setContentsMargins(0, 0, 0, 0)
    layout.setSpacing(look.space(0.4))
    for widget in (first, *others):
        layout.addWidget(widget, 1 if isinstance(widget, QLabel) else 0)
    return holder


def _button(words: str, says: str, act: Callable[..., object]) -> QPushButton:
    button = QPushButton(words)
    button.setToolTip(says)
    button.setAccessibleName(f"{words}: {says}")
    button.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
    button.clicked.connect(act)
    return button


def _first_large(words: str) -> str:
    return words[:1].upper() + words[1:]
