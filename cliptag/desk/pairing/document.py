"""The pairing on the desk: the one place that holds it, its steps and where it is kept."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.pairing import Pairing
from cliptag.review import Steps


class PairingDocument(QObject):
    """A pairing that is being worked on; changed through ``do`` with ``cliptag.pairing.edit``."""

    changed = pyqtSignal()

    def __init__(self, pairing: Pairing, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._steps = Steps(pairing)
        self.path = path

    @property
    def pairing(self) -> Pairing:
        """The pairing as it is now."""
        return self._steps.now

    @property
    def undo_words(self) -> str | None:
        """What undo takes back, such as 'change the layout'; None if there is nothing."""
        return self._steps.undo_words

    @property
    def redo_words(self) -> str | None:
        """What redo does again; None if there is nothing."""
        return self._steps.redo_words

    def do(self, pairing: Pairing, words: str, *, run: str | None = None) -> None:
        """Take a step; ``words`` say what it was. Steps of one ``run`` are undone together."""
        before = self.pairing
        self._steps.push(pairing, words, run=run)
        if self.pairing is not before:
            self.changed.emit()

    def end_run(self) -> None:
        """End a spell of typing: the next step is undone by itself."""
        self._steps.end_run()

    def undo(self) -> None:
        """Take the last step back, if there is one."""
        self._go(self._steps.undo)

    def redo(self) -> None:
        """Do the step again that was taken back, if there is one."""
        self._go(self._steps.redo)

    def _go(self, way: Callable[[], Pairing]) -> None:
        before = self.pairing
        way()
        if self.pairing is not before:
            self.changed.emit()
