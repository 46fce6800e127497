"""Everything that can be asked of the desk, in one table.

The keys follow one thought: the arrow alone goes by a frame, with Shift by a second, with Ctrl by a
note, with Alt by a moment. A letter alone takes a tool or does one thing to the review; digits are
the kinds of a note. With Ctrl, a letter does something to the file or the window.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Final, Protocol, TypeAlias

from cliptag.desk.commands import Command
from cliptag.desk.cover_commands import CoverCommands
from cliptag.desk.movement import MovementSteps
from cliptag.desk.moving import Moving
from cliptag.desk.reviewing import Reviewing
from cliptag.desk.state import TOOLS, DeskState, Tool
from cliptag.review import KIND_WORDS, Facing

CLIP, GO, NOTE, MARK, CLIMBING, LOOK, CASEBOOK, HELP = GROUPS = (
    "Clip",
    "Go",
    "Note",
    "Mark",
    "Climb",
    "Look",
    "Casebook",
    "Help",
)
"""The headings of the table, and so the menus."""

TOOL_WORDS: Final[dict[Tool, tuple[str, str]]] = {
    "arrow": ("Arrow", "A"),
    "ring": ("Ring", "R"),
    "shade": ("Shade", "S"),
    "stroke": ("Pen", "P"),
    "line": ("Line", "L"),
    "plumb": ("Vertical", "V"),
    "joint": ("Joint", "J"),
    "tilt": ("Tilt", "T"),
    "span": ("Distance", "D"),
    "between": ("Lines", "X"),
    "point": ("Follow", "K"),
    "scale": ("Scale", "C"),
    "plumb_line": ("Plumb", "B"),
}
"""What each tool is called on the desk, and its key."""

TOOL_HELP: Final[dict[Tool, str]] = {
    "arrow": "Draw an arrow",
    "ring": "Draw a ring",
    "shade": "Shade an area",
    "stroke": "Draw with the pen",
    "line": "Draw a line",
    "plumb": "Draw a vertical through a point",
    "joint": "Measure a joint angle by three points",
    "tilt": "Measure a tilt from the vertical by two points",
    "span": "Measure a distance",
    "between": "Measure the angle between two lines",
    "point": "Place points to follow through the clip",
    "scale": "Set the scale by a length that you know",
    "plumb_line": "Show what is truly vertical, such as a door frame",
}
assert tuple(TOOL_WORDS) == tuple(TOOL_HELP) == TOOLS


class PointCommands(Protocol):
    """What commands ask of the points that are followed, and of marks that go with them."""

    def toggle_shown(self) -> None: ...
    def repeat(self) -> None: ...
    def can_repeat(self) -> bool: ...
    def toggle_follows(self) -> None: ...
    def can_follow(self) -> bool: ...
    def take_back(self) -> None: ...
    def can_take_back(self) -> bool: ...
    def drop(self) -> None: ...
    def can_drop(self) -> bool: ...
    def stop_or_go_on(self) -> None: ...
    def can_stop_or_go_on(self) -> bool: ...


class CasebookCommands(Protocol):
    """What commands ask of the casebook."""

    def find(self) -> None: ...
    def show_day(self) -> None: ...
    def add_client(self) -> None: ...
    def choose_clips(self) -> None: ...
    def can_choose_clips(self) -> bool: ...
    def ask_consent(self) -> None: ...
    def can_ask_consent(self) -> bool: ...
    def finish(self) -> None: ...
    def can_finish(self) -> bool: ...
    def make_all_due(self) -> None: ...
    def can_make_all_due(self) -> bool: ...


class Shell(Protocol):
    """What commands ask of the window."""

    @property
    def is_elsewhere(self) -> bool: ...
    @property
    def casebook(self) -> CasebookCommands: ...
    @property
    def can_stop_export(self) -> bool: ...
    def toggle_casebook(self) -> None: ...

    @property
    def is_exporting(self) -> bool: ...
    def choose_file(self) -> None: ...
    def show_recent(self) -> None: ...
    def open_demo(self) -> None: ...
    def close_clip(self) -> None: ...
    def quit(self) -> None: ...
    def make_take_home(self) -> None: ...
    def make_take_home_elsewhere(self) -> None: ...
    def make_take_home_covered(self) -> None: ...
    def stop_take_home(self) -> None: ...
    def compare(self) -> None: ...
    def play(self) -> None: ...
    def preview(self) -> None: ...
    def show_clip_page(self) -> None: ...
    def show_movement(self) -> None: ...
    def show_methods(self) -> None: ...
    def show_cover(self) -> None: ...
    @property
    def cover(self) -> CoverCommands: ...
    def show_preferences(self) -> None: ...
    def show_keys(self) -> None: ...
    def show_caution(self) -> None: ...
    def show_moments(self) -> None: ...
    def show_movements(self) -> None: ...
    def type_time(self) -> None: ...
    def new_note(self) -> None: ...
    def write_note(self) -> None: ...
    def speak_note(self) -> None: ...
    def speak_clip(self) -> None: ...
    def write_impression(self) -> None: ...
    def delete_chosen(self) -> None: ...
    def take_tool(self, tool: Tool) -> None: ...
    def copy_mark_here(self) -> None: ...
    def step_back(self) -> None: ...
    def zoom_in(self) -> None: ...
    def zoom_out(self) -> None: ...
    def fit(self) -> None: ...
    def actual_size(self) -> None: ...
    def zoom_strip_in(self) -> None: ...
    def zoom_strip_out(self) -> None: ...
    def show_whole_strip(self) -> None: ...
    def toggle_references(self) -> None: ...
    @property
    def points(self) -> PointCommands: ...
    def move_note(self, by: int) -> None: ...
    def can_move_note(self) -> bool: ...
    def toggle_sound(self) -> None: ...
    def toggle_full_screen(self) -> None: ...
    def read_message(self) -> None: ...
    def next_part(self) -> None: ...


Row: TypeAlias = tuple[str, str, Callable[[], object], str, Callable[[], bool]]
"""Name, words, what runs, its keys parted by spaces, when it can be done."""

_HELD_DOWN: Final = frozenset(
    (
        "frame_on",
        "frame_back",
        "second_on",
        "second_back",
        "undo",
        "redo",
        "zoom_in",
        "zoom_out",
        "strip_in",
        "strip_out",
    )
)
"""What goes on as long as its key is held."""


_EVERYWHERE: Final = frozenset(
    (
        *("open", "recent", "demo", "stop_take_home", "quit", "step_back"),
        *("sound", "full_screen", "next_part", "preferences"),
    )
)
"""What can be done while another view than the stage is shown, with all of CASEBOOK and HELP."""


class Actions:
    """Builds the table for a desk."""

    def __init__(self, state: DeskState, reviewing: Reviewing, shell: Shell) -> None:
        self._state = state
        self._reviewing = reviewing
        self._moving = Moving(state)
        self._steps = MovementSteps(state, reviewing)
        self._shell = shell

    def table(self) -> tuple[Command, ...]:
        """Every command, in the order in which they are listed."""
        groups = {
            CLIP: self._clip(),
            GO: self._go(),
            NOTE: self._note(),
            MARK: self._mark(),
            CLIMBING: self._climb(),
            LOOK: self._look(),
            CASEBOOK: self._casebook(),
            HELP: self._help(),
        }
        return tuple(
            Command(
                *(name, words, group, run, tuple(keys.split())),
                can if _is_everywhere(name, group) else partial(self._at_stage, can),
                name in _HELD_DOWN,
            )
            for group, rows in groups.items()
            for name, words, run, keys, can in rows
        )

    # fmt: off
    def _clip(self) -> list[Row]:
        shell, edits, is_open = self._shell, self._reviewing, self._is_open
        return [
            ("open", "Open\u2026", shell.choose_file, "Ctrl+O", _always),
            ("recent", "Open recent\u2026", shell.show_recent, "Ctrl+Shift+O", _always),
            ("demo", "Try it with the demo", shell.open_demo, "Ctrl+Shift+D", _always),
            ("about_clip", "About this clip", shell.show_clip_page, "Ctrl+I", is_open),
            ("undo", "Undo", self._undo, "Ctrl+Z", self._can_undo),
            ("redo", "Redo", self._redo, "Ctrl+Shift+Z Ctrl+Y", self._can_redo),
            ("preview", "See it as the client will", shell.preview, "Ctrl+P", is_open),
            ("take_home", "Make the take-home", shell.make_take_home, "Ctrl+E", self._can_export),
            ("take_home_elsewhere", "Make the take-home in another folder\u2026",
             shell.make_take_home_elsewhere, "Ctrl+Shift+E", self._can_export),
            ("take_home_covered", "Make the take-home with faces covered",
             shell.make_take_home_covered, "Ctrl+Alt+H", self._can_export),
            ("stop_take_home", "Stop making the take-home", shell.stop_take_home, "Ctrl+.",
             lambda: shell.can_stop_export),
            ("compare", "Compare with another review\u2026", shell.compare, "Ctrl+Shift+C",
             is_open),
            ("send_from", "Send from this frame on", edits.send_from_here, "Ctrl+Home", is_open),
            ("send_until", "Send until this frame", edits.send_until_here, "Ctrl+End", is_open),
            ("send_all", "Send the whole clip", edits.send_all, "Ctrl+Shift+Home", self._has_part),
            ("close", "Close this clip", shell.close_clip, "Ctrl+W", is_open),
            ("quit", "Leave cliptag", shell.quit, "Ctrl+Q", _always),
        ]

    def _go(self) -> list[Row]:
        head, moving = self._state.playhead, self._moving
        moves, is_open, second = self._moves, self._is_open, 1_000_000
        return [
            ("play", "Play or stand still", self._shell.play, "Space", is_open),
            ("frame_on", "One frame on", partial(head.step, 1), "Right", moves),
            ("frame_back", "One frame back", partial(head.step, -1), "Left", moves),
            ("second_on", "A second on", partial(head.jump_us, second), "Shift+Right", moves),
            ("second_back", "A second back", partial(head.jump_us, -second), "Shift+Left", moves),
            ("note_on", "Next note", partial(moving.to_note, 1), "Ctrl+Right", is_open),
            ("note_back", "Note before", partial(moving.to_note, -1), "Ctrl+Left", is_open),
            ("moment_on", "Next moment", partial(moving.to_moment, 1), "Alt+Right", is_open),
            ("moment_back", "Moment before", partial(moving.to_moment, -1), "Alt+Left", is_open),
            ("first", "First frame", partial(head.go_to, 0), "Home", moves),
            ("last", "Last frame", lambda: head.go_to(head.last_index), "End", moves),
            ("go_to", "Go to a time", self._shell.type_time, "G", moves),
            ("loop", "Play the note over and over", moving.loop_note, "O", moves),
            ("faster", "Faster", partial(moving.change_speed, 1), "Up", moves),
            ("slower", "Slower", partial(moving.change_speed, -1), "Down", moves),
            ("real_speed", "Real speed", partial(head.set_speed, 1.0), "0", moves),
        ]

    def _note(self) -> list[Row]:
        shell, edits, has_note = self._shell, self._reviewing, self._has_note
        return [
            ("new_note", "New note about this frame", shell.new_note, "N", self._is_open),
            ("write", "Write in the chosen note", shell.write_note, "Return", has_note),
            ("speak", "Speak the chosen note, or stop", shell.speak_note, "Y", self._is_open),
            ("speak_clip", "Speak over the whole clip, or stop", shell.speak_clip, "Shift+Y",
             self._moves),
            ("impression", "Write the general impression", shell.write_impression, "I",
             self._is_open),
            *((f"kind_{kind}", f"Kind: {says}", partial(edits.set_kind, kind), f"{nr}", has_note)
              for nr, (kind, says) in enumerate(KIND_WORDS.items(), 1)),
            ("note_earlier", "Before the other notes of this frame", partial(shell.move_note, -1),
             "Ctrl+PgUp", shell.can_move_note),
            ("note_later", "After the other notes of this frame", partial(shell.move_note, 1),
             "Ctrl+PgDown", shell.can_move_note),
            ("put_values", "Put the strip's values on this frame into the note",
             self._steps.put_shown_values, "Shift+N", self._is_open),
            ("renew_numbers", "Renew all numbers in the notes", self._steps.renew, "Ctrl+Shift+N",
             self._is_open),
            ("delete", "Delete the chosen mark, else the note", shell.delete_chosen,
             "Delete Backspace", has_note),
        ]

    def _mark(self) -> list[Row]:
        is_open = self._is_open
        return [
            *((f"tool_{tool}", TOOL_HELP[tool], partial(self._shell.take_tool, tool), key, is_open)
              for tool, (_, key) in TOOL_WORDS.items()),
            ("step_back", "Lay the tool down", self._shell.step_back, "Escape", _always),
            ("copy_mark", "Copy the mark onto this frame", self._shell.copy_mark_here, "Ctrl+D",
             self._has_mark),
            *self._points(),
            *self._cover(),
        ]

    def _cover(self) -> list[Row]:
        shell, cover, is_open = self._shell, self._shell.cover, self._is_open
        return [
            ("cover", "What is covered", shell.show_cover, "Ctrl+H", is_open),
            ("cover_head", "Cover a head on this frame", cover.place_head, "H", is_open),
            ("cover_other", "Cover something else on this frame", cover.place_other, "Shift+H",
             is_open),
            ("cover_next", "Next stretch where a face may be open", cover.to_next, "Alt+U",
             is_open),
            ("cover_fine", "No face is open here", cover.is_fine, "Ctrl+Shift+H", is_open),
        ]

    def _points(self) -> list[Row]:
        points = self._shell.points
        return [
            ("place_again", "Place the chosen point three times", points.repeat, "W",
             points.can_repeat),
            ("mark_follows", "Let the mark go with followed points, or stay",
             points.toggle_follows, "Ctrl+K", points.can_follow),
            ("show_points", "Show followed points", points.toggle_shown, "Shift+K", self._is_open),
            ("point_back", "Take back where the point was placed here", points.take_back,
             "Ctrl+Backspace", points.can_take_back),
            ("point_drop", "Follow the chosen point no longer", points.drop, "Ctrl+Delete",
             points.can_drop),
            ("stop_following", "Stop following the points, or go on", points.stop_or_go_on,
             "Ctrl+Shift+K", points.can_stop_or_go_on),
        ]

    def _climb(self) -> list[Row]:
        shell, edits, is_open = self._shell, self._reviewing, self._is_open
        steps = self._steps
        facings: tuple[tuple[Facing, str], ...] = (("left", "L"), ("right", "R"))
        return [
            ("open_rung", "Up to the next open place", edits.to_open_rung, "U", is_open),
            ("rung_up", "One place up", partial(edits.to_rung, 1), "Ctrl+Up", is_open),
            ("rung_down", "One place down", partial(edits.to_rung, -1), "Ctrl+Down", is_open),
            ("fine", "Looked at and fine", edits.toggle_fine, "F", is_open),
            ("next_moment", "Set the next moment here", edits.set_next_moment, "M", is_open),
            ("moments", "Choose a moment for here\u2026", shell.show_moments, "Shift+M", is_open),
            ("movements", "Choose the movement\u2026", shell.show_movements, "Ctrl+M", is_open),
            ("movement", "The movement in numbers", shell.show_movement, "Ctrl+Shift+M", is_open),
            ("methods", "Reference methods", shell.show_methods, "Ctrl+R", is_open),
            ("confirm_moment", "Confirm the moment that is proposed here", steps.confirm_here,
             "Shift+Return", is_open),
            ("confirm_moments", "Confirm all proposed moments", steps.confirm_all,
             "Ctrl+Shift+Return", is_open),
            *((f"facing_{way}", f"The client faces {way}", partial(edits.set_facing, way),
               f"Ctrl+Shift+{letter}", is_open) for way, letter in facings),
        ]

    def _look(self) -> list[Row]:
        shell, is_open = self._shell, self._is_open
        return [
            ("zoom_in", "Closer", shell.zoom_in, "Ctrl++ Ctrl+=", is_open),
            ("zoom_out", "Farther", shell.zoom_out, "Ctrl+-", is_open),
            ("fit", "The whole picture", shell.fit, "Ctrl+0", is_open),
            ("actual_size", "Pixel for pixel", shell.actual_size, "Ctrl+1", is_open),
            ("references", "Show scale and plumb line", shell.toggle_references, "Ctrl+B", is_open),
            ("strip_in", "Strip: less time", shell.zoom_strip_in, "Alt++ Alt+=", self._moves),
            ("strip_out", "Strip: more time", shell.zoom_strip_out, "Alt+-", self._moves),
            ("strip_all", "Strip: the whole clip", shell.show_whole_strip, "Alt+0", self._moves),
            ("sound", "Sound on or off", shell.toggle_sound, "Q", _always),
            ("full_screen", "Whole screen", shell.toggle_full_screen, "F11", _always),
            ("next_part", "On to the next part of the desk", shell.next_part, "F6", _always),
            ("preferences", "Preferences", shell.show_preferences, "Ctrl+,", _always),
        ]

    def _casebook(self) -> list[Row]:
        shell, book = self._shell, self._shell.casebook
        return [
            ("casebook", "Casebook", shell.toggle_casebook, "Ctrl+Shift+B", _always),
            ("today", "What today asks", book.show_day, "Ctrl+T", _always),
            ("find", "Find a client or clip", book.find, "Ctrl+F", _always),
            ("add_client", "Add a client", book.add_client, "Ctrl+Shift+A", _always),
            ("add_clips", "Add clips to the client\u2026", book.choose_clips, "Ctrl+Shift+I",
             book.can_choose_clips),
            ("consent", "Record the client's consent", book.ask_consent, "Ctrl+Shift+G",
             book.can_ask_consent),
            ("finish", "This review is done", book.finish, "Ctrl+Shift+F", book.can_finish),
            ("make_all_due", "Export all that is due", book.make_all_due, "Ctrl+Alt+E",
             book.can_make_all_due),
        ]

    def _help(self) -> list[Row]:
        shell = self._shell
        return [
            ("keys", "All keys", shell.show_keys, "? F1", _always),
            ("message", "Answer the message", shell.read_message, "F8", _always),
            ("caution", "What to be careful of", shell.show_caution, "Shift+F1", _always),
        ]
    # fmt: on

    def _at_stage(self, can: Callable[[], bool]) -> bool:
        return not self._shell.is_elsewhere and can()

    def _is_open(self) -> bool:
        return self._state.document is not None

    def _moves(self) -> bool:
        return self._is_open() and self._state.playhead.last_index > 0

    def _has_note(self) -> bool:
        return self._state.chosen_note is not None

    def _has_mark(self) -> bool:
        return self._state.chosen_mark is not None

    def _has_part(self) -> bool:
        review = self._reviewing.review
        return review is not None and review.part is not None

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


def _is_everywhere(name: str, group: str) -> bool:
    return group in (CASEBOOK, HELP) or name in _EVERYWHERE


def _always() -> bool:
    return True
