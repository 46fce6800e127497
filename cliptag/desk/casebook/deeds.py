"""What the rows and pages of the casebook ask for; the room does it."""

from __future__ import annotations

from pathlib import Path
from typing import Protocol

from cliptag.casebook import ReceivedClip


class Deeds(Protocol):
    """Everything that a click in the casebook can lead to."""

    def review(self, kept: ReceivedClip) -> None:
        """Open a clip's review on the stage."""

    def finish(self, kept: ReceivedClip) -> None:
        """Say that a review is done."""

    def take_up_again(self, kept: ReceivedClip) -> None:
        """Say that a review is not done after all."""

    def mark_sent(self, kept: ReceivedClip) -> None:
        """Put down that a take-home was sent."""

    def show_take_home(self, kept: ReceivedClip) -> None:
        """Show a take-home in the system's own file window."""

    def show_client(self, name: str) -> None:
        """Open a client's page."""

    def ask_consent(self, client: str, clip_id: int | None = None) -> None:
        """Open the form in which a consent is recorded."""

    def choose_clips(self, client: str, week: int | None = None) -> None:
        """Ask for files, and add them to a client."""

    def make_all_due(self) -> None:
        """Make every take-home that is due."""

    def compare(self, first: ReceivedClip, newest: ReceivedClip) -> None:
        """Set two reviews side by side."""

    def show_file(self, path: Path) -> None:
        """Show a file or folder with the system's own program."""
