"""Everything that can be asked of two reviews on the desk, in one table.

Going through both has the keys of going through one clip.
"""

from __future__ import annotations

from functools import partial
from typing import Final, Protocol

from cliptag.desk.actions import Row
from cliptag.desk.commands import Command
from cliptag.desk.pairing.arranging import GOAL_WORDS, SEE_STEP, Arranging
from cliptag.desk.pairing.going import Going
from cliptag.desk.pairing.side_page import Leaf
from cliptag.desk.pairing.state import PairState
from cliptag.review import KIND_WORDS

COMPARE, GO_BOTH, NOTE_BOTH = PAIR_GROUPS = (
    "Two reviews",
    "Go through both",
    "Notes and goals",
)
"""The headings of the table, and so the menus."""

_HELD_DOWN: Final = frozenset(
    (
        *("frame_on", "frame_back", "second_on", "second_back"),
        *("undo", "redo", "see_more", "see_less"),
    )
)
_GOAL_KEYS: Final = {"less": "Alt+Down", "more": "Alt+Up", None: "Alt+0"}


class PairShell(Protocol):
    """What these commands ask of the view and the window."""

    @property
    def is_exporting(self) -> bool: ...
    def export(self) -> None: ...
    def export_elsewhere(self) -> None: ...
    def stop_export(self) -> None: ...
    def open_review(self, which: int) -> None: ...
    def close_pair(self) -> None: ...
    def turn_to(self, leaf: Leaf) -> None: ...
    def toggle_page(self) -> None: ...
    def new_note(self) -> None: ...
    def write_note(self) -> None: ...


