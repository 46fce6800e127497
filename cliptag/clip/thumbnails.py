"""Small pictures from all over a clip, those first that are quick to get at."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from av.video.frame import VideoFrame
from numpy.typing import NDArray

from cliptag.clip.colour import Colour
from cliptag.clip.convert import Size
from cliptag.clip.decoder import Decoder
from cliptag.clip.frame import Frame
from cliptag.clip.geometry import Geometry
from cliptag.clip.index import FrameIndex
from cliptag.clip.picture import Converter
from cliptag.errors import ClipError


def video_thumbnails(
    path: Path,
    index: FrameIndex,
    geometry: Geometry,
    colour: Colour,
    count: int,
    height: int,
    is_cancelled: Callable[[], bool],
) -> Iterator[Frame]:
    """See ``Clip.thumbnails``. Decodes by itself; give up the iterator to end it."""
    keys, others = spread(index, count)
    converter = Converter(geometry, colour)
    size = small_size(*geometry.displayed_size, height)
    decoder = Decoder(path, index, threads=1)  # whoever looks at the clip itself is in more hurry
    try:
        for number in [*coarse_to_fine(keys), *others]:
            picture = _picture(decoder, number, number in keys, is_cancelled)
            if is_cancelled():
                return
            if picture is not None:
                # Made at once: it is small, and the decoded frame is large.
                kept = _kept(converter.rgb(picture, size))
                yield Frame(number, int(index.times_us[number]), kept)
    finally:
        decoder.close()


def spread(index: FrameIndex, count: int) -> tuple[list[int], list[int]]:
    """At most ``count`` frames at even distances: keyframes, and frames where none is near."""
    step_us = max(1, index.duration_us // count)
    wanted_us = np.arange(step_us // 2, index.duration_us, step_us)[:count]
    frames = _at(index.times_us, wanted_us)
    key_frames = index.packet_frame[index.key_packets]
    key_frames = np.unique(key_frames[key_frames >= 0])
    if not len(key_frames):
        return [], np.unique(frames).tolist()
    nearest = key_frames[_nearest(index.times_us[key_frames], wanted_us)]
    is_near = np.abs(index.times_us[nearest] - wanted_us) <= (step_us + 1) // 2
    keys = np.unique(nearest[is_near])
    return keys.tolist(), np.setdiff1d(frames[~is_near], keys).tolist()


def small_size(width: int, height: int, most_height: int) -> Size:
    """(width, height) of a picture made at most so high; never larger than it is."""
    small_height = min(height, most_height)
    return max(1, round(width * small_height / height)), small_height


def coarse_to_fine(numbers: list[int]) -> list[int]:
    """The same numbers in an order in which the first few are already from all over."""
    step = 1 << len(numbers).bit_length()
    order: dict[int, None] = {}
    while step:
        order.update(dict.fromkeys(numbers[::step]))
        step //= 2
    return list(order)


def _picture(
    decoder: Decoder, frame: int, is_key: bool, is_cancelled: Callable[[], bool]
) -> VideoFrame | None:
    """The frame, or None where it is damaged or no longer wanted."""
    try:
        alone = decoder.alone(frame) if is_key else None
        if alone is not None:
            return alone
        for number, picture in decoder.reach(frame):
            if number == frame:
                return picture
            if is_cancelled():
                break
    except ClipError:
        pass
    return None


def _kept(rgb: NDArray[np.uint8]) -> Callable[[], NDArray[np.uint8]]:
    return lambda: rgb


def _at(times_us: NDArray[np.int64], wanted_us: NDArray[np.int64]) -> NDArray[np.int64]:
    return np.maximum(np.searchsorted(times_us, wanted_us, side="right") - 1, 0)


def _nearest(times_us: NDArray[np.int64], wanted_us: NDArray[np.int64]) -> NDArray[np.int64]:
    """For each wanted time the place of the nearest of some rising times."""
    before = _at(times_us, wanted_us)
    after = np.minimum(before + 1, len(times_us) - 1)
    is_after = np.abs(times_us[after] - wanted_us) < np.abs(times_us[before] - wanted_us)
    return np.where(is_after, after, before)
