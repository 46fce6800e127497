"""What is on the desk: clip, document, playhead, what is chosen, which tool is in hand."""

from __future__ import annotations

from pathlib import Path
from typing import Final, Literal, TypeAlias, get_args

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.clip import Clip, open_clip
from cliptag.desk.document import Document
from cliptag.desk.following import Following
from cliptag.desk.frames import FrameFeed
from cliptag.desk.playhead import Playhead
from cliptag.desk.shown_curves import ShownCurves
from cliptag.errors import CliptagError
from cliptag.opening import open_reviewed_clip, review_path_of, start_review
from cliptag.review import SUFFIX, Mark, Note, Region, Review, edit, load_review

Tool: TypeAlias = Literal[
    "arrow",
    "ring",
    "shade",
    "stroke",
    "line",
    "plumb",
    "joint",
    "tilt",
    "span",
    "between",
    "point",
    "scale",
    "plumb_line",
]
TOOLS: Final[tuple[Tool, ...]] = get_args(Tool)
"""The ten marks, the points to follow, and the two references that are set on the stage."""


class DeskState(QObject):
    """The desk's model; the widgets only show it and ask it for changes."""

    opened = pyqtSignal()
    """Another clip and document are on the desk (or none)."""
    reviewed = pyqtSignal()
    """The document's review is another one."""
    chosen = pyqtSignal()
    """Another note or mark is chosen."""
    tool_changed = pyqtSignal()
    followed = pyqtSignal()
    """What is known of the tracked points is something else, or on its way."""
    rung_changed = pyqtSignal()
    """Another place of the climb is being looked at."""
    said = pyqtSignal(str)
    """A sentence for the bar."""
    warned = pyqtSignal(str)
    """A sentence for the bar about something that went wrong."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.playhead = Playhead(self)
        self.shown_curves = ShownCurves(self)
        self.clip: Clip | None = None
        self.document: Document | None = None
        self.feed: FrameFeed | None = None
        self.following: Following | None = None
        """The tracked points of the document, followed in the background."""
        self.coach = ""
        """Whose name a new review bears."""
        self._chosen_note: str | None = None
        self._searched: tuple[Review, str, Note | None] | None = None
        self._chosen_mark: str | None = None
        self._tool: Tool | None = None
        self._rung: Region = "whole"

    @property
    def tool(self) -> Tool | None:
        """What the pointer draws on the stage; None when it chooses and moves."""
        return self._tool

    @property
    def chosen_note(self) -> Note | None:
        """The note that the card shows; None if none is chosen (any more)."""
        if self._chosen_note is None or self.document is None:
            return None
        review = self.document.review
        searched = self._searched
        if searched is None or searched[0] is not review or searched[1] != self._chosen_note:
            found = next((note for note in review.notes if note.id == self._chosen_note), None)
            self._searched = searched = review, self._chosen_note, found
        return searched[2]

    @property
    def chosen_mark(self) -> Mark | None:
        """The mark of that note whose points can be moved; None if none is chosen."""
        note = self.chosen_note
        marks = note.marks if note else ()
        return next((mark for mark in marks if mark.id == self._chosen_mark), None)

    @property
    def rung(self) -> Region:
        """The place of the climb that is being looked at: there a new note goes."""
        return self._rung

    def choose(self, note_id: str | None, mark_id: str | None = None) -> None:
        """Choose a note, and one of its marks; its place is the one looked at from then on."""
        if (note_id, mark_id) != (self._chosen_note, self._chosen_mark):
            self._chosen_note, self._chosen_mark = note_id, mark_id
            note = self.chosen_note
            if note is not None:
                self.stand_on(note.region)
            self.chosen.emit()

    def stand_on(self, region: Region) -> None:
        """Look at a place of the climb."""
        if region != self._rung:
            self._rung = region
            self.rung_changed.emit()

    def take_tool(self, tool: Tool | None) -> None:
        """Take a tool in hand, or lay it down."""
        if tool != self._tool:
            self._tool = tool
            if tool is not None:
                self.playhead.pause()
            self.tool_changed.emit()

    def say(self, sentence: str) -> None:
        """Show a sentence in the bar."""
        self.said.emit(sentence)

    def open(self, path: Path) -> bool:
        """Put a clip, a photo or a review on the desk; what was there is closed first.

        A clip that has a review beside it is opened with it. On failure the desk stays as it was
        and the bar says why.
        """
        try:
            document, clip = self._load(path)
        except CliptagError as error:
            self.warned.emit(str(error))
            return False
        self.close()
        self.clip, self.document = clip, document
        self.stand_on("whole")
        document.setParent(self)
        document.changed.connect(self.reviewed)
        self.feed = FrameFeed(clip, self)
        self.feed.failed.connect(self.warned)
        self.following = Following(document, clip.path, self)
        self.following.failed.connect(self.warned)
        self.following.changed.connect(self.followed)
        self.opened.emit()
        self.playhead.set_clip(clip.times_us, clip.duration_us)
        self.reviewed.emit()
        return True

    def close(self) -> None:
        """Clear the desk."""
        self.playhead.pause()
        self.take_tool(None)
        self.choose(None)
        if self.feed is not None:
            self.feed.end()
        if self.clip is not None:
            self.clip.close()  # gives up the frame that the feed may be waiting for
        if self.feed is not None:
            self.feed.close()
            self.feed.deleteLater()
        if self.following is not None:
            self.following.close()
            self.following.deleteLater()
        if self.document is not None:
            self.document.deleteLater()
        was_open = self.clip is not None
        self.clip = self.document = self.feed = self.following = None
        if was_open:
            self.opened.emit()

    def _new_review(self, clip: Clip, path: Path) -> Review:
        return edit.with_fields(start_review(clip, path), coach=self.coach)

    def _load(self, path: Path) -> tuple[Document, Clip]:
        review_path = path if path.name.endswith(SUFFIX) else review_path_of(path)
        if path == review_path:
            review, clip = open_reviewed_clip(path)
        else:
            clip = open_clip(path)
            try:
                is_known = review_path.exists()
                review = (
                    load_review(review_path) if is_known else self._new_review(clip, review_path)
                )
            except CliptagError:
                clip.close()
                raise
        return Document(review, review_path), clip