class PairActions:
    """Builds the table for a pairing view."""

    def __init__(
        self, state: PairState, arranging: Arranging, going: Going, shell: PairShell
    ) -> None:
        self._state, self._shell = state, shell
        self._arranging, self._going = arranging, going

    def table(self) -> tuple[Command, ...]:
        """Every command, in the order in which they are listed."""
        groups = {COMPARE: self._compare(), GO_BOTH: self._go(), NOTE_BOTH: self._note()}
        return tuple(
            Command(name, words, group, run, tuple(keys.split()), can, name in _HELD_DOWN)
            for group, rows in groups.items()
            for name, words, run, keys, can in rows
        )

    # fmt: off
    def _compare(self) -> list[Row]:
        shell, edits = self._shell, self._arranging
        is_open, can_export = self._is_open, self._can_export
        return [
            ("undo", "Undo", self._undo, "Ctrl+Z", self._can_undo),
            ("redo", "Redo", self._redo, "Ctrl+Shift+Z Ctrl+Y", self._can_redo),
            ("layout", "Side by side, above, or one over the other", edits.next_layout, "L",
             is_open),
            ("match", "Match at each moment, or at true speed from one", edits.next_match, "M",
             is_open),
            ("mirror", "Mirror the second if needed, always or never", edits.next_mirror, "R",
             is_open),
            ("swap", "Swap the two", edits.swap, "X", is_open),
            ("see_more", "See more of the second through the first", partial(self._see, 1), "+ =",
             self._is_over),
            ("see_less", "See less of the second through the first", partial(self._see, -1), "-",
             self._is_over),
            ("marks", "Show the marks, or the pictures alone", self._toggle_marks, "H", is_open),
            ("curve", "Next curve on the strip", partial(self._going.next_curve, 1), "C", is_open),
            ("curve_back", "Curve before", partial(self._going.next_curve, -1), "Shift+C", is_open),
            ("changed", "What changed", partial(shell.turn_to, "changed"), "T", is_open),
            ("notes", "Notes on both", partial(shell.turn_to, "notes"), "Shift+T", is_open),
            ("views", "How well the two views compare", partial(shell.turn_to, "views"), "V",
             is_open),
            ("page", "Show or hide the page at the side", shell.toggle_page, "P", is_open),
            ("export", "Make the comparison for the client", shell.export, "Ctrl+E", can_export),
            ("export_elsewhere", "Make the comparison in another folder\u2026",
             shell.export_elsewhere, "Ctrl+Shift+E", can_export),
            ("stop_export", "Stop making the comparison", shell.stop_export, "Ctrl+.",
             lambda: shell.is_exporting),
            ("first_review", "Go on with the first review", partial(shell.open_review, 0),
             "Ctrl+1", is_open),
            ("second_review", "Go on with the second review", partial(shell.open_review, 1),
             "Ctrl+2", is_open),
            ("close", "Close this comparison", shell.close_pair, "Ctrl+W", is_open),
        ]

    def _go(self) -> list[Row]:
        head, going = self._state.playhead, self._going
        moves, is_open, second = self._moves, self._is_open, 1_000_000
        return [
            ("play", "Play both or stand still", head.toggle, "Space", moves),
            ("frame_on", "One frame on", partial(head.step, 1), "Right", moves),
            ("frame_back", "One frame back", partial(head.step, -1), "Left", moves),
            ("second_on", "A second on", partial(head.jump_us, second), "Shift+Right", moves),
            ("second_back", "A second back", partial(head.jump_us, -second), "Shift+Left", moves),
            ("note_on", "Next note", partial(going.to_note, 1), "Ctrl+Right", is_open),
            ("note_back", "Note before", partial(going.to_note, -1), "Ctrl+Left", is_open),
            ("moment_on", "Next shared moment", partial(going.to_moment, 1), "Alt+Right", is_open),
            ("moment_back", "Shared moment before", partial(going.to_moment, -1), "Alt+Left",
             is_open),
            ("first", "First frame", partial(head.go_to, 0), "Home", moves),
            ("last", "Last frame", lambda: head.go_to(head.last_index), "End", moves),
            ("faster", "Faster", partial(going.change_speed, 1), "Up", moves),
            ("slower", "Slower", partial(going.change_speed, -1), "Down", moves),
            ("real_speed", "Real speed", partial(head.set_speed, 1.0), "0", moves),
        ]

    def _note(self) -> list[Row]:
        shell, edits, is_open = self._shell, self._arranging, self._is_open
        has_note, has_quantity = self._has_note, self._has_quantity
        return [
            ("new_note", "New note about this place", shell.new_note, "N", is_open),
            ("write", "Write in the chosen note", shell.write_note, "Return", has_note),
            ("note_here", "Move the chosen note here", edits.move_note_here, "Shift+N", has_note),
            ("delete_note", "Delete the chosen note", edits.delete_note, "Delete Backspace",
             has_note),
            *((f"kind_{kind}", f"Kind: {says}", partial(edits.set_kind, kind), f"{nr}", has_note)
              for nr, (kind, says) in enumerate(KIND_WORDS.items(), 1)),
            *((f"goal_{goal or 'none'}", f"Goal of the chosen number: {says.lower()}",
               partial(edits.set_goal, goal), _GOAL_KEYS[goal], has_quantity)
              for goal, says in GOAL_WORDS.items()),
        ]
    # fmt: on

    def _is_open(self) -> bool:
        return self._state.is_open

    def _moves(self) -> bool:
        return self._is_open() and self._state.playhead.last_index > 0

    def _is_over(self) -> bool:
        return self._is_open() and self._state.pairing.layout == "over"

    def _has_note(self) -> bool:
        return self._is_open() and self._state.chosen_note is not None

    def _has_quantity(self) -> bool:
        return self._state.difference is not None

    def _can_export(self) -> bool:
        return self._is_open() and not self._shell.is_exporting

    def _can_undo(self) -> bool:
        document = self._state.document
        return document is not None and document.undo_words is not None

    def _can_redo(self) -> bool:
        document = self._state.document
        return document is not None and document.redo_words is not None

    def _undo(self) -> None:
        if self._state.document is not None:
            self._state.document.undo()

    def _redo(self) -> None:
        if self._state.document is not None:
            self._state.document.redo()

    def _see(self, way: int) -> None:
        self._state.see(self._state.see_through + way * SEE_STEP)

    def _toggle_marks(self) -> None:
        self._state.show_marks(not self._state.shows_marks)
