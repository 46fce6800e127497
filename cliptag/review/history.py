"""Undo and redo: a line of documents, each with the words for the step that led to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from cliptag.review.model import Review

_Document = TypeVar("_Document")


@dataclass(frozen=True, slots=True)
class _Step(Generic[_Document]):
    document: _Document
    words: str
    run: str | None


class Steps(Generic[_Document]):
    """The current version of a document and the way back and forth; without limit.

    Versions share what did not change, so that a step costs little memory.
    """

    def __init__(self, document: _Document) -> None:
        self._steps = [_Step(document, "", None)]
        self._at = 0

    @property
    def now(self) -> _Document:
        """The document as it is now."""
        return self._steps[self._at].document

    @property
    def undo_words(self) -> str | None:
        """What undo would take back, such as 'move knee point'; None if there is nothing."""
        return self._steps[self._at].words if self._at else None

    @property
    def redo_words(self) -> str | None:
        """What redo would do again; None if there is nothing."""
        return self._steps[self._at + 1].words if self._at + 1 < len(self._steps) else None

    def push(self, document: _Document, words: str, *, run: str | None = None) -> None:
        """Take a step; what was undone before is forgotten.

        Steps that follow each other with the same ``run`` (one drag, one spell of typing) become
        one, so that undo takes back the whole of it.
        """
        if document == self.now:
            return
        here = self._steps[self._at]
        if run is not None and here.run == run and self._at:
            self._at -= 1
        del self._steps[self._at + 1 :]
        self._steps.append(_Step(document, words, run))
        self._at += 1

    def end_run(self) -> None:
        """Have the next push start a step of its own, whatever its run."""
        here = self._steps[self._at]
        self._steps[self._at] = _Step(here.document, here.words, None)

    def undo(self) -> _Document:
        """Go one step back, if there is one; gives the document as it is then."""
        self.end_run()
        self._at = max(0, self._at - 1)
        return self.now

    def redo(self) -> _Document:
        """Go one step forward again, if there is one; gives the document as it is then."""
        self._at = min(len(self._steps) - 1, self._at + 1)
        return self.now


class History(Steps[Review]):
    """The steps of a review."""

    @property
    def review(self) -> Review:
        """The review as it is now."""
        return self.now
