"""Pictures of the clip for the stage, made in a thread of their own so that no key ever waits."""

from __future__ import annotations

import threading
from bisect import bisect_left
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtGui import QImage
from PyQt6.sip import voidptr

from cliptag.clip import Clip
from cliptag.errors import ClipError


def as_image(rgb: NDArray[np.uint8]) -> QImage:
    """A picture (H, W, 3) for Qt, as a copy of its own."""
    height, width, _ = rgb.shape
    # Qt takes a buffer of any kind, which its stubs don't tell.
    data = cast(bytes, voidptr(rgb.ctypes.data))
    return QImage(data, width, height, rgb.strides[0], QImage.Format.Format_RGB888).copy()


class FrameFeed(QObject):
    """Asks a clip for pictures; of several wishes only the newest is served.

    ``pictured`` brings a frame's index, its picture and whether it is that very frame (else it is
    a small preview of one near it). All of it reaches the thread that the feed lives in.
    """

    pictured = pyqtSignal(int, QImage, bool)
    failed = pyqtSignal(str)

    def __init__(self, clip: Clip, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._clip = clip
        self._wake = threading.Condition()
        self._wanted: int | None = None
        self._is_closing = False
        self._previews: dict[int, QImage] = {}
        self._preview_indexes: list[int] = []
        self._thread = threading.Thread(target=self._serve, name="desk frames", daemon=True)
        self._thread.start()

    def exact(self, index: int) -> None:
        """Have this very frame pictured, unless another one is asked for before it is there."""
        with self._wake:
            self._wanted = index
            self._wake.notify()

    def rough(self, index: int) -> None:
        """Picture the nearest preview at once, if there is one, and then the frame itself."""
        preview = self.preview_near(index)
        if preview is not None:
            self.pictured.emit(index, preview, False)
        self.exact(index)

    def add_preview(self, index: int, image: QImage) -> None:
        """Keep a small picture of a frame for ``rough``."""
        if index not in self._previews:
            self._preview_indexes.insert(bisect_left(self._preview_indexes, index), index)
        self._previews[index] = image

    def preview_near(self, index: int) -> QImage | None:
        """The kept small picture that is nearest to a frame."""
        place = bisect_left(self._preview_indexes, index)
        near = self._preview_indexes[max(0, place - 1) : place + 1]
        best = min(near, key=lambda other: abs(other - index), default=None)
        return None if best is None else self._previews[best]

    def close(self) -> None:
        """End the thread; the clip is not closed."""
        with self._wake:
            self._is_closing = True
            self._wake.notify()
        self._thread.join()

    def _serve(self) -> None:
        while True:
            with self._wake:
                self._wake.wait_for(lambda: self._is_closing or self._wanted is not None)
                if self._is_closing:
                    return
                index, self._wanted = self._wanted, None
            assert index is not None
            try:
                image = as_image(self._clip.frame(index).rgb)
            except ClipError as error:
                if not self._is_closing:
                    self.failed.emit(str(error))
            else:
                if not self._is_closing:
                    self.pictured.emit(index, image, True)
