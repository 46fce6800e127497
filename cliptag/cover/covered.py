"""A clip with its covered areas destroyed: whatever takes its pictures from it shows no more."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cached_property
from typing import Final

import numpy as np

from cliptag.clip import Clip, Frame, PlanarFrame, SoundReader
from cliptag.cover.pixels import CoverStyle, Plane, cover_pixels
from cliptag.cover.plan import Cover


class CoveredClip(Clip):
    """The same clip as seen by whoever may not see all of it. To close it closes the clip.

    ``is_mute`` leaves its own sound out, by which a person can be known too.
    """

    def __init__(
        self, clip: Clip, cover: Cover, style: CoverStyle = "blur", *, is_mute: bool = False
    ) -> None:
        self.bare: Final = clip
        self.cover: Final = cover
        self._style: Final = style
        self._is_mute = is_mute
        self.path = clip.path
        self.times_us = clip.times_us
        self.duration_us = clip.duration_us
        info = replace(clip.info, has_location=False)
        self.info = replace(info, has_sound=False, sound_codec=None) if is_mute else info

    @cached_property
    def digest(self) -> str:
        """Another one than the clip's, since the pictures are others."""
        seen = hashlib.blake2b(f"{self.bare.digest}|{self._style}".encode(), digest_size=16)
        for index in range(len(self)):
            seen.update(repr(self.cover.at(index)).encode())
        return seen.hexdigest()

    def frame(self, index: int) -> Frame:
        return self._covered(self.bare.frame(index))

    def planes(
        self, first: int = 0, stop: int | None = None, *, size: tuple[int, int] | None = None
    ) -> Iterator[PlanarFrame]:
        for frame in self.bare.planes(first, stop, size=size):
            areas = self.cover.at(frame.index)
            if not areas:
                yield frame
                continue
            planes = []
            for plane, part in ((frame.y, 1), (frame.u, 2), (frame.v, 2)):
                changed = plane.copy()
                height, width = frame.y.shape
                by_x, by_y = self._scale(width, height)
                cover_pixels(changed, areas, by_x / part, by_y / part, self._style)
                changed.flags.writeable = False
                planes.append(changed)
            yield PlanarFrame(frame.index, frame.time_us, *planes)

    def thumbnails(
        self, count: int, height: int, is_cancelled: Callable[[], bool] = lambda: False
    ) -> Iterator[Frame]:
        for frame in self.bare.thumbnails(count, height, is_cancelled):
            yield self._covered(frame)

    def sound(self) -> SoundReader | None:
        """The clip's sound; None if it has none or is mute."""
        return None if self._is_mute else self.bare.sound()

    def close(self) -> None:
        self.bare.close()

    def _covered(self, frame: Frame) -> Frame:
        areas = self.cover.at(frame.index)
        if not areas:
            return frame

        def to_rgb() -> Plane:
            picture = np.array(frame.rgb)
            by_x, by_y = self._scale(picture.shape[1], picture.shape[0])
            cover_pixels(picture, areas, by_x, by_y, self._style)
            picture.flags.writeable = False
            return picture

        return Frame(frame.index, frame.time_us, to_rgb)

    def _scale(self, width: int, height: int) -> tuple[float, float]:
        """An odd side that was made even isn't stretched."""
        info = self.info
        if (width, height) == (info.width + info.width % 2, info.height + info.height % 2):
            return 1.0, 1.0
        return width / info.width, height / info.height


def bare(clip: Clip) -> Clip:
    """The clip as it was filmed, for measuring; it must not be shown where it was covered."""
    return clip.bare if isinstance(clip, CoveredClip) else clip
