"""The pictures of both clips, each from a feed of its own, so that neither waits for the other."""

from __future__ import annotations

from functools import partial
from typing import Final

from PyQt6.QtCore import QObject, QTimer, pyqtSignal
from PyQt6.QtGui import QImage

from cliptag.clip import Clip
from cliptag.desk.frames import FrameFeed

_TOGETHER_MS: Final = 45
"""So long the picture that is there first waits for the other, so that both step together."""


class PairPictures(QObject):
    """The newest pictures of two clips; asking for a pair asks only for what is another frame."""

    pictured = pyqtSignal()
    """A picture of either is another one."""
    failed = pyqtSignal(str)

    def __init__(self, clips: tuple[Clip, Clip], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._feeds = [FrameFeed(clip, self) for clip in clips]
        self._asked: list[int | None] = [None, None]
        self._shown: list[tuple[int, QImage]] = [(0, QImage()), (0, QImage())]
        self._is_exact = [False, False]
        self._clock = QTimer(self)
        self._clock.setSingleShot(True)
        self._clock.setInterval(_TOGETHER_MS)
        self._clock.timeout.connect(self.pictured)
        for feed in self._feeds:
            feed.pictured.connect(partial(self._take, feed))
            feed.failed.connect(self.failed)

    @property
    def frames(self) -> tuple[int, int]:
        """Which frames of both are shown."""
        return self._shown[0][0], self._shown[1][0]

    @property
    def is_whole(self) -> bool:
        """Whether there is a picture of each."""
        return not any(image.isNull() for _, image in self._shown)

    @property
    def is_exact(self) -> bool:
        """Whether the frames that were asked for are shown, each that very one."""
        return all(self._is_exact) and list(self.frames) == self._asked

    def image(self, which: int) -> QImage:
        """What is shown of clip 0 or 1; null as long as there is nothing."""
        return self._shown[which][1]

    def exact(self, frames: tuple[int, int]) -> None:
        """Have these very frames pictured, unless others are asked for before they are there."""
        for which, frame in enumerate(frames):
            if frame != self._asked[which]:
                self._asked[which] = frame
                self._feeds[which].exact(frame)

    def rough(self, frames: tuple[int, int]) -> None:
        """Show the nearest small pictures at once, and then the frames themselves."""
        for which, frame in enumerate(frames):
            if frame != self._asked[which]:
                self._asked[which] = frame
                self._feeds[which].rough(frame)

    def swap(self) -> None:
        """The second clip is the first from now on."""
        self._feeds.reverse()
        self._asked.reverse()
        self._shown.reverse()
        self._is_exact.reverse()

    def end(self) -> None:
        """Send nothing more, and let the threads end by themselves."""
        for feed in self._feeds:
            feed.end()

    def close(self) -> None:
        """End the threads; the clips are not closed."""
        for feed in self._feeds:
            feed.close()

    def _take(self, feed: FrameFeed, index: int, image: QImage, is_exact: bool) -> None:
        which = self._feeds.index(feed)
        self._shown[which] = index, image
        self._is_exact[which] = is_exact
        if self.is_exact or not is_exact:
            self._tell()
        elif not self._clock.isActive():
            self._clock.start()

    def _tell(self) -> None:
        self._clock.stop()
        self.pictured.emit()
