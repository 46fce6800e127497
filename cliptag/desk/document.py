"""The review on the desk: the one place that holds it, its history and where it is kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.review import History, Review


class Document(QObject):
    """A review that is being worked on.

    Every widget redraws from ``review`` when ``changed`` is sent, and changes it through ``do``
    with one of the functions of ``cliptag.review.edit``.
    """

    changed = pyqtSignal()

    def __init__(self, review: Review, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._history = History(review)
        self.path = path

    @property
    def review(self) -> Review:
        """The review as it is now."""
        return self._history.review

    @property
    def undo_words(self) -> str | None:
        """What undo takes back, such as 'move knee point'; None if there is nothing."""
        return self._history.undo_words

    @property
    def redo_words(self) -> str | None:
        """What redo does again; None if there is nothing."""
        return self._history.redo_words

    def do(self, review: Review, words: str, *, run: str | None = None) -> None:
        """Take a step; ``words`` say what it was. Steps of one ``run`` are undone together."""
        before = self.review
        self._history.push(review, words, run=run)
        if self.review is not before:
            self.changed.emit()

    def end_run(self) -> None:
        """End a drag or a spell of typing: the next step is undone by itself."""
        self._history.end_run()

    def undo(self) -> None:
        """Take the last step back, if there is one."""
        self._go(self._history.undo)

    def redo(self) -> None:
        """Do the step again that was taken back, if there is one."""
        self._go(self._history.redo)

    def _go(self, way: Callable[[], Review]) -> None:
        before = self.review
        way()
        if self.review is not before:
            self.changed.emit()
