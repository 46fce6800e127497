"""Plays what the client will see, as the review is now, without exporting it."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QObject, pyqtBoundSignal, pyqtSignal
from PyQt6.QtGui import QImage

from cliptag.clip import Clip
from cliptag.desk.images import as_image
from cliptag.desk.newest import NewestWish
from cliptag.desk.playhead import Playhead
from cliptag.desk.sound import SoundPlayer
from cliptag.desk.sound_output import SoundOutput, open_output
from cliptag.desk.state import DeskState
from cliptag.errors import CliptagError
from cliptag.export import ClientView, ExportOptions
from cliptag.review import Review


class ClientPlayer(QObject):
    """Plays the video that an export would make: cards, holds, captions, slow motion and sound.

    It has a playhead of its own, whose time is the video's. The pictures are made in a thread;
    one that comes too late is left out. Later changes of the review don't reach it: start again.
    """

    laid_out = pyqtSignal()
    """The video is planned, ``duration_us`` is known, and it begins to play."""
    pictured = pyqtSignal(QImage)
    """The picture to show; sent only when it is another one."""
    position_changed = pyqtSignal(int)
    """The time of the shown picture from the start of the video, in µs."""
    playing_changed = pyqtSignal(bool)
    finished = pyqtSignal()
    """It has played to the end, and stands on its last picture."""
    stopped = pyqtSignal()
    """It is over: nothing more is pictured."""
    failed = pyqtSignal(str)
    """A sentence that says why there is no picture; it is over if there never was one."""

    def __init__(
        self,
        state: DeskState,
        *,
        open_output: Callable[[], SoundOutput | None] = open_output,
    ) -> None:
        super().__init__(state)
        self._state = state
        self._showing: _Showing | None = None
        self._ending: list[_Showing] = []
        self._from_us: int | None = None
        self._times_us: NDArray[np.int64] = np.zeros(1, np.int64)
        self._playhead = Playhead(self)
        self._playhead.moved.connect(self._move)
        self._playhead.playing_changed.connect(self._play_or_stand)
        self.sound = SoundPlayer(self._playhead, self, open_output=open_output)
        state.opened.connect(self.stop)

    @property
    def is_started(self) -> bool:
        """Whether it has been started, and neither stopped nor failed since."""
        return self._showing is not None

    @property
    def is_playing(self) -> bool:
        return self._playhead.is_playing

    @property
    def duration_us(self) -> int:
        """How long the video is; 0 as long as that isn't known."""
        return self._playhead.duration_us if self._showing else 0

    @property
    def position_us(self) -> int:
        """The time of the shown picture, from the start of the video."""
        return self._playhead.time_us if self._showing else 0

    def start(self, options: ExportOptions | None = None, *, from_us: int | None = None) -> None:
        """Play the video of the review on the desk.

        ``from_us`` is a time of the clip, where it begins if that time is part of the video.
        Without a review on the desk nothing happens.
        """
        self.stop()
        clip, document = self._state.clip, self._state.document
        if clip is None or document is None:
            return
        self._state.playhead.pause()
        self._from_us = from_us
        self._showing = _Showing(clip, document.review, options, document.path.parent)
        self._showing.laid_out.connect(self._begin)
        self._showing.pictured.connect(self.pictured)
        self._showing.failed.connect(self._fail)

    def stop(self) -> None:
        """End it, wherever it is."""
        if self._showing is None:
            return
        self._playhead.pause()
        self.sound.set_source(None)
        self._showing.end()
        self._ending = [showing for showing in self._ending if showing.is_running]
        self._ending.append(self._showing)
        self._showing = None
        self.stopped.emit()

    def toggle(self) -> None:
        """Play, or stand still; from the start again when it was at the end."""
        if self._showing is not None:
            self._playhead.toggle()

    def seek_us(self, time_us: int) -> None:
        """Go to a time of the video."""
        if self._showing is not None:
            self._playhead.go_to_time(time_us)

    def close(self) -> None:
        """End it, and wait for all threads."""
        self.stop()
        self.sound.close()
        for showing in self._ending:
            showing.close()
        self._ending.clear()

    def _begin(self, view: ClientView) -> None:
        self._times_us = view.times_us
        self._playhead.set_clip(view.times_us, view.duration_us)
        self.sound.set_source(view.sound)
        self.laid_out.emit()
        at_us = None if self._from_us is None else view.plan.timeline.to_out_us(self._from_us)
        if at_us is not None:
            self._playhead.go_to_time(at_us)
        self._playhead.play()

    def _fail(self, sentence: str) -> None:
        if not self.duration_us:
            self.stop()
        self.failed.emit(sentence)

    def _move(self, index: int) -> None:
        if self._showing is not None:
            self._showing.ask(index)
            self.position_changed.emit(int(self._times_us[index]))

    def _play_or_stand(self, is_playing: bool) -> None:
        self.playing_changed.emit(is_playing)
        if not is_playing and self._playhead.index == self._playhead.last_index:
            self.finished.emit()


class _Showing(QObject):
    """The video of one review, made in a thread of its own; it sends nothing after ``end``."""

    laid_out = pyqtSignal(object)
    pictured = pyqtSignal(QImage)
    failed = pyqtSignal(str)

    # Sent by the thread, and received where this lives.
    _planned = pyqtSignal(object)
    _made = pyqtSignal(QImage)
    _could_not = pyqtSignal(str)

    def __init__(
        self, clip: Clip, review: Review, options: ExportOptions | None, home: Path
    ) -> None:
        super().__init__()
        self._make_view = partial(
            ClientView,
            clip,
            review,
            options,
            home=home,
            is_cancelled=self._is_over,
        )
        self._view: ClientView | None = None
        self._sent: NDArray[np.uint8] | None = None
        self._planned.connect(lambda view: self._unless_over(self.laid_out, view))
        self._made.connect(lambda image: self._unless_over(self.pictured, image))
        self._could_not.connect(lambda sentence: self._unless_over(self.failed, sentence))
        self._worker = NewestWish[int]("client view", self._picture, self._close_view)
        self.ask(0)

    @property
    def is_running(self) -> bool:
        return self._worker.is_running

    def ask(self, index: int) -> None:
        self._worker.ask(index)

    def end(self) -> None:
        self._worker.end()

    def close(self) -> None:
        self._worker.close()

    def _is_over(self) -> bool:
        return self._worker.is_closing

    def _unless_over(self, signal: pyqtBoundSignal, what: object) -> None:
        if not self._worker.is_closing:
            signal.emit(what)

    def _picture(self, index: int) -> None:
        try:
            if self._view is None:
                self._view = self._make_view()
                self._planned.emit(self._view)
            rgb = self._view.picture(index)
        except CliptagError as error:
            self._could_not.emit(str(error))
            return
        if rgb is not self._sent:
            self._sent = rgb
            self._made.emit(as_image(rgb))

    def _close_view(self) -> None:
        if self._view is not None:
            self._view.close()
