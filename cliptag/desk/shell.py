"""What the window does when a command asks for it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QFileDialog

from cliptag.desk.casebook_commands import CasebookCommands
from cliptag.desk.cover_commands import CoverCommands
from cliptag.desk.demo_copy import copy_demo
from cliptag.desk.drop_menus import DropMenus
from cliptag.desk.pairing import SUFFIX as PAIRING_SUFFIX
from cliptag.desk.point_commands import PointCommands
from cliptag.desk.state import Tool
from cliptag.errors import CliptagError
from cliptag.review import (
    DEFAULT_CAUTION,
    REGION_WORDS,
    SUFFIX,
)

if TYPE_CHECKING:
    from cliptag.desk.window import DeskWindow

_VIDEOS: Final = "*.mp4 *.mov *.m4v *.mkv *.webm *.avi *.3gp *.mts"
_PHOTOS: Final = "*.jpg *.jpeg *.png *.heic *.heif *.webp *.tif *.tiff"


def _both_cases(*kinds: str) -> str:
    """Name patterns for file systems that tell IMG_1.MOV from img_1.mov."""
    patterns = " ".join(kinds).split()
    return " ".join((*patterns, *(pattern.upper() for pattern in patterns)))


CLIP_KINDS: Final = f"Clips and photos ({_both_cases(_VIDEOS, _PHOTOS)});;All files (*)"


class DeskShell:
    """The effects behind the table of commands, for one window."""

    def __init__(self, window: DeskWindow) -> None:
        self._window = window
        self._menus = DropMenus(window)
        self._are_references_shown = False
        self._points: PointCommands | None = None
        self._casebook = CasebookCommands(window)
        self._cover = CoverCommands(lambda: window.pages)

    # -- the clip -------------------------------------------------------------------------------

    @property
    def is_exporting(self) -> bool:
        return self._window.exporter.is_running

    @property
    def can_stop_export(self) -> bool:
        """Whether a take-home is being made, this one or all that are due."""
        return self.is_exporting or self._casebook.is_making

    def choose_file(self) -> None:
        """Ask for a file in the system's own dialog."""
        recent = self._window.remembered.recent
        folder = str(recent[0].parent) if recent else ""
        kinds = (
            f"Clips, photos and reviews ({_both_cases(_VIDEOS, _PHOTOS)} *{SUFFIX} "
            f"*{PAIRING_SUFFIX});;"
            f"Clips ({_both_cases(_VIDEOS)});;Photos ({_both_cases(_PHOTOS)});;"
            f"Reviews (*{SUFFIX});;Two reviews (*{PAIRING_SUFFIX});;All files (*)"
        )
        name, _ = QFileDialog.getOpenFileName(
            self._window, "Open a clip, a photo or a review", folder, kinds
        )
        if name:
            self._window.open_path(Path(name))

    def show_recent(self) -> None:
        """Drop down the list of files that were open last."""
        self._menus.show_recent()

    def open_demo(self) -> None:
        """Open a copy of the demo."""
        try:
            path = copy_demo()
        except CliptagError as error:
            self._window.bar.warn(str(error))
            return
        if self._window.open_path(path):
            self._window.state.say(
                f"This is the demo, a finished review; it is yours to change, in {path.parent}."
            )

    def close_clip(self) -> None:
        """Clear the desk; all is saved."""
        self._window.clear()

    def quit(self) -> None:
        """Close the window, and so the program."""
        self._window.close()

    def make_take_home(self) -> None:
        """Make the take-home in its usual folder, beside the clip."""
        folder = self._window.exporter.usual_folder()
        if folder is not None:
            self._window.exporter.start(folder)

    def make_take_home_elsewhere(self) -> None:
        """Ask for a folder, and make the take-home there."""
        name = QFileDialog.getExistingDirectory(self._window, "Where should the take-home go?")
        if name:
            self._window.exporter.start(Path(name))

    def make_take_home_covered(self) -> None:
        """Make the take-home with faces covered, in a folder of its own beside the clip."""
        folder = self._window.exporter.usual_folder()
        if folder is not None:
            covered = folder.with_name(f"{folder.name}, covered")
            self._window.exporter.start(covered, "face_covered")

    def stop_take_home(self) -> None:
        """Stop the export, of one take-home or of all that are due."""
        self._window.exporter.stop()
        self._casebook.stop_making()

    def compare(self) -> None:
        """Ask for another review, and set both side by side."""
        self._window.pairing.choose_other()

    def preview(self) -> None:
        """Play what the client will see."""
        self._window.preview.toggle()

    def play(self) -> None:
        """Play or pause the clip, or the client's video while that is seen."""
        preview = self._window.preview
        if preview.is_on:
            preview.player.toggle()
        else:
            self._window.state.playhead.toggle()

    # -- pages and menus ------------------------------------------------------------------------

    def show_clip_page(self) -> None:
        """Open or close the page about the clip."""
        self._window.pages.toggle("clip")

    def show_movement(self) -> None:
        """Open or close the page about the followed movement."""
        self._window.pages.toggle("movement")

    def show_methods(self) -> None:
        """Open or close the page of reference methods."""
        self._window.pages.toggle("methods")

    def show_cover(self) -> None:
        """Open or close the page of what is covered."""
        self._window.pages.toggle("cover")

    @property
    def cover(self) -> CoverCommands:
        """What is done to covered areas."""
        return self._cover

    def show_preferences(self) -> None:
        """Open or close the page of preferences."""
        self._window.pages.toggle("preferences")

    def show_keys(self) -> None:
        """Open or close the list of keys."""
        self._window.pages.toggle("keys")

    def show_caution(self) -> None:
        """Say what cliptag is not."""
        self._window.bar.say(DEFAULT_CAUTION)

    def show_moments(self) -> None:
        """Drop down the moments, to set one here or take it away."""
        self._menus.show_moments()

    def show_movements(self) -> None:
        """Drop down the movements."""
        self._menus.show_movements()

    # -- the work -------------------------------------------------------------------------------

    def type_time(self) -> None:
        """Give the keyboard to the time."""
        self._window.controls.time.type_here()

    def new_note(self) -> None:
        """Start a note and write in it."""
        self._window.reviewing.new_note()
        self.write_note()

    def write_note(self) -> None:
        """Give the keyboard to the note's text."""
        self._window.write_note()

    def speak_note(self) -> None:
        """Record the chosen note's voice, or end that."""
        self._window.booth.toggle_note()

    def speak_clip(self) -> None:
        """Record a commentary over the clip, or end that."""
        self._window.booth.toggle_running()

    def write_impression(self) -> None:
        """Write the general impression."""
        self._window.write_impression()

    def delete_chosen(self) -> None:
        """Delete the chosen mark, else the chosen note; undo brings it back."""
        state, note = self._window.state, self._window.state.chosen_note
        if state.chosen_mark is not None:
            self._window.stage.delete_mark()
        elif note is not None:
            self._window.reviewing.delete_note()
            where = REGION_WORDS[note.region].lower()
            document = state.document
            if document is not None:
                self._window.bar.offer(f"The note on {where} is gone.", "Undo", document.undo)

    def take_tool(self, tool: Tool) -> None:
        """Take a tool, or lay it down if it is in hand; the stage gets the keyboard."""
        state = self._window.state
        state.take_tool(None if state.tool == tool else tool)
        self._window.stage.setFocus(Qt.FocusReason.OtherFocusReason)

    def copy_mark_here(self) -> None:
        """Copy the chosen mark onto the shown frame."""
        self._window.stage.copy_mark_to_shown_frame()

    def step_back(self) -> None:
        """One thing less: the page, the typing, what is in hand, what is chosen."""
        self._window.step_back()

    def zoom_in(self) -> None:
        """Show the picture larger."""
        self._window.stage.zoom_in()

    def zoom_out(self) -> None:
        """Show the picture smaller."""
        self._window.stage.zoom_out()

    def fit(self) -> None:
        """Show the whole picture."""
        self._window.stage.fit()

    def actual_size(self) -> None:
        """Show each pixel of the picture on one of the screen."""
        self._window.stage.actual_size()

    def zoom_strip_in(self) -> None:
        """Show less time on the strip."""
        self._window.strip.zoom_in()

    def zoom_strip_out(self) -> None:
        """Show more time on the strip."""
        self._window.strip.zoom_out()

    def show_whole_strip(self) -> None:
        """Show the whole clip on the strip."""
        self._window.strip.show_all()

    def toggle_references(self) -> None:
        """Show the scale and the true vertical on the picture, or only with their tools."""
        self._are_references_shown = not self._are_references_shown
        self._window.stage.show_references(self._are_references_shown)

    @property
    def points(self) -> PointCommands:
        """What is done to followed points on the stage."""
        if self._points is None:
            self._points = PointCommands(self._window.state, lambda: self._window.stage)
        return self._points

    def move_note(self, by: int) -> None:
        """Put the chosen note before or after those that start together with it."""
        self._window.strip.move_chosen_in_order(by)

    def can_move_note(self) -> bool:
        """Whether other notes start together with the chosen one."""
        return self._window.strip.can_move_chosen_in_order()

    def toggle_sound(self) -> None:
        """Play the clip's sound, or don't."""
        preferences = self._window.preferences
        preferences.set(sound=not preferences.now.sound)

    def toggle_full_screen(self) -> None:
        """Fill the screen, or be a window again."""
        window = self._window
        window.setWindowState(window.windowState() ^ Qt.WindowState.WindowFullScreen)

    def read_message(self) -> None:
        """Give the keyboard to what can be done about the message."""
        self._window.bar.read_out()

    def next_part(self) -> None:
        """Give the keyboard to the next part of the desk."""
        self._window.next_part()

    # -- the casebook ---------------------------------------------------------------------------

    @property
    def is_elsewhere(self) -> bool:
        """Whether another view than the stage is shown."""
        return self._window.is_elsewhere

    @property
    def casebook(self) -> CasebookCommands:
        """What is done in the casebook; made when it is first asked for."""
        return self._casebook

    def toggle_casebook(self) -> None:
        """Show the casebook, or what is on the desk."""
        if self._window.is_elsewhere:
            self._window.show_stage()
        else:
            self._window.show_casebook()
