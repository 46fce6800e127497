"""Pictures of the clip for the stage, made in a thread of their own so that no key ever waits."""

from __future__ import annotations

import time
from typing import Final

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtGui import QImage

from cliptag.clip import Clip
from cliptag.desk.images import as_image
from cliptag.desk.newest import NewestWish
from cliptag.desk.previews import PreviewMaker, Previews
from cliptag.errors import ClipError

_IN_USE_S: Final = 0.3
"""So long after a wish another one is likely."""


class FrameFeed(QObject):
    """Asks a clip for pictures; of several wishes only the newest is served.

    Everything it sends reaches the thread that it lives in, and nothing comes after ``close``.
    """

    pictured = pyqtSignal(int, QImage, bool)
    """A frame's index, its picture, and whether it is that very frame (else one near it, small)."""
    previewed = pyqtSignal()
    """There are more small pictures, see ``preview_near``."""
    failed = pyqtSignal(str)
    """The asked frame can't be pictured; of damaged frames in a row only the first one is told."""

    # Sent by the thread, and received where the feed lives.
    _made = pyqtSignal(int, QImage)
    _could_not = pyqtSignal(str)

    def __init__(self, clip: Clip, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._clip = clip
        self._previews = Previews()
        self._asked: int | None = None
        self._asked_at_s = 0.0
        self._is_roughly_shown = False
        self._is_damaged_here = False
        self._made.connect(self._deliver)
        self._could_not.connect(self._fail)
        self._worker = NewestWish[int]("desk frames", self._picture)
        self._maker = PreviewMaker(clip, self._is_in_use, self)
        self._maker.made.connect(self._keep_previews)

    def exact(self, index: int) -> None:
        """Have this very frame pictured, unless another one is asked for before it is there."""
        self._asked, self._is_roughly_shown = index, False
        self._asked_at_s = time.monotonic()
        self._worker.ask(index)

    def rough(self, index: int) -> None:
        """Picture the nearest preview at once, if there is one, and then the frame itself."""
        self.exact(index)
        preview = self.preview_near(index)
        if preview is not None:
            self._is_roughly_shown = True
            self.pictured.emit(index, preview, False)

    def add_preview(self, index: int, image: QImage) -> None:
        """Keep a small picture of a frame for ``rough``."""
        self._previews.add(index, image)

    def preview_near(self, index: int) -> QImage | None:
        """The kept small picture that is nearest to a frame."""
        return self._previews.near(index)

    def end(self) -> None:
        """Send nothing more, and let the threads end by themselves."""
        self._worker.end()
        self._maker.end()

    def close(self) -> None:
        """End the threads; the clip is not closed, but they end sooner where it already was."""
        self.end()
        self._worker.close()
        self._maker.close()

    def _is_in_use(self) -> bool:
        return self._worker.is_busy or time.monotonic() - self._asked_at_s < _IN_USE_S

    def _picture(self, index: int) -> None:
        try:
            image = as_image(self._clip.frame(index).rgb)
        except ClipError as error:
            self._could_not.emit(str(error))
        else:
            self._made.emit(index, image)

    def _deliver(self, index: int, image: QImage) -> None:
        if self._worker.is_closing:
            return
        self._is_damaged_here = False
        # While one drags, a frame that comes late must not push away a preview nearer to the hand.
        if index == self._asked or not self._is_roughly_shown:
            self.pictured.emit(index, image, True)
        self._maker.start()

    def _fail(self, sentence: str) -> None:
        if self._worker.is_closing:
            return
        if not self._is_damaged_here:
            self._is_damaged_here = True
            self.failed.emit(sentence)
        self._maker.start()

    def _keep_previews(self, batch: list[tuple[int, QImage]]) -> None:
        if self._worker.is_closing:
            return
        for index, image in batch:
            self._previews.add(index, image)
        self.previewed.emit()
