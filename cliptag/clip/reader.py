"""The thread that owns a clip's decoder: it answers requests, and between them reads ahead."""

from __future__ import annotations

import queue
import threading
from concurrent.futures import Future
from dataclasses import dataclass
from typing import Final

from av.video.frame import VideoFrame

from cliptag.clip.cache import FrameCache, frame_bytes
from cliptag.clip.decoder import Decoder
from cliptag.errors import ClipError

_AHEAD_SHARE: Final = 0.6  # of the cache's budget; less than what it keeps ahead, so it settles
_NEAR: Final = 8  # requests no further apart than this are travel, not jumps


@dataclass(frozen=True, slots=True)
class _Want:
    """Please decode this frame and answer with it."""

    number: int
    answer: Future[VideoFrame]


@dataclass(frozen=True, slots=True)
class _Seen:
    """The viewer took this frame from the cache."""

    number: int


class FrameReader:
    """Gives decoded frames by number, from the cache or from its thread.

    ``frame`` may be called from any thread. The thread starts with the first frame that isn't
    cached, and has ended when ``close`` returns.
    """

    def __init__(self, decoder: Decoder, frame_count: int, cache_bytes: int) -> None:
        self._decoder = decoder
        self._count = frame_count
        self.cache = FrameCache(cache_bytes)
        self._inbox: queue.SimpleQueue[_Want | _Seen] = queue.SimpleQueue()
        self._closing = threading.Event()
        self._thread: threading.Thread | None = None
        self._starting = threading.Lock()
        self._focus = 0
        self._direction = 1
        self._travels = False

    def frame(self, number: int) -> VideoFrame:
        """The decoded frame; raises ClipError when it can't be decoded or the clip is closed."""
        kept = self.cache.get(number)
        if kept is not None:
            if self._thread is not None:
                self._inbox.put(_Seen(number))
            return kept
        want = _Want(number, Future())
        with self._starting:
            if self._closing.is_set():
                raise _closed()
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name="clip reader", daemon=True)
                self._thread.start()
            self._inbox.put(want)
        return want.answer.result()

    def close(self) -> None:
        """Stop what is being decoded, end the thread and let go of the file; may be repeated."""
        with self._starting:
            if self._closing.is_set():
                return
            self._closing.set()
            self._inbox.put(_Seen(-1))
        if self._thread is not None:
            self._thread.join()
        self._decoder.close()
        self.cache.clear()

    def _run(self) -> None:
        while not self._closing.is_set():
            self._handle(self._inbox.get())
            while self._inbox.empty() and not self._closing.is_set() and self._read_ahead():
                pass
        while not self._inbox.empty():
            message = self._inbox.get()
            if isinstance(message, _Want):
                message.answer.set_exception(_closed())

    def _handle(self, message: _Want | _Seen) -> None:
        if message.number < 0:
            return
        self._move_to(message.number)
        if isinstance(message, _Want):
            try:
                message.answer.set_result(self._decode(message.number))
            except BaseException as error:  # raised where the frame is awaited
                message.answer.set_exception(error)

    def _move_to(self, number: int) -> None:
        step = number - self._focus
        if step:
            self._travels = abs(step) <= _NEAR
            self._direction = 1 if step > 0 else -1
            self._focus = number
        self.cache.look_from(self._focus, self._direction)

    def _decode(self, number: int) -> VideoFrame:
        kept = self.cache.get(number)
        if kept is not None:
            return kept
        for came, frame in self._decoder.reach(number):
            self.cache.put(came, frame)
            if came == number:
                return frame
            if self._closing.is_set():
                break
        raise _closed()

    def _read_ahead(self) -> bool:
        """Decode the next frame in the direction of travel; False when there is nothing to do."""
        here = self.cache.get(self._focus)
        if here is None or not self._travels:
            return False
        room = int(_AHEAD_SHARE * self.cache.budget_bytes / frame_bytes(here))
        end = self._focus + self._direction * room
        end = max(-1, min(self._count, end))
        number = self.cache.first_missing(self._focus, self._direction, end)
        if (end - number) * self._direction <= 0:
            return False
        try:
            for came, frame in self._decoder.reach(number):
                self.cache.put(came, frame)
                if not self._inbox.empty() or self._closing.is_set():
                    return True
        except Exception:  # it is raised when that frame is asked for; the thread must live on
            return False
        return self.cache.get(number) is not None


def _closed() -> ClipError:
    return ClipError("The clip was closed while a frame was being read.")
