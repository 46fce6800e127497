"""The outline of the take that is shown, read in a thread."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QObject, pyqtSignal

from cliptag.desk.newest import NewestWish
from cliptag.desk.voice.trim_bar import COLUMNS
from cliptag.errors import CliptagError
from cliptag.voice import outline_of, take_length_us


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """What is drawn of a take; ``trouble`` says in a sentence why there is nothing to draw."""

    path: Path
    length_us: int
    shape: NDArray[np.float32]
    trouble: str = ""


class Outlines(QObject):
    """Reads takes; the newest one asked for wins."""

    made = pyqtSignal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._worker = NewestWish[Path]("voice outline", self._make)

    def ask(self, path: Path) -> None:
        """Have ``made`` sent with this take's outline."""
        self._worker.ask(path)

    def close(self) -> None:
        self._worker.close()

    def _make(self, path: Path) -> None:
        try:
            length_us = take_length_us(path)
            outline = Outline(path, length_us, outline_of(path, length_us, COLUMNS))
        except CliptagError as error:
            outline = Outline(path, 0, np.zeros((COLUMNS, 2), np.float32), str(error))
        if not self._worker.is_closing:
            self.made.emit(outline)
