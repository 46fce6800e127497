"""A clip without a file: any frame times at no cost, for tests of what only shows times."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike
from support.reviews import clip_ref

from cliptag.clip import Clip, ClipInfo, Frame
from cliptag.desk.document import Document
from cliptag.desk.frames import FrameFeed
from cliptag.desk.state import DeskState
from cliptag.review import Review


class FakeClip(Clip):
    """Grey pictures that get lighter from frame to frame."""

    def __init__(self, times_us: ArrayLike, duration_us: int, *, is_photo: bool = False) -> None:
        self.times_us = np.asarray(times_us, np.int64)
        self.times_us.flags.writeable = False
        self.duration_us = duration_us
        self.path = Path("made-up.mp4")
        self.info = _info(len(self.times_us), duration_us, is_photo)

    def frame(self, index: int) -> Frame:
        self._check(index)
        return self._frame(index, 96, 54)

    def thumbnails(
        self, count: int, height: int, is_cancelled: Callable[[], bool] = lambda: False
    ) -> Iterator[Frame]:
        for index in np.linspace(0, len(self) - 1, min(count, len(self))).astype(int):
            yield self._frame(int(index), height, round(height * 9 / 16))

    def planes(self, *_: object, **__: object):
        raise NotImplementedError

    def sound(self) -> None:
        return None

    def close(self) -> None:
        pass

    def _frame(self, index: int, height: int, width: int) -> Frame:
        level = 40 + 200 * index // max(1, len(self))
        rgb = np.full((height, width, 3), level, np.uint8)
        return Frame(index, int(self.times_us[index]), lambda: rgb)


def put_on_desk(state: DeskState, clip: FakeClip, review: Review | None = None) -> None:
    """What ``DeskState.open`` does, without files."""
    state.close()
    review = review or Review(clip=clip_ref(duration_us=clip.duration_us))
    state.clip = clip
    state.document = Document(review, Path("made-up.review.json"), state)
    state.document.changed.connect(state.reviewed)
    state.feed = FrameFeed(clip, state)
    state.opened.emit()
    state.playhead.set_clip(clip.times_us, clip.duration_us)
    state.reviewed.emit()


def _info(count: int, duration_us: int, is_photo: bool) -> ClipInfo:
    return ClipInfo(
        width=1080,
        height=1920,
        coded_width=1080,
        coded_height=1920,
        rotation_deg=0,
        is_mirrored=False,
        pixel_aspect=Fraction(1),
        codec="none",
        pixel_format="rgb24",
        bit_depth=8,
        matrix="bt709",
        primaries="bt709",
        transfer="bt709",
        range="tv",
        hdr=None,
        frame_count=count,
        duration_us=duration_us,
        is_variable_rate=False,
        nominal_fps=30.0,
        has_sound=False,
        sound_codec=None,
        is_photo=is_photo,
        size_bytes=1000,
        has_location=False,
        recorded_at=dt.datetime(2026, 3, 2, tzinfo=dt.UTC),
    )
