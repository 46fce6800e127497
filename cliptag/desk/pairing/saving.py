"""Saving a pairing without being asked: each change is in its file within a second."""

from __future__ import annotations

from pathlib import Path
from typing import Final

import platformdirs
from PyQt6.QtCore import QObject, QTimer, pyqtSignal

from cliptag.desk.newest import NewestWish
from cliptag.errors import PairingError
from cliptag.pairing import SUFFIX, Pairing, save_pairing

QUIET_MS: Final = 300
"""After the first change that isn't written yet; the rest of a second is for the disk."""


class PairingSaver(QObject):
    """Writes the newest version of one pairing to its file, in a thread of its own.

    Nothing is written before the first change. Where the folder can't be written, the pairing is
    kept in the user's own folder and ``trouble`` says so, once.
    """

    settled = pyqtSignal()
    """``is_saved`` or ``path`` may be another."""
    trouble = pyqtSignal(str)

    _wrote = pyqtSignal(object, object, str)

    def __init__(self, path: Path, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.path = path
        """Where the newest version was written, or will be."""
        self._own_path = path
        self._newest: Pairing | None = None
        self._kept: Pairing | None = None
        self._said = ""
        self._clock = QTimer(self)
        self._clock.setSingleShot(True)
        self._clock.setInterval(QUIET_MS)
        self._clock.timeout.connect(self._write_soon)
        self._wrote.connect(self._settle)
        self._worker = NewestWish[Pairing]("desk pairing", self._write)

    @property
    def is_saved(self) -> bool:
        """Whether the newest version is in a file."""
        return self._newest is self._kept

    def take(self, pairing: Pairing) -> None:
        """Have this version written soon; it takes the place of one that is still waiting."""
        self._newest = pairing
        if not self._clock.isActive():
            self._clock.start()
        self.settled.emit()

    def close(self) -> bool:
        """Write what waits and end the thread; gives whether all is in a file."""
        self._clock.stop()
        self._worker.close()
        if not self.is_saved and self._newest is not None:
            self._settle(self._newest, *_write_somewhere(self._newest, self._own_path))
        return self.is_saved

    def _write_soon(self) -> None:
        if self._newest is not None:
            self._worker.ask(self._newest)

    def _write(self, pairing: Pairing) -> None:
        self._wrote.emit(pairing, *_write_somewhere(pairing, self._own_path))

    def _settle(self, pairing: Pairing, path: Path | None, sentence: str) -> None:
        if path is not None:
            self.path, self._kept = path, pairing
        if sentence and sentence != self._said:
            self.trouble.emit(sentence)
        self._said = sentence
        self.settled.emit()


def spare_path(path: Path) -> Path:
    """Where a pairing is kept when its own folder can't be written."""
    folder = platformdirs.user_data_path("cliptag", appauthor=False) / "pairings"
    return folder / path.name


def _write_somewhere(pairing: Pairing, path: Path) -> tuple[Path | None, str]:
    """Write to the pairing's own file, else to the spare one; gives which, and what to tell."""
    try:
        return save_pairing(pairing, path), ""
    except PairingError as error:
        spare = spare_path(path)
        if spare == path:
            return None, str(error)
        try:
            spare.parent.mkdir(parents=True, exist_ok=True)
            save_pairing(pairing, spare)
        except (PairingError, OSError):
            return None, str(error)
        name = path.name.removesuffix(SUFFIX)
        return spare, f"{path.parent} can't be written, so '{name}' is kept in {spare}."
