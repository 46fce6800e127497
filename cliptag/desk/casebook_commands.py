"""The commands of the casebook, before and after it is first opened."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cliptag.desk.casebook import CasebookRoom
    from cliptag.desk.window import DeskWindow


class CasebookCommands:
    """Asks the casebook only where it is made: nobody who doesn't use it waits for it."""

    def __init__(self, window: DeskWindow) -> None:
        self._window = window

    @property
    def is_making(self) -> bool:
        """Whether all that is due is being exported."""
        room = self._made
        return room is not None and room.model.making is not None

    def find(self) -> None:
        """Look for a client or clip."""
        self._room.find()

    def show_day(self) -> None:
        """Show what today asks."""
        self._room.show_day()

    def add_client(self) -> None:
        """Open the form of a new client."""
        self._room.add_client()

    def choose_clips(self) -> None:
        """Ask for clips of the client whose page is open."""
        self._room.choose_clips_here()

    def can_choose_clips(self) -> bool:
        return self._made is not None and self._made.can_choose_clips()

    def ask_consent(self) -> None:
        """Record a consent of the client at hand."""
        self._room.ask_consent_here()

    def can_ask_consent(self) -> bool:
        return self._made is not None and self._made.can_ask_consent()

    def finish(self) -> None:
        """Say that the review on the stage is done."""
        self._room.finish_here()

    def can_finish(self) -> bool:
        return self._made is not None and self._made.can_finish()

    def make_all_due(self) -> None:
        """Make every take-home that is due."""
        self._room.make_all_due()

    def can_make_all_due(self) -> bool:
        return self._made is not None and self._made.can_make_all_due()

    def stop_making(self) -> None:
        """Stop making every take-home that is due."""
        if self._made is not None:
            self._made.model.stop()

    @property
    def _room(self) -> CasebookRoom:
        return self._window.casebook

    @property
    def _made(self) -> CasebookRoom | None:
        return self._window.made_casebook
